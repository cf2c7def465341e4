"""Invented fields: small whole datasets, each with something that the sums over many runs must get right.

Curves are in few knots; runs differ by a factor that is larger early in the run, specimens of a tool, units of a pack
and days by a factor of their own. What is asked of each field stands beside it.
"""

from math import exp

import numpy as np

WINDOW_S = 2.5
JOINT = {"angle_deg": [0, 15, 40, 110], "torque_nm": [0, 70, 250, 900]}
DAYS = ["2026-01-10", "2026-02-10", "2026-03-10"]
MORE_DAYS = [f"2026-03-{day}" for day in range(12, 31)]
TICK_US = 5000


def knots(rng, peak_nm, rise_s, run, early, angle):
    """A rise to `peak_nm` in five or six knots, scaled by exp(`run`), early by exp(`run` + `early`)."""
    n = int(rng.integers(5, 7))
    grid = np.geomspace(6, 480 if rng.random() < 0.7 else 560, n - 1)
    ticks = [0, *(int(x) for x in np.maximum.accumulate(np.round(grid * (1 + 0.1 * (rng.random(n - 1) - 0.5)))))]
    first_us = int(rng.integers(200, TICK_US))
    times = [(first_us + TICK_US * k) / 1e6 for k in ticks]
    values = [10 * peak_nm * (1 - exp(-(t + 0.03) / rise_s)) * exp(run + early * exp(-t / 0.4)) for t in times]
    values = [int(round(x)) for x in np.maximum.accumulate(values)]
    out = {
        "onset_dnm": min(round(0.2 * peak_nm), values[0]),
        "tick_us": TICK_US,
        "first_us": first_us,
        "step": [0] + [b - a for a, b in zip(ticks, ticks[1:])],
        "rise_dnm": [values[0]] + [b - a for a, b in zip(values, values[1:])],
        "largest_dnm": values[-1] + int(rng.integers(0, 90)),
        "samples": ticks[-1] + 60,
        "zero_dnm": 0,
        "gap_us": TICK_US,
    }
    if angle:
        out["turn_ddeg"] = [int(x) for x in rng.integers(30, 160, n)]
    return out


def usual_day(i, j, k):
    """Each pair on one day, the second tool's runs after the third on the day after that."""
    return (i + 2 * j + (i == 1 and k > 2)) % len(DAYS)


class Effects:
    """Effects of specimens, packs' units and days, each drawn when it is first met."""

    def __init__(self, rng, spec):
        self.rng, self.known = rng, {}
        self.sds = [spec.get(f"{kind}_sd", sd) for kind, sd in (("specimen", 0.03), ("unit", 0.015), ("day", 0.008))]

    def of(self, *names):
        """Of a specimen, a pack's unit and a day, together."""
        for name, sd in zip(names, self.sds):
            if name not in self.known:
                self.known[name] = sd * float(self.rng.standard_normal())
        return sum(self.known[name] for name in names)


def runs_of(rng, spec, effects):
    """The runs that count."""
    units, days = spec.get("units", lambda i, j, k: "-"), spec.get("days", usual_day)
    for i, scatter in enumerate(spec["scatter"]):
        peak = 400 * exp(spec.get("tool_sd", 0.06) * float(rng.standard_normal()))
        rise = float(rng.uniform(0.35, 0.8))
        for j in range(spec["packs"]):
            pack = exp(spec.get("pack_step", 0.035) * (j + 0.6 * float(rng.standard_normal())))
            for k, name in enumerate(spec["runs"](i, j)):
                unit, day = units(i, j, k), f"d{days(i, j, k) + 1}"
                effect = effects.of((i, name), ("pack", j, unit), day) + scatter * float(rng.standard_normal())
                early = 2 * scatter * float(rng.standard_normal())
                run = {"tool": f"t{i + 1}", "pack": f"p{j + 1}"}
                run |= {} if name == "-" else {"specimen": name}
                run |= {} if unit == "-" else {"pack_specimen": unit}
                run |= {"day": day, "edition": 1}
                run["buildup"] = knots(rng, peak * pack, rise, effect, early, spec.get("angle", False))
                yield run


def check_runs(rng, spec, effects, runs):
    """Check runs of the first pair, as it was first run, on every day."""
    first = {k: v for k, v in runs[0].items() if k not in ("day", "buildup")}
    names = (0, first.get("specimen", "-")), ("pack", 0, first.get("pack_specimen", "-"))
    for day in sorted({run["day"] for run in runs}):
        for _ in range(spec.get("checks", 0)):
            effect = effects.of(*names, day) + spec["scatter"][0] * float(rng.standard_normal())
            buildup = knots(rng, 380, 0.5, effect, 0, spec.get("angle", False))
            yield first | {"day": day, "control": True, "buildup": buildup}


def dataset(rng, spec):
    """A whole dataset of one invented field; its check runs come first."""
    tools, packs = len(spec["scatter"]), spec["packs"]
    effects = Effects(rng, spec)
    runs = list(runs_of(rng, spec, effects))
    runs = list(check_runs(rng, spec, effects, runs)) + runs
    dates = DAYS + MORE_DAYS[: spec.get("more_days", 0)]
    rig = {"id": "r1", "torque_from": "torque sensor", "window_s": WINDOW_S}
    for kind, key in (("unit", "unit_to_unit"), ("pack", "pack_to_pack"), ("day", "day_to_day")):
        if f"{kind}_percent" in spec:
            rig[f"{key}_percent"] = spec[f"{kind}_percent"]
    if "calibrations" in spec:
        rig["calibrations"] = spec["calibrations"]
    if spec.get("joint", True):
        rig["joints"] = [{"id": "j1", "name": "j1"} | JOINT]
    out = {
        "format": "jobtorque/1",
        "title": "Invented field",
        "license": "CC0-1.0",
        "disclosure": "nobody",
        "invented": True,
        "editions": [{"edition": 1, "date": "2026-04-01"}],
        "rigs": [rig],
        "setups": [{"id": "s1", "name": "s1"}],
        "tools": [{"id": f"t{i + 1}", "name": f"t{i + 1}", "pack_mount": "m"} for i in range(tools)],
        "packs": [{"id": f"p{j + 1}", "name": f"p{j + 1}", "pack_mount": "m"} for j in range(packs)],
        "days": [{"id": f"d{k + 1}", "date": date} for k, date in enumerate(dates)],
        "runs": runs,
    }
    if "used" in spec:
        pack, unit = spec["used"]
        out["specimens"] = [{"pack": pack, "specimen": unit, "condition": "used"}]
    if spec.get("mass"):
        # one tool was not weighed
        for i, tool in enumerate(out["tools"][:-1]):
            tool["mass_kg"] = round(1.2 + 0.35 * i + float(rng.uniform(0, 0.1)), 3)
        for j, pack in enumerate(out["packs"]):
            pack["mass_kg"] = round(0.4 + 0.22 * j, 3)
    if spec.get("price"):
        price = lambda amount: [{"amount": amount, "currency": "EUR", "date": "2026-01-01"}]
        for i, tool in enumerate(out["tools"]):
            tool["prices"] = price(round(float(rng.uniform(150, 260))))
        for j, pack in enumerate(out["packs"][:-1]):
            pack["prices"] = price(60 + 35 * j)
    for change in spec.get("changes", []):
        change(rng, out)
    return out
