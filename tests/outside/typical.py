"""Typical curves, measures and best-of-three scores of invented combinations, by definition.

A combination is a list of runs, each a build-up curve in knots as a published file holds it. Means are taken over
the runs of each specimen, then over the specimens. The typical curve is straight lines between the means of
logarithms at 385 instants of the window (`TypicalCurve`); all that is asked of it is asked of these lines.
Typical measures and best-of-three scores are made of the runs' own figures.
"""

from itertools import combinations, count
from math import ceil, copysign, exp, floor, fsum, isclose, log, pi, sqrt

import numpy as np
from scipy.optimize import brentq

from reduction import Undecided, decided, joint_work_j, per_time, trapezoids

LOWEST_NM = 0.1
"""Where a logarithm is taken, less torque counts as this."""

STEPS = 384
"""The window in so many steps, the longer the later: they end at τ·k³/384³."""

ROOTS_EVERY = 8
"""Roots of run scatter are held at every so many of these instants."""

ROOT_UNIT = 1e-4
"""A root is a whole number of these."""

WINDOW_S = 2.5
JOINT = {"angle_deg": [0.0, 15.0, 40.0, 110.0], "torque_nm": [0.0, 70.0, 250.0, 900.0]}
TIMES_US = [0, 400, 3120, 50_000, 123_457, 400_000, 1_000_000, 1_777_777, 2_500_000, 4_000_000]


class Curve:
    """One run's H in knots."""

    def __init__(self, buildup):
        steps = np.cumsum(buildup["step"])
        rises = np.cumsum(buildup["rise_dnm"])
        self.t_s = [0.0] + [(buildup["first_us"] + buildup["tick_us"] * int(k)) / 1e6 for k in steps]
        self.h_nm = [buildup["onset_dnm"] / 10] + [int(x) / 10 for x in rises]
        self.angle_deg = [0.0] + [int(x) / 10 for x in np.cumsum(buildup.get("turn_ddeg", []))]

    def at(self, t_s):
        """Linear between knots, constant after the last."""
        return float(np.interp(t_s, self.t_s, self.h_nm))

    def mean_nm(self):
        """Mean over the window, exact for the lines."""
        t_s = [t for t in self.t_s if t < WINDOW_S] + [WINDOW_S]
        return trapezoids(t_s, [self.at(t) for t in t_s]) / WINDOW_S

    def early_nm(self):
        """H one second after the onset."""
        return self.at(1.0)

    def peak_nm(self):
        """H at the end."""
        return self.h_nm[-1]

    def time_to(self, x):
        """First time with H at or above `x`; `None` where that is not within the window."""
        for h in self.h_nm + [self.at(WINDOW_S)]:
            decided(x, h)
        if x <= self.h_nm[0]:
            return 0.0
        if x > self.at(WINDOW_S):
            return None
        k = next(k for k, h in enumerate(self.h_nm) if h >= x)
        share = (x - self.h_nm[k - 1]) / (self.h_nm[k] - self.h_nm[k - 1])
        return self.t_s[k - 1] + share * (self.t_s[k] - self.t_s[k - 1])

    def own_work_j(self, x):
        """H over the turned angle from the onset to the time to `x`, trapezoids; `None` if it does not reach it."""
        time = self.time_to(x)
        if time is None:
            return None
        t_s = [t for t in self.t_s if t < time] + [time]
        angle = [float(np.interp(t, self.t_s, self.angle_deg)) for t in t_s]
        return trapezoids(angle, [self.at(t) for t in t_s]) * pi / 180


def mean(values):
    """Plain mean."""
    return fsum(values) / len(values)


def combined(specimens, values):
    """Mean over the runs of each specimen, then over specimens. A value of `None` counts nowhere."""
    groups = [[v for s, v in zip(specimens, values) if s == name and v is not None] for name in sorted(set(specimens))]
    groups = [g for g in groups if g]
    return mean([mean(g) for g in groups]) if groups else None


def typical(specimens, values):
    """exp of the combination's mean of logarithms; of equal values, that value."""
    values = [max(v, LOWEST_NM) for v in values]
    return values[0] if len(set(values)) == 1 else exp(combined(specimens, [log(v) for v in values]))


def whole(x, margin=1e-6):
    """To a whole number, half away from zero; refuses what lies nearer to a half than `margin`."""
    decided(abs(x) % 1, 0.5, margin)
    return int(copysign(floor(abs(x) + 0.5), x))


def rounded(torque_nm):
    """To whole thousandths of a N·m, as a field takes a run's mean and early torque before any correction."""
    return whole(1000 * torque_nm) / 1000


def instants(every=1):
    """The instants τ·k³/384³ of the window, or every so many of them."""
    return [WINDOW_S * (k**3 / STEPS**3) for k in range(0, STEPS + 1, every)]


class TypicalCurve:
    """The typical curve of runs: straight lines between instants, constant after the window.

    At each instant τ·k³/384³, k from 0 to 384, the typical torque is exp of the mean of ln H, each H not below 0.1 N·m;
    of equal torques it is that torque. The curve ends at that of the last in whole tenths of a N·m, and at every other
    instant is a whole number of units below its end, the nearest, half away from zero: a unit is a thousandth of the
    end in tenths, rounded down, one tenth at least.
    """

    def __init__(self, specimens, curves):
        self.t_s = instants()
        torques = zip(*(np.interp(self.t_s, c.t_s, c.h_nm).tolist() for c in curves))
        exact = [10 * typical(specimens, own) for own in torques]
        end = whole(exact[-1])
        unit = max(end // 1000, 1)
        self.dnm = [end - unit * whole((end - dnm) / unit) for dnm in exact]
        self.h_nm = [dnm / 10 for dnm in self.dnm]

    def at(self, t_s):
        """Linear between instants, constant after the last."""
        return float(np.interp(t_s, self.t_s, self.h_nm))


def squares(cells, y):
    """Sum of squared differences of values from the mean of their cell."""
    own = [[v for c, v in zip(cells, y, strict=True) if c == cell] for cell in dict.fromkeys(cells)]
    return fsum((v - mean(values)) ** 2 for values in own for v in values)


def roots(cells, curves):
    """Roots of these sums for ln H of runs, H not below 0.1 N·m, at τ·(8 j)³/384³, j from 0 to 48.

    Whole hundredths of a per cent, half away from zero.
    """
    logs = [[log(max(c.at(t), LOWEST_NM)) for c in curves] for t in instants(ROOTS_EVERY)]
    return [whole(sqrt(squares(cells, y)) / ROOT_UNIT) for y in logs]


def squares_at(of_instants, t_s):
    """The sum of squares at a time, linear between the instants."""
    return float(np.interp(t_s, instants(ROOTS_EVERY), [(root * ROOT_UNIT) ** 2 for root in of_instants]))


def typical_time_us(curve, x):
    """The least whole microsecond at which a typical curve reaches `x`; `None` if not in the window.

    Below by no more than a billionth of `x` is reached.
    """

    def h(t_us):
        return curve.at(t_us / 1e6)

    window_us = round(WINDOW_S * 1e6)
    for t_us in (0, window_us):
        decided(h(t_us), x)
    x *= 1 - 1e-9
    if x <= h(0):
        return 0
    if x > h(window_us):
        return None
    below, above = 0, window_us
    while above - below > 1:
        middle = (below + above) // 2
        below, above = (below, middle) if h(middle) >= x else (middle, above)
    root = brentq(lambda t_us: h(t_us) - x, 0, window_us, xtol=1e-9, rtol=1e-15)
    if abs(h(above) - x) < 1e-8 or abs(h(below) - x) < 1e-8 or ceil(root) != above:
        raise Undecided("a flat stretch at the torque asked for")
    return above


def best_of_three(specimens, values):
    """Mean of the best over all subsets of three runs of a specimen, then over the specimens with three."""
    scores = []
    for name in sorted(set(specimens)):
        own = [v for s, v in zip(specimens, values) if s == name]
        if len(own) >= 3:
            scores.append(mean([max(three) for three in combinations(own, 3)]))
    return mean(scores) if scores else None


def buildup(rng, peak_nm, rise_s, low=False, angle=False):
    """An invented curve in knots: a rise in some twenty unequal steps."""
    n = int(rng.integers(12, 24))
    tick_us = int(rng.choice([5000, 4000, 10000, 1]))
    last = 1_900_000 // tick_us
    ticks = [0, *sorted(int(x) for x in rng.choice(np.arange(1, last), n - 1, replace=False))]
    first_us = int(rng.integers(200, max(tick_us, 4000)))
    values = [round(10 * peak_nm * (1 - exp(-(first_us + tick_us * k) / 1e6 / rise_s)) * (0.97 + 0.03 * rng.random())) for k in ticks]
    values = [int(x) for x in np.maximum.accumulate(values)]
    onset = min(round(0.2 * peak_nm), values[0])
    if low:
        values[0], onset = -4, -7
    out = {
        "onset_dnm": onset,
        "tick_us": tick_us,
        "first_us": first_us,
        "step": [0] + [b - a for a, b in zip(ticks, ticks[1:])],
        "rise_dnm": [values[0]] + [b - a for a, b in zip(values, values[1:])],
    }
    if angle:
        out["turn_ddeg"] = [int(x) for x in rng.integers(0, 60, n)]
    return out


# name, specimen of each run, peak, rise time, what is special
CASES = [
    ("one run", "A", 420, 0.5, {}),
    ("one specimen, three runs", "AAA", 310, 0.4, {}),
    ("two specimens, three and two runs", "AABBA", 380, 0.6, {}),
    ("three specimens, four, one and three runs", "AAAABCCC", 505, 0.45, {}),
    ("five runs of one specimen, wide scatter", "AAAAA", 260, 0.3, {"scatter": 0.15}),
    ("slow tool", "AABB", 450, 2.2, {}),
    ("weak, below the floor at first", "AAAB", 14, 0.5, {"low": True}),
    ("own angle, unequal runs", "AAABB", 330, 0.5, {"angle": True, "scatter": 0.12}),
    ("own angle on some runs only", "AAA", 330, 0.5, {"some_angle": True}),
]


def build(name, specimens, peak, rise, special, seed):
    """One case; raises `Undecided` where a float's last bit would decide.

    Measures are the runs' own, and as a field takes them, rounded, where they are named after the field.
    """
    rng = np.random.Generator(np.random.PCG64(seed))
    specimens = list(specimens)
    runs = []
    for k, _ in enumerate(specimens):
        angle = special.get("angle", False) or (special.get("some_angle", False) and k > 0)
        factor = exp(special.get("scatter", 0.04) * float(rng.standard_normal()))
        runs.append(buildup(rng, peak * factor, rise, special.get("low", False), angle))
    curves = [Curve(r) for r in runs]
    typical_curve = TypicalCurve(specimens, curves)
    all_angles = all("turn_ddeg" in r for r in runs)
    torques = [round(s * peak, 2) for s in (0.001, 0.11, 0.3, 0.52, 0.71, 0.9, 0.973, 1.5)]
    return {
        "name": name,
        "seed": seed,
        "specimens": specimens,
        "buildup": runs,
        "expected": {
            "dnm": typical_curve.dnm,
            # all on one day, so the specimens are the cells
            "roots": roots(specimens, curves),
            "curve": [{"t_us": t, "torque_nm": typical_curve.at(t / 1e6)} for t in TIMES_US],
            "peak_nm": typical(specimens, [c.peak_nm() for c in curves]),
            "mean_nm": typical(specimens, [c.mean_nm() for c in curves]),
            "early_nm": typical(specimens, [c.early_nm() for c in curves]),
            "field_mean_nm": typical(specimens, [rounded(c.mean_nm()) for c in curves]),
            "field_early_nm": typical(specimens, [rounded(c.early_nm()) for c in curves]),
            "run_peak_nm": [c.peak_nm() for c in curves],
            "run_mean_nm": [c.mean_nm() for c in curves],
            "run_early_nm": [c.early_nm() for c in curves],
            "at": [at(specimens, curves, typical_curve, x, all_angles) for x in torques],
        },
    }


def at(specimens, curves, typical_curve, x, all_angles):
    """What is read off at one torque."""
    time_us = typical_time_us(typical_curve, x)
    time_s = None if time_us is None else time_us / 1e6
    joint_j, _ = joint_work_j(JOINT["angle_deg"], JOINT["torque_nm"], x)
    times = [c.time_to(x) for c in curves]
    # A run's own work is on its own angle where that is logged; the combination's only where all runs have one.
    works = [c.own_work_j(x) if len(c.angle_deg) > 1 else joint_j for c in curves]
    work = combined(specimens, works) if all_angles else joint_j
    powers = [0.0 if t is None else per_time(w, t) for w, t in zip(works, times)]
    rates = [per_time(x, t) for t in times]
    return {
        "torque_nm": x,
        "typical_time_us": time_us,
        "run_time_s": times,
        "work_j": work,
        "average_power_w": 0.0 if time_s is None else None if work is None else per_time(work, time_s),
        "rise_rate_nm_per_s": per_time(x, time_s),
        "run_average_power_w": powers,
        "best_of_three_power_w": best_of_three(specimens, powers),
        "best_of_three_rise_rate_nm_per_s": best_of_three(specimens, rates),
    }


def check():
    """Raises where a definition here fails a value known from elsewhere."""
    assert [whole(x) for x in (-1.6, -0.2, 2.4, 2.6)] == [-2, 0, 2, 3] and rounded(123.45678) == 123.457
    at = instants()
    assert (at[0], at[192], at[384], len(at)) == (0.0, WINDOW_S / 8, WINDOW_S, 385) and at[::8] == instants(8)
    # two cells, of 1 2 3 and 5 7: 2 and 2; a cell of one adds nothing
    assert squares("AAABBC", [1.0, 2.0, 3.0, 5.0, 7.0, 9.0]) == 4.0
    # a sum of 1 at t = 0, of 4 at the next instant, τ·8³/384³, and of 2.5 half-way
    root = [round(x / ROOT_UNIT) for x in [1.0, 2.0] + [0.0] * 47]
    for share, square in ((0.0, 1.0), (0.5, 2.5), (1.0, 4.0), (1e9, 0.0)):
        assert isclose(squares_at(root, share * WINDOW_S / 48**3), square, rel_tol=1e-12, abs_tol=1e-12)
    # Two lines, of 101 and 404 N·m at the end, make one of 202: the mean of logarithms of a·t and b·t is that of
    # sqrt(a·b)·t.
    line = lambda first, last: Curve(
        {"onset_dnm": first, "tick_us": 1, "first_us": round(WINDOW_S * 1e6), "step": [0], "rise_dnm": [last]}
    )
    of_two = TypicalCurve("AB", [line(10, 1010), line(40, 4040)]).dnm
    assert (of_two[0], of_two[192], of_two[384]) == (20, 2020 - 2 * 875, 2020)


def fixture():
    """All cases; each takes the first seed from 1 on that is decided."""
    cases = []
    for k, case in enumerate(CASES):
        for seed in count(1000 * (k + 1)):
            try:
                cases.append(build(*case, seed))
                break
            except Undecided:
                assert seed < 1000 * (k + 1) + 500, case[0]
    return {"window_s": WINDOW_S, "joint": JOINT, "cases": cases}
