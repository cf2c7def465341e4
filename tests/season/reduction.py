"""One run reduced to its build-up curve, after the definitions of the design's section 4."""

from bisect import bisect_left, insort

SMOOTH_US = 40_000
WINDOW_US = 5_000_000
ONSET_SHARE = 0.02


def reduce_run(time_us: list, torque: list) -> dict:
    """Peak and further measures of a run; times in whole microseconds, torque in N·m."""
    time_us, torque, repeated = merge_repeats(time_us, torque)
    smooth = running_median(time_us, torque)
    end = smooth.index(max(smooth))
    quiet = min(smooth[: end + 1])
    level = quiet + ONSET_SHARE * (smooth[end] - quiet)
    start = onset(time_us, smooth, end, quiet, level)
    before = [t for when, t in zip(time_us, torque) if when < start["at_us"]]
    zero = 0.0
    if len(before) >= 10:
        zero = median(before)
        smooth = [m - zero for m in smooth]
        level, quiet = ONSET_SHARE * smooth[end], 0.0
        start = onset(time_us, smooth, end, quiet, level)
    first = next(i for i, when in enumerate(time_us) if when > start["at_us"])
    curve = isotonic(smooth[first : end + 1])
    at_zero = min(level - quiet if len(before) >= 10 else level, curve[0])
    knots = [(0.0, at_zero)] + [(w - start["at_us"], h) for w, h in zip(time_us[first : end + 1], curve)]
    return {
        "peak_nm": curve[-1],
        "largest_sample_nm": max(torque) - zero,
        "mean_nm": mean_over_window(knots),
        "early_nm": value_at(knots, 1_000_000),
        "zero_nm": zero,
        "onset_s": start["at_us"] * 1e-6,
        "end_s": time_us[end] * 1e-6,
        "quiet_lead_in": start["crossed"],
        "short": is_short(time_us, smooth, end, start["at_us"]),
        "repeated_stamps": repeated,
    }


def merge_repeats(time_us: list, torque: list) -> tuple:
    """Samples of one time become one, the mean of their torques."""
    times, sums = [], []
    for when, value in zip(time_us, torque):
        if times and times[-1] == when:
            sums[-1].append(value)
        else:
            times.append(when)
            sums.append([value])
    return times, [sum(s) / len(s) for s in sums], len(time_us) - len(times)


def median(values: list) -> float:
    ordered = sorted(values)
    middle = len(ordered) // 2
    return ordered[middle] if len(ordered) % 2 else (ordered[middle - 1] + ordered[middle]) / 2


def running_median(time_us: list, torque: list) -> list:
    """Median of all samples within 20 ms, and of the two before and after in any case."""
    count, half = len(time_us), SMOOTH_US // 2
    window, result = [], []
    low = high = 0
    near_low = near_high = 0
    for i, when in enumerate(time_us):
        while time_us[near_low] < when - half:
            near_low += 1
        while near_high < count and time_us[near_high] <= when + half:
            near_high += 1
        want_low, want_high = max(0, min(near_low, i - 2)), min(count, max(near_high, i + 3))
        while high < want_high:
            insort(window, torque[high])
            high += 1
        while low < want_low:
            del window[bisect_left(window, torque[low])]
            low += 1
        middle = len(window) // 2
        result.append(window[middle] if len(window) % 2 else (window[middle - 1] + window[middle]) / 2)
    return result


def onset(time_us: list, smooth: list, end: int, quiet: float, level: float) -> dict:
    """Where the straight line from the last sample below `level` crosses it."""
    high = next((i for i in range(end + 1) if smooth[i] - quiet >= 5 * (level - quiet)), end)
    below = next((i for i in range(high, -1, -1) if smooth[i] < level), None)
    if below is None:
        return {"at_us": time_us[0], "crossed": False}
    share = (level - smooth[below]) / (smooth[below + 1] - smooth[below])
    return {"at_us": time_us[below] + share * (time_us[below + 1] - time_us[below]), "crossed": True}


def isotonic(values: list) -> list:
    """Non-decreasing least-squares fit, pool adjacent violators, equal weights."""
    blocks = []
    for value in values:
        total, count = value, 1
        while blocks and blocks[-1][0] * count >= total * blocks[-1][1]:
            last_total, last_count = blocks.pop()
            total, count = total + last_total, count + last_count
        blocks.append((total, count))
    return [total / count for total, count in blocks for _ in range(count)]


def value_at(knots: list, when: float) -> float:
    """The curve at a time since the onset; constant after the end."""
    for (t0, h0), (t1, h1) in zip(knots, knots[1:]):
        if when <= t1:
            return h0 + (h1 - h0) * (when - t0) / (t1 - t0)
    return knots[-1][1]


def mean_over_window(knots: list) -> float:
    """Mean of the curve from the onset to the end of the window."""
    area = 0.0
    for (t0, h0), (t1, h1) in zip(knots, knots[1:]):
        if t1 <= WINDOW_US:
            area += (t1 - t0) * (h0 + h1) / 2
        elif t0 < WINDOW_US:
            h_end = h0 + (h1 - h0) * (WINDOW_US - t0) / (t1 - t0)
            area += (WINDOW_US - t0) * (h0 + h_end) / 2
    last_time, last_value = knots[-1]
    area += max(0.0, WINDOW_US - last_time) * last_value
    return area / WINDOW_US


def is_short(time_us: list, smooth: list, end: int, onset_us: float) -> bool:
    """The log ends, or the torque falls for good below half, before the window has passed."""
    limit = onset_us + WINDOW_US
    steps = sorted(b - a for a, b in zip(time_us, time_us[1:]))
    if limit - time_us[-1] > median(steps):
        return True
    half = smooth[end] / 2
    last_above = max(i for i, value in enumerate(smooth) if value >= half)
    return last_above + 1 < len(time_us) and time_us[last_above + 1] < limit


def reduce_pack(time_us: list, volts: list, amps: list, onset_s: float, end_s: float) -> dict:
    """Open voltage and resistance from the line V = V0 − R·I, and the energy of the run."""
    count = len(volts)
    mean_v, mean_i = sum(volts) / count, sum(amps) / count
    sxy = sum((i - mean_i) * (v - mean_v) for v, i in zip(volts, amps))
    sxx = sum((i - mean_i) ** 2 for i in amps)
    resistance = -sxy / sxx
    energy = 0.0
    for k in range(count - 1):
        t0, t1 = time_us[k] * 1e-6, time_us[k + 1] * 1e-6
        if t0 >= onset_s and t1 <= end_s:
            energy += (t1 - t0) * (volts[k] * amps[k] + volts[k + 1] * amps[k + 1]) / 2
    return {"open_v": mean_v + resistance * mean_i, "resistance_ohm": resistance, "energy_j": energy}
