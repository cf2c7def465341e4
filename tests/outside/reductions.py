"""Invented runs of many kinds, with what `reduction.py` makes of each by definition, before any thinning.

Of what is expected: `end_index` and `first_index` (the end, and the first sample after the onset) count samples once
repeated stamps are merged; `smoothed_nm`, at every such sample, and `quiet_nm` are before the zero is taken away, all
other torques after; `onset_s` and `end_us` are on the log's own clock, other times count from the onset; `h_nm` holds
H at the samples from `first_index` to `end_index`, `h0_nm` at the onset itself. A `time_s` of null is "not reached".
"""

from itertools import count
from math import exp

import numpy as np

import reduction
from reduction import NeverRises, Undecided

JOINTS = {
    "stiff": {"angle_deg": [0.0, 20.0, 45.0, 120.0], "torque_nm": [0.0, 90.0, 260.0, 1100.0]},
    "short line": {"angle_deg": [0.0, 30.0, 70.0], "torque_nm": [12.0, 60.0, 150.0]},
}


def uniform(rate_hz, seconds):
    """Times of even sampling, in whole microseconds."""
    return lambda rng: [round(k * 1e6 / rate_hz) for k in range(int(seconds * rate_hz))]


def uneven(mean_gap_us, n, repeats):
    """Times with gaps of half to one and a half the mean, `repeats` of them zero (two or three rows alike)."""

    def times(rng):
        gaps = rng.integers(mean_gap_us // 2, mean_gap_us * 3 // 2, n)
        gaps[rng.choice(np.arange(1, n), repeats, replace=False)] = 0
        start = int(rng.integers(0, 5000))
        return [start + int(g) for g in np.cumsum(gaps)]

    return times


def torque(rng, time_us, spec):
    """Blows on a rising curve: dips that fill two fifths of each blow, noise, offset, and what the case adds."""
    out = []
    for t in (x / 1e6 - spec.get("trigger_s", 0.25) for x in time_us):
        base = spec["peak_nm"] * (1 - exp(-t / spec["rise_s"])) if t > 0 else 0.0
        if t > 0 and (t * 40) % 1 > 0.6:
            base *= 1 - 0.06 * rng.random()
        bump_at, bump_nm = spec.get("bump", (0, 0))
        if bump_nm and abs(t - bump_at) < 0.03:
            base += bump_nm
        for start, stop, share in spec.get("falls", []):
            if start <= t < stop:
                base *= share
        base = min(base, spec.get("at_most_nm", base))
        drift_nm = spec.get("drift_nm", 0.0) * min(max(1 + t / spec.get("trigger_s", 0.25), 0.0), 1.0)
        step_s, step_nm = spec.get("step", (0, 0.0))
        base += drift_nm + (step_nm if t >= step_s else 0.0)
        noise = spec.get("noise_nm", 1.5) * rng.standard_normal()
        out.append(round((base + spec.get("offset_nm", 0.0) + noise) * 10))
    return out


def angle(rng, time_us, spec):
    """Turned angle that springs back a little between blows."""
    out = []
    for t in (x / 1e6 - spec.get("trigger_s", 0.25) for x in time_us):
        turned = 80 * (1 - exp(-max(t, 0) / spec["rise_s"]))
        back = 3 * rng.random() if t > 0 and (t * 40) % 1 > 0.6 else 0.0
        out.append(round((turned - back + 5) * 10))
    return out


def pack_series(rng, time_us, spec):
    """Voltage and current of an invented pack. `kind`: falling, rising (no resistance), or steady current."""
    voltage, current = [], []
    for t in (x / 1e6 - spec.get("trigger_s", 0.25) for x in time_us):
        load = (30 + 8 * rng.standard_normal()) if t > 0 else 0.5 * rng.random()
        if spec["pack"] == "steady":
            load = 30 + 0.5 * rng.standard_normal()
        ohm = -0.01 if spec["pack"] == "rising" else 0.06
        voltage.append(round((20.3 - ohm * load + 0.05 * rng.standard_normal()) * 1000))
        current.append(round(load * 1000))
    return voltage, current


# name, times, and what differs from the defaults of `build`
CASES = [
    ("100 a second, five seconds", uniform(100, 5.4), {"peak_nm": 420, "rise_s": 1.1}),
    ("200 a second", uniform(200, 1.6), {"peak_nm": 650, "rise_s": 0.5, "window_s": 1.2}),
    ("250 a second", uniform(250, 1.2), {"peak_nm": 300, "rise_s": 0.3, "window_s": 0.9}),
    ("1000 a second", uniform(1000, 0.36), {"peak_nm": 180, "rise_s": 0.08, "window_s": 0.25, "trigger_s": 0.08}),
    ("240 a second, times rounded", uniform(240, 1.0), {"peak_nm": 510, "rise_s": 0.25, "window_s": 0.7}),
    ("offset up", uniform(100, 1.6), {"peak_nm": 420, "rise_s": 0.4, "window_s": 1.25, "offset_nm": 12.3}),
    ("offset down", uniform(100, 1.6), {"peak_nm": 420, "rise_s": 0.4, "window_s": 1.25, "offset_nm": -20.0}),
    ("offset, zero kept", uniform(100, 1.6), {"peak_nm": 420, "rise_s": 0.4, "window_s": 1.25, "offset_nm": -20.0, "keep_zero": True}),
    ("offset, onset given, zero kept", uniform(100, 1.5), {"peak_nm": 240, "rise_s": 0.4, "window_s": 1.2, "offset_nm": 7.7, "onset_nm": 6.0, "keep_zero": True}),
    ("onset given", uniform(200, 1.2), {"peak_nm": 240, "rise_s": 0.4, "window_s": 0.9, "onset_nm": 8.0}),
    ("onset above a fifth of the largest", uniform(200, 1.2), {"peak_nm": 200, "rise_s": 0.4, "window_s": 0.9, "onset_nm": 55.0}),
    ("few samples before the rise", uniform(100, 1.7), {"peak_nm": 380, "rise_s": 0.4, "window_s": 1.5, "trigger_s": 0.05, "offset_nm": 4.0}),
    ("nine samples before", uniform(100, 1.7), {"peak_nm": 380, "rise_s": 0.4, "window_s": 1.4, "trigger_s": 0.075, "offset_nm": 3.0, "want": lambda r: before(r) == 9}),
    ("ten samples before", uniform(100, 1.7), {"peak_nm": 380, "rise_s": 0.4, "window_s": 1.4, "trigger_s": 0.085, "offset_nm": 3.0, "want": lambda r: before(r) == 10}),
    ("no quiet part", uniform(100, 1.6), {"peak_nm": 300, "rise_s": 0.4, "window_s": 1.2, "trigger_s": -0.3, "falls": [(0.5, 0.7, 0.3)], "no_quiet": True}),
    ("no quiet part, window longer than the log", uniform(100, 1.0), {"peak_nm": 300, "rise_s": 0.4, "window_s": 5, "trigger_s": -0.3, "falls": [(0.5, 0.6, 0.4)], "no_quiet": True}),
    ("starts in the rise", uniform(100, 1.4), {"peak_nm": 300, "rise_s": 0.5, "window_s": 1.2, "trigger_s": -0.02, "noise_nm": 0.8}),
    ("seating bump", uniform(200, 1.5), {"peak_nm": 400, "rise_s": 0.4, "window_s": 1.0, "trigger_s": 0.4, "bump": (-0.2, 26.0)}),
    ("seating bump, offset", uniform(200, 1.5), {"peak_nm": 400, "rise_s": 0.4, "window_s": 1.0, "trigger_s": 0.4, "bump": (-0.2, 26.0), "offset_nm": 15.0}),
    ("short log", uniform(100, 1.3), {"peak_nm": 500, "rise_s": 0.7, "window_s": 5, "short": True}),
    ("falls off early", uniform(100, 1.7), {"peak_nm": 500, "rise_s": 0.3, "window_s": 1.3, "falls": [(0.7, 9, 0.05)], "short": True}),
    ("falls and comes back", uniform(100, 1.7), {"peak_nm": 500, "rise_s": 0.3, "window_s": 1.3, "falls": [(0.7, 0.9, 0.05)], "short": False}),
    ("relaxes after the end", uniform(100, 1.6), {"peak_nm": 500, "rise_s": 0.2, "window_s": 1.2, "falls": [(0.8, 9, 0.8)], "short": False}),
    ("largest in the second half of the log, past the window", uniform(100, 1.8), {"peak_nm": 700, "rise_s": 1.2, "window_s": 0.8}),
    ("level top, several samples largest", uniform(200, 1.2), {"peak_nm": 200, "rise_s": 0.2, "window_s": 0.9, "at_most_nm": 150.7, "noise_nm": 0.0}),
    ("smooth 0", uniform(100, 1.8), {"peak_nm": 350, "rise_s": 0.5, "window_s": 1.5, "smooth_s": 0}),
    ("smooth 0.03, limits on samples", uniform(200, 1.2), {"peak_nm": 350, "rise_s": 0.4, "window_s": 0.9, "smooth_s": 0.03}),
    ("uneven, repeated stamps", uneven(7000, 220, 12), {"peak_nm": 450, "rise_s": 0.4, "window_s": 1.1}),
    ("uneven, smooth 0.03, even windows", uneven(5000, 240, 0), {"peak_nm": 330, "rise_s": 0.3, "window_s": 0.8, "smooth_s": 0.03}),
    ("uneven, smooth 0, many repeated", uneven(9000, 150, 40), {"peak_nm": 270, "rise_s": 0.3, "window_s": 0.7, "smooth_s": 0, "offset_nm": 3.3}),
    ("slow sampling", uniform(40, 5.6), {"peak_nm": 420, "rise_s": 1.0}),
    ("weak, torque below zero at first", uniform(100, 1.6), {"peak_nm": 9, "rise_s": 0.4, "window_s": 1.2, "noise_nm": 0.4}),
    ("own angle", uniform(200, 1.2), {"peak_nm": 300, "rise_s": 0.3, "window_s": 0.9, "angle": True}),
    ("own angle, uneven, repeated stamps", uneven(6000, 180, 15), {"peak_nm": 300, "rise_s": 0.3, "window_s": 0.8, "angle": True}),
    ("voltage and current", uniform(100, 1.8), {"peak_nm": 400, "rise_s": 0.5, "window_s": 1.4, "pack": "falling"}),
    ("voltage alone", uniform(100, 1.2), {"peak_nm": 400, "rise_s": 0.3, "window_s": 0.9, "pack": "falling", "voltage_only": True}),
    ("voltage that rises with current", uniform(100, 1.2), {"peak_nm": 400, "rise_s": 0.3, "window_s": 0.9, "pack": "rising"}),
    ("current that spans too little", uniform(100, 1.2), {"peak_nm": 400, "rise_s": 0.3, "window_s": 0.9, "pack": "steady"}),
    ("all series, uneven, repeated stamps", uneven(7000, 170, 12), {"peak_nm": 350, "rise_s": 0.3, "window_s": 0.8, "angle": True, "pack": "falling", "offset_nm": -6.0}),
    ("level: never rises", uniform(100, 0.6), {"peak_nm": 0, "rise_s": 1.0, "noise_nm": 0.0, "offset_nm": 5.0, "problem": True}),
    ("onset above everything: never rises", uniform(100, 0.8), {"peak_nm": 60, "rise_s": 0.5, "onset_nm": 100.0, "problem": True}),
    ("lead-in that slopes up", uniform(200, 1.5), {"peak_nm": 400, "rise_s": 0.4, "window_s": 1.0, "trigger_s": 0.4, "drift_nm": 12.0, "want": lambda r: r.zero_kept == "not flat"}),
    ("lead-in that slopes down", uniform(200, 1.5), {"peak_nm": 400, "rise_s": 0.4, "window_s": 1.0, "trigger_s": 0.4, "drift_nm": -14.0, "offset_nm": 30.0, "want": lambda r: r.zero_kept == "not flat"}),
    ("lead-in that slopes by less than 1 %", uniform(200, 1.5), {"peak_nm": 400, "rise_s": 0.4, "window_s": 1.0, "trigger_s": 0.4, "drift_nm": 2.5, "offset_nm": 5.0, "noise_nm": 0.3, "want": lambda r: r.zero_kept is None}),
    ("lead-in with a step", uniform(200, 1.5), {"peak_nm": 400, "rise_s": 0.4, "window_s": 1.0, "trigger_s": 0.4, "step": (-0.2, 7.0), "want": lambda r: r.zero_kept == "not flat"}),
    ("lead-in with a step down, uneven, repeated stamps", uneven(5000, 300, 15), {"peak_nm": 250, "rise_s": 0.3, "window_s": 0.8, "trigger_s": 0.3, "step": (-0.16, -6.0), "offset_nm": 9.0, "want": lambda r: r.zero_kept == "not flat"}),
    ("lead-in with a step that noise hides", uniform(100, 1.6), {"peak_nm": 60, "rise_s": 0.4, "window_s": 1.2, "step": (-0.12, 1.0), "want": lambda r: r.zero_kept is None}),
    ("lead-in that slopes, zero kept", uniform(200, 1.5), {"peak_nm": 400, "rise_s": 0.4, "window_s": 1.0, "trigger_s": 0.4, "drift_nm": 12.0, "keep_zero": True}),
]


def before(run):
    """How many samples precede the onset."""
    return sum(t / 1e6 < run.onset_log_s for t in run.time_us)


def build(name, times, spec, seed):
    """One case. Raises `Undecided` where the seed gives a run that a float's last bit would decide."""
    rng = np.random.Generator(np.random.PCG64(seed))
    time_us = times(rng)
    rig = {"smooth_s": spec.get("smooth_s", 0.04), "onset_nm": spec.get("onset_nm"), "window_s": spec.get("window_s", 5.0)}
    keep_zero = spec.get("keep_zero", False)
    series = {"time_us": time_us, "torque_dnm": torque(rng, time_us, spec)}
    if spec.get("angle"):
        series["angle_ddeg"] = angle(rng, time_us, spec)
    if "pack" in spec:
        voltage, current = pack_series(rng, time_us, spec)
        series["voltage_mv"] = voltage
        if not spec.get("voltage_only"):
            series["current_ma"] = current
    joint = "short line" if seed % 3 == 0 else "stiff"
    case = {"name": name, "seed": seed, "rig": rig, "keep_zero": keep_zero, "joint": joint, "run": series}

    torque_nm = [x / 10 for x in series["torque_dnm"]]
    try:
        run = reduction.reduce(time_us, torque_nm, keep_zero=keep_zero, **rig)
    except NeverRises:
        assert spec.get("problem"), name
        return case | {"expected": {"problem": "torque never rises"}}
    assert not spec.get("problem"), name
    for key in ("short", "no_quiet"):
        assert key not in spec or getattr(run, key) == spec[key], (name, key)
    if "want" in spec and not spec["want"](run):
        raise Undecided(name)
    return case | {"expected": expected(run, series, JOINTS[joint])}


def expected(run, series, joint):
    """Everything the run's fixture asserts."""
    merged = {key: reduction.merge_repeated(series["time_us"], series[key])[1] for key in series if key != "time_us"}
    angle_deg = [x / 10 for x in merged["angle_ddeg"]] if "angle_ddeg" in merged else None
    return {
        "repeated_stamps": run.repeated_stamps,
        "samples_merged": len(run.time_us),
        "median_gap_s": run.median_gap_s,
        "smoothed_nm": run.smoothed_nm,
        "quiet_nm": run.quiet_nm,
        "onset_level_nm": run.onset_level_nm,
        "onset_s": run.onset_log_s,
        "zero_nm": run.zero_nm,
        "zero_kept": run.zero_kept,
        "end_index": run.end_index,
        "end_us": run.time_us[run.end_index],
        "first_index": run.first_index,
        "h0_nm": run.h_nm[0],
        "h_nm": run.h_nm[1:],
        "peak_nm": run.h_nm[-1],
        "largest_sample_nm": run.largest_sample_nm,
        "short": run.short,
        "no_quiet": run.no_quiet,
        "mean_torque_nm": run.mean_torque_nm(),
        "early_torque_nm": run.at(1.0),
        "at": [at(run, x, joint, angle_deg) for x in asked(run)],
        "pack": reduction.pack(run, merged.get("voltage_mv"), merged.get("current_ma")),
    }


def asked(run):
    """Torques to ask about: below the start, along the curve, above the peak."""
    peak = run.h_nm[-1]
    torques = [0.5 * run.h_nm[0], *(s * peak for s in (0.1, 0.37, 0.6, 0.83, 0.97)), 1.2 * peak]
    return [round(x, 2) for x in torques if x > 0]


def at(run, x, joint, angle_deg):
    """Time, work, power and rise rate to a torque."""
    time = run.time_to(x)
    work, extrapolated = reduction.joint_work_j(joint["angle_deg"], joint["torque_nm"], x)
    out = {
        "torque_nm": x,
        "time_s": time,
        "joint_work_j": work,
        "beyond_last_point": extrapolated,
        "joint_average_power_w": reduction.per_time(work, time),
        "rise_rate_nm_per_s": reduction.per_time(x, time),
    }
    if angle_deg is not None:
        own = reduction.own_work_j(run, angle_deg, x)
        out["own_work_j"] = own
        out["own_average_power_w"] = reduction.per_time(own or 0.0, time)
    return out


def fixture():
    """All cases; each takes the first seed from 1 on whose run is decided."""
    cases = []
    for k, (name, times, spec) in enumerate(CASES):
        for seed in count(1000 * (k + 1)):
            try:
                cases.append(build(name, times, spec, seed))
                break
            except Undecided:
                assert seed < 1000 * (k + 1) + 500, name
    return {"joints": JOINTS, "cases": cases}
