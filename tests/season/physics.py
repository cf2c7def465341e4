"""Samples of one run at the rig: a staircase of blows, dips, noise, zero, pack and angle.

The figures are plausible and invented.
"""

import math
from bisect import bisect_right

from plan import factor, stream
from things import Run, Season, Series, Shape

SNUG_S = 0.025
SNUG_SHARE = 0.05
EXTENSION_SHARE = 0.88
WARM_UP_LOSS = 0.006
WARM_UP_RUNS = 2.5
BACK_SHARE = 0.62
JOINT_ANGLE_DEG = [0.0, 45.0, 120.0]
JOINT_TORQUE_NM = [0.0, 300.0, 1100.0]

# What can go wrong in a run (`Run.mishap`), each with its figure.
MISHAPS = {
    "slip_at_s": "the socket slips: from then on blows carry only to two thirds",
    "let_go_s": "the trigger is let go and the log stops soon after",
    "drift_nm_per_s": "the zero of the amplifier drifts all the time",
    "dead_sensor": "the torque channel shows zero and noise",
    "gain": "factor on the torque of the rig",
    "level": "factor on the torque the tool gives",
    "resistance": "factor on the pack's resistance",
    "cell_v": "voltage of a cell without load",
    "loaded_share": "the log begins when the torque is already at this share of its peak",
}


def simulate(season: Season, run: Run, shape: Shape, sound: bool = False) -> Series:
    """The samples of a run as the rig sees them, before any formatting.

    With `sound`, mistakes are left out; a mishap that the notebook tells of stays.
    """
    mishap = dict(run.open_mishap) if sound else {**run.open_mishap, **run.mishap}
    times = sample_times(season, run, shape, mishap)
    pull = make_pull(season, run, mishap)
    torque = sensor_torque(season, run, times, pull, mishap)
    quantities = {c.quantity for c in shape.channels}
    series = Series(times, torque)
    if "angle" in quantities:
        series.angle = bolt_angle(season, run, times, pull)
    if "voltage" in quantities:
        series.voltage, series.current = pack_channels(season, run, times, pull)
    return start_late(series, mishap)


def lead_in_s(season: Season, run: Run) -> float:
    """Quiet time before the torque begins to rise."""
    return stream(season.seed, "lead", run.key).uniform(0.2, 0.5)


def zero_nm(season: Season, run: Run) -> float:
    """Zero offset of the rig in this log."""
    tool = season.tools[run.tool]
    return stream(season.seed, "zero", run.key).gauss(0, 0.8 if tool.size == "small" else 1.6)


def noise_nm(season: Season, run: Run) -> float:
    """Standard deviation of a sample's noise."""
    high = 1.2 if season.tools[run.tool].size == "small" else 2.0
    return stream(season.seed, "noise", run.key).uniform(1.0, high)


def sample_times(season: Season, run: Run, shape: Shape, mishap: dict) -> list:
    """Times in whole microseconds from the start of the log."""
    rng = stream(season.seed, "times", run.key)
    pull_s = 5.15 + rng.uniform(0, 0.2)
    tail_s = rng.uniform(0.15, 0.35)
    if "let_go_s" in mishap:
        pull_s, tail_s = mishap["let_go_s"], 0.3
    count = int((lead_in_s(season, run) + pull_s + tail_s) * shape.rate_hz)
    step = 1_000_000 // shape.rate_hz
    if not shape.uneven:
        return [k * step for k in range(count)]
    tick = 100
    return [k * step + tick * rng.randint(-step // (5 * tick), step // (5 * tick)) * (k > 0) for k in range(count)]


def pack_state(season: Season, run: Run, mishap: dict):
    """Open voltage, resistance of this unit, and the current at full load."""
    pack = season.packs[run.pack]
    unit = season.unit("pack", run.pack, run.pack_specimen)
    resistance = pack.resistance_ohm * (2 - unit.factor) * mishap.get("resistance", 1.0)
    open_v = mishap["cell_v"] * pack.series if "cell_v" in mishap else pack.open_v
    rng = stream(season.seed, "charge", run.key)
    open_v *= factor(rng, 0.002)
    resistance *= factor(rng, 0.015)
    tool = season.tools[run.tool]
    current = (open_v - BACK_SHARE * pack.nominal_v) / (resistance + tool.winding_ohm)
    return open_v, resistance, current


def run_level(season: Season, run: Run, mishap: dict, current_a: float, open_v: float, resistance: float) -> float:
    """Torque this run levels off at, N·m as the rig reads it."""
    tool, day = season.tools[run.tool], season.days[run.day]
    loaded = (open_v - resistance * current_a) / season.packs[run.pack].nominal_v
    level = tool.level_nm * loaded
    level *= season.unit("tool", run.tool, run.specimen).factor
    level *= season.unit("pack", run.pack, run.pack_specimen).factor
    level *= season.pair_effects[run.tool, run.pack] * day.gain
    level *= 1 - WARM_UP_LOSS * math.exp(-run.order / WARM_UP_RUNS)
    level *= EXTENSION_SHARE if run.setup == "extension" else 1.0
    level *= mishap.get("gain", 1.0) * mishap.get("level", 1.0)
    return level


def make_pull(season: Season, run: Run, mishap: dict) -> dict:
    """The blows of one pull: times in seconds of the log and the torque after each."""
    tool = season.tools[run.tool]
    rng = stream(season.seed, "blows", run.key)
    open_v, resistance, current = pack_state(season, run, mishap)
    luck = factor(rng, tool.run_scatter)
    early = rng.gauss(0, tool.early_scatter)
    level = run_level(season, run, mishap, current, open_v, resistance) * luck
    start = lead_in_s(season, run)
    release = start + (mishap["let_go_s"] if "let_go_s" in mishap else 60.0)
    times, torques = [], []
    torque = level * SNUG_SHARE
    when = start + SNUG_S + rng.uniform(0.004, 0.016)
    while when < start + 5.7:
        since = when - start
        reach = level * rise(tool, since) * math.exp(early * math.exp(-since / 0.6))
        if since > mishap.get("slip_at_s", 99.0):
            reach *= 0.66
        share = rng.uniform(0.55, 1.0)
        if when < release:
            torque += max(0.0, reach - torque) * share
        times.append(when)
        torques.append(torque)
        when += factor(rng, 0.03) / tool.blows_per_s
    pull_end = min(release, start + 5.15 + stream(season.seed, "times", run.key).uniform(0, 0.2))
    return {
        "start": start, "snug": level * SNUG_SHARE, "times": times, "torques": torques, "release": pull_end,
        "blow_s": 1 / tool.blows_per_s, "level": level, "luck": luck,
        "open_v": open_v, "resistance": resistance, "current": current,
    }


def rise(tool, since_s: float) -> float:
    """Share of the level that the blows carry to, `since_s` after the start."""
    fast = (1 - tool.slow_share) * math.exp(-since_s / tool.rise_s)
    return 1 - fast - tool.slow_share * math.exp(-since_s / tool.slow_s)


def joint_torque(pull: dict, when: float) -> float:
    """Torque in the joint, N·m, free of dips and noise."""
    if when <= pull["start"]:
        return 0.0
    index = bisect_right(pull["times"], min(when, pull["release"])) - 1
    if index < 0:
        return pull["snug"] * min(1.0, (when - pull["start"]) / SNUG_S)
    return pull["torques"][index]


def since_blow_s(pull: dict, when: float) -> float:
    index = bisect_right(pull["times"], when) - 1
    return when - pull["times"][index] if index >= 0 else 0.0


def sensor_torque(season: Season, run: Run, times: list, pull: dict, mishap: dict) -> list:
    """What the sensor shows: the joint's torque with spikes, dips, relaxation, zero and noise."""
    rng = stream(season.seed, "samples", run.key)
    zero, noise = zero_nm(season, run), noise_nm(season, run)
    drift = mishap.get("drift_nm_per_s", 0.0)
    dip = rng.uniform(0.03, 0.06)
    dip_from, dip_to = 0.25 * pull["blow_s"], rng.uniform(0.5, 0.62) * pull["blow_s"]
    values = []
    for time_us in times:
        when = time_us * 1e-6
        torque = 0.0 if mishap.get("dead_sensor") else joint_torque(pull, when)
        if torque > pull["snug"] and when <= pull["release"]:
            since = since_blow_s(pull, when)
            if since < 0.002:
                torque *= 1.03
            elif dip_from < since < dip_to:
                torque *= 1 - dip
        elif when > pull["release"]:
            torque *= 1 - 0.012 * (1 - math.exp(-(when - pull["release"]) / 0.1))
        values.append(torque + zero + drift * when + rng.gauss(0, noise))
    return values


def bolt_angle(season: Season, run: Run, times: list, pull: dict) -> list:
    """Angle the bolt head has turned, degrees, with the windings of the joint line."""
    rng = stream(season.seed, "angle", run.key)
    values = []
    for time_us in times:
        torque = joint_torque(pull, time_us * 1e-6)
        values.append(angle_at(torque) + rng.gauss(0, 0.08))
    return values


def angle_at(torque: float) -> float:
    """Inverse of the joint's torque–angle line; its last slope goes on."""
    (a0, a1, a2), (t0, t1, t2) = JOINT_ANGLE_DEG, JOINT_TORQUE_NM
    if torque <= t1:
        return a0 + (a1 - a0) * (torque - t0) / (t1 - t0)
    return a1 + (a2 - a1) * (torque - t1) / (t2 - t1)


def pack_channels(season: Season, run: Run, times: list, pull: dict) -> tuple:
    """Voltage and current of the pack."""
    rng = stream(season.seed, "pack", run.key)
    volts, amps = [], []
    for time_us in times:
        when = time_us * 1e-6
        current = 0.15
        if pull["start"] - 0.02 < when <= pull["release"]:
            load = 0.72 + 0.28 * min(1.0, joint_torque(pull, when) / pull["level"])
            ripple = 1 + 0.12 * math.sin(2 * math.pi * since_blow_s(pull, when) / pull["blow_s"])
            current = pull["current"] * load * ripple * pull["luck"] ** 0.5
        current = max(0.0, current + rng.gauss(0, 0.25))
        amps.append(current)
        volts.append(pull["open_v"] - pull["resistance"] * current + rng.gauss(0, 0.015))
    return volts, amps


def start_late(series: Series, mishap: dict) -> Series:
    """Cuts off the beginning of the log where the mishap says so."""
    share = mishap.get("loaded_share")
    if share is None:
        return series
    limit = share * max(series.torque)
    first = next(i for i, value in enumerate(series.torque) if value > limit)
    cut = series.time_us[first]
    return Series(
        [t - cut for t in series.time_us[first:]],
        series.torque[first:],
        series.angle[first:],
        series.voltage[first:],
        series.current[first:],
    )


def join_parts(season: Season, runs: list, parts: list, shape: Shape) -> tuple:
    """Several runs in one log with the loosened bolt at rest between them.

    Returns the samples and, for each run, the range of sample indices from
    the middle of the rest before it to the middle of the rest after it.
    """
    rng = stream(season.seed, "rest", runs[0].key)
    step = 1_000_000 // shape.rate_hz
    zero, noise = zero_nm(season, runs[0]), noise_nm(season, runs[0])
    times, torque, cuts = [], [], [0]
    for run, part in zip(runs, parts):
        begin = (run.second - runs[0].second) * 1_000_000
        if times:
            last, held, loosened = times[-1], torque[-1] - zero, 0
            first_rest = len(times)
            while times[-1] + step < begin:
                loosened += step
                left = max(0.0, 1 - loosened / 250_000) * held
                times.append(last + loosened)
                torque.append(left + zero + rng.gauss(0, noise))
            cuts.append((first_rest + len(times)) // 2)
        own_zero = zero_nm(season, run)
        times += [begin + t for t in part.time_us]
        torque += [value - own_zero + zero for value in part.torque]
    cuts.append(len(times))
    return Series(times, torque), list(zip(cuts, cuts[1:]))
