"""One run, reduced by definition: plain loops, `numpy.median`, `scipy.optimize.isotonic_regression`.

Slow on purpose. Each function is the sentence that defines it, so that it can stand against faster code.
Times come in whole microseconds and are turned into seconds once; torque is in N·m.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import fsum, pi, sqrt

import numpy as np
from scipy.optimize import isotonic_regression

SHORTEST_TIME_S = 0.001
"""A time to a torque below this counts as this in a quotient."""


class NeverRises(Exception):
    """The largest smoothed torque is not above the onset level."""


class Undecided(Exception):
    """A comparison is so close that the last bit of a float would decide it: no case for a fixture."""


def decided(a, b, margin=1e-9):
    """Refuses two figures that are to be compared and differ by less than `margin`."""
    if abs(a - b) < margin:
        raise Undecided(f"{a} against {b}")


def merge_repeated(time_us, *series):
    """Samples with the same stamp become one, the mean of each series. Returns times and series."""
    stamps = sorted(set(time_us))
    where = {stamp: [i for i, t in enumerate(time_us) if t == stamp] for stamp in stamps}
    merged = [[fsum(s[i] for i in where[t]) / len(where[t]) for t in stamps] for s in series]
    return stamps, *merged


def running_median(time_us, values, smooth_us):
    """The median over half a width to each side, limits included, and at least two samples to each side."""
    n = len(values)
    return [
        float(
            np.median(
                [
                    values[j]
                    for j in range(n)
                    if abs(j - i) <= 2 or 2 * abs(time_us[j] - time_us[i]) <= smooth_us
                ]
            )
        )
        for i in range(n)
    ]


def last_below(m, end, far, level):
    """The last sample below `level` before the first one at or above `far` (or the end); `None` without one."""
    reached = next((i for i in range(end + 1) if m[i] >= far), end)
    return max((i for i in range(reached + 1) if m[i] < level), default=None)


def find_onset(time_s, m, end, quiet, level):
    """Time at which `m` crosses `level` for the last time before it stands five times as far above `quiet`.

    Returns the time and whether a sample lies below the level.
    """
    if not m[end] > level:
        raise NeverRises
    far = quiet + 5 * (level - quiet)
    i = last_below(m, end, far, level)
    for shift in (-1e-9, 1e-9):
        if last_below(m, end, far + shift, level) != i or last_below(m, end, far, level + shift) != i:
            raise Undecided("onset")
    if i is None:
        return time_s[0], False
    onset = time_s[i] + (level - m[i]) / (m[i + 1] - m[i]) * (time_s[i + 1] - time_s[i])
    for t in time_s:
        decided(t, onset)
    return onset, True


def lead_in_is_flat(time_us, torque_nm, rise_nm):
    """Whether the level before the onset changes by no more than 1 % of the largest rise or five standard errors.

    The change is a step (medians of the halves) or a drift (Tukey's resistant line through the outer thirds, over
    the whole lead-in). The noise is white: the mean difference between neighbours is 2 / sqrt(pi) of its standard
    deviation, and a median has sqrt(pi / 2) times the standard error of a mean.
    """
    x, y = np.asarray(time_us, float), np.asarray(torque_nm, float)
    n = len(y)
    sigma = np.abs(np.diff(y)).mean() * sqrt(pi) / 2

    def of_parts(k, carried):
        size = abs(np.median(y[n - k :]) - np.median(y[:k])) * carried
        error = sqrt(pi / 2) * sigma * sqrt(1 / k + 1 / k) * carried
        decided(size, 0.01 * rise_nm)
        if size <= 0.01 * rise_nm:
            return True
        decided(size, 5 * error)
        return size <= 5 * error

    third = n // 3
    carried = (x[-1] - x[0]) / (np.median(x[n - third :]) - np.median(x[:third]))
    return of_parts(n // 2, 1) and of_parts(third, carried)


@dataclass
class Reduced:
    """What is left of a run. Times ending in `log_s` are on the log's own clock, others count from the onset."""

    time_us: list
    torque_nm: list
    repeated_stamps: int
    # before a zero is taken away
    smoothed_nm: list
    quiet_nm: float
    onset_level_nm: float
    onset_log_s: float
    zero_nm: float
    zero_kept: str | None
    end_index: int
    first_index: int
    t_s: list
    h_nm: list
    no_quiet: bool
    short: bool
    median_gap_s: float
    largest_sample_nm: float
    window_s: float

    def at(self, t_s):
        """H at a time after the onset, linear between samples and constant after the end."""
        return float(np.interp(t_s, self.t_s, self.h_nm))

    def time_to(self, torque_nm):
        """First time with H at or above a torque; `None` where that is not within the window."""
        for h in self.h_nm + [self.at(self.window_s)]:
            decided(torque_nm, h)
        if torque_nm <= self.h_nm[0]:
            return 0.0
        if torque_nm > self.at(self.window_s):
            return None
        k = next(k for k, h in enumerate(self.h_nm) if h >= torque_nm)
        share = (torque_nm - self.h_nm[k - 1]) / (self.h_nm[k] - self.h_nm[k - 1])
        return self.t_s[k - 1] + share * (self.t_s[k] - self.t_s[k - 1])

    def mean_torque_nm(self):
        """Mean of H over the window, trapezoids."""
        inside = [t for t in self.t_s if t < self.window_s] + [self.window_s]
        return trapezoids(inside, [self.at(t) for t in inside]) / self.window_s


def trapezoids(x, y):
    """Area under a line through the points."""
    return fsum((x[i] - x[i - 1]) * (y[i] + y[i - 1]) / 2 for i in range(1, len(x)))


def reduce(time_us, torque_nm, *, smooth_s, onset_nm, window_s, keep_zero):
    """Smooth, find end, onset and zero, fit the build-up curve."""
    rows = len(time_us)
    time_us, torque_nm = merge_repeated(time_us, torque_nm)
    time_s = [t / 1e6 for t in time_us]
    m = running_median(time_us, torque_nm, round(smooth_s * 1e6))
    end = m.index(max(m))
    for x in m:
        if x != m[end]:
            decided(x, m[end])

    smoothed_nm = m
    quiet = min(m[: end + 1])
    level = quiet + (onset_nm if onset_nm is not None else 0.02 * (m[end] - quiet))
    onset, found = find_onset(time_s, m, end, quiet, level)

    zero = 0.0
    before = [torque for t, torque in zip(time_s, torque_nm) if t < onset]
    zero_kept = None
    if keep_zero:
        zero_kept = "asked"
    elif len(before) < 10:
        zero_kept = "few samples"
    elif not lead_in_is_flat(time_us[: len(before)], before, m[end] - quiet):
        zero_kept = "not flat"
    else:
        zero = float(np.median(before))
        m = [x - zero for x in m]
        level = onset_nm if onset_nm is not None else 0.02 * m[end]
        onset, found = find_onset(time_s, m, end, 0.0, level)

    first = next(i for i, t in enumerate(time_s) if t > onset)
    fitted = isotonic_regression(m[first : end + 1]).x.tolist()
    t_s = [0.0] + [t - onset for t in time_s[first : end + 1]]
    h_nm = [min(level, fitted[0])] + fitted

    gap_s = float(np.median(np.diff(time_us))) / 1e6
    decided(time_s[-1], onset + window_s - gap_s)
    last_high = max(i for i, x in enumerate(m) if x >= 0.5 * m[end])
    for x in m[last_high:]:
        decided(x, 0.5 * m[end])
    if last_high + 1 < len(m):
        decided(time_s[last_high + 1], onset + window_s)
    falls_for_good = last_high + 1 < len(m) and time_s[last_high + 1] < onset + window_s
    short = time_s[-1] < onset + window_s - gap_s or falls_for_good

    return Reduced(
        time_us=time_us,
        torque_nm=torque_nm,
        repeated_stamps=rows - len(time_us),
        smoothed_nm=smoothed_nm,
        quiet_nm=quiet,
        onset_level_nm=level,
        onset_log_s=onset,
        zero_nm=zero,
        zero_kept=zero_kept,
        end_index=end,
        first_index=first,
        t_s=t_s,
        h_nm=h_nm,
        no_quiet=not found,
        short=short,
        median_gap_s=gap_s,
        largest_sample_nm=max(torque_nm) - zero,
        window_s=window_s,
    )


def joint_work_j(angle_deg, torque_nm, to_nm):
    """Area under a joint's torque over angle (radians) from its first point to a torque.

    Beyond the last point the last slope goes on. Returns the work and whether that was needed.
    """
    if to_nm <= torque_nm[0]:
        return 0.0, False
    angle, torque = [angle_deg[0]], [torque_nm[0]]
    for k in range(1, len(torque_nm)):
        last = k == len(torque_nm) - 1
        if to_nm <= torque_nm[k] or last:
            slope = (angle_deg[k] - angle_deg[k - 1]) / (torque_nm[k] - torque_nm[k - 1])
            angle.append(angle_deg[k - 1] + slope * (to_nm - torque_nm[k - 1]))
            torque.append(to_nm)
            break
        angle.append(angle_deg[k])
        torque.append(torque_nm[k])
    return trapezoids(angle, torque) * pi / 180, to_nm > torque_nm[-1]


def turned_deg(angle_deg):
    """The angle's running maximum at each (merged) sample of the log."""
    return [max(angle_deg[: i + 1]) for i in range(len(angle_deg))]


def own_work_j(run, angle_deg, to_nm):
    """Area under H over the running maximum of the run's own angle, from the onset to the time to a torque."""
    time = run.time_to(to_nm)
    if time is None:
        return None
    log_s = [t / 1e6 for t in run.time_us]
    turned = turned_deg(angle_deg)
    t_s = [0.0] + [t for t in run.t_s if 0 < t < time] + [time]
    angle = [float(np.interp(run.onset_log_s + t, log_s, turned)) for t in t_s]
    return trapezoids(angle, [run.at(t) for t in t_s]) * pi / 180


def per_time(what, time_s):
    """A quotient by a time to a torque: 0 if it is not reached."""
    return 0.0 if time_s is None else what / max(time_s, SHORTEST_TIME_S)


def pack(run, voltage_mv, current_ma):
    """Open-circuit voltage, resistance, lowest loaded voltage, energy from onset to end (merged samples).

    The least-squares line is solved exactly in fractions, so that every machine writes the same digits;
    `numpy.polyfit` has to agree.
    """
    out = {"open_v": None, "resistance_ohm": None, "lowest_v": None, "energy_j": None}
    if voltage_mv is not None:
        out["lowest_v"] = min(running_median(run.time_us, voltage_mv, 0)) / 1000
    if voltage_mv is None or current_ma is None:
        return out

    v = [Fraction(x) / 1000 for x in voltage_mv]
    i = [Fraction(x) / 1000 for x in current_ma]
    n = len(v)
    mean_v, mean_i = sum(v) / n, sum(i) / n
    spread = sum((a - mean_i) ** 2 for a in i)
    if (max(i) - min(i)) * 5 >= max(i) and spread > 0:
        slope = sum((a - mean_i) * (b - mean_v) for a, b in zip(i, v)) / spread
        fit = np.polyfit([float(a) for a in i], [float(b) for b in v], 1)
        assert np.allclose(fit, [float(slope), float(mean_v - slope * mean_i)], rtol=1e-9, atol=1e-12)
        if slope <= 0:
            out["open_v"], out["resistance_ohm"] = float(mean_v - slope * mean_i), float(-slope)

    log_s = [t / 1e6 for t in run.time_us]
    power_w = [float(a * b) for a, b in zip(i, v)]
    inside = range(run.first_index, run.end_index + 1)
    t_s = [run.onset_log_s] + [log_s[k] for k in inside]
    p_w = [float(np.interp(run.onset_log_s, log_s, power_w))] + [power_w[k] for k in inside]
    out["energy_j"] = trapezoids(t_s, p_w)
    return out
