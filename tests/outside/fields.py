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
        "days": [{"id": f"d{k + 1}", "date": date} for k, date in enumerate(DAYS + MORE_DAYS[: spec.get("more_days", 0)])],
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


def copied(rng, out):
    """The runs of t2 with p2 are those of t1 with p1: two combinations in a tie, whatever is asked."""
    first = [r["buildup"] for r in out["runs"] if (r["tool"], r["pack"]) == ("t1", "p1")]
    second = [r for r in out["runs"] if (r["tool"], r["pack"]) == ("t2", "p2")]
    for run, buildup in zip(second, first, strict=True):
        run["buildup"] = buildup


def alike(rng, out):
    """All runs of t1 with one pack are the same to the last digit."""
    first = {}
    for run in out["runs"]:
        if run["tool"] == "t1":
            run["buildup"] = first.setdefault(run["pack"], run["buildup"])


def all_alike(rng, out):
    """All runs of a pair are the same to the last digit."""
    first = {}
    for run in out["runs"]:
        run["buildup"] = first.setdefault((run["tool"], run["pack"]), run["buildup"])


def not_counted(rng, out):
    """Runs that do not count: a draft, one set aside, one of a later edition, another setup's, another rig's; and
    such control runs, which do not serve. Each far off, so that it would show."""
    out["setups"].append({"id": "s2", "name": "s2"})
    out["rigs"].append({"id": "r2", "torque_from": "torque sensor", "window_s": WINDOW_S, "unit_to_unit_percent": 44})
    out["days"].append({"id": "d9", "date": "2026-03-11", "rig": "r2"})
    out["editions"] += [{"edition": 2, "date": "2026-05-01"}, {"edition": 3, "date": "2026-06-01"}]
    marks = [
        {"edition": None},
        {"excluded": {"reason": "slipped", "edition": 2}},
        {"edition": 3},
        {"setup": "s2"},
        {"day": "d9"},
        {"tool": "t1", "pack": "p2", "excluded": {"reason": "slipped", "edition": 1}, "specimen": "Z"},
    ]
    first = {"tool": "t1", "pack": "p1", "control": True}
    marks += [first | mark for mark in marks[:5]]
    counted = [run for run in out["runs"] if "control" not in run]
    for k, mark in enumerate(marks):
        run = dict(counted[2 * k])
        run["buildup"] = knots(rng, 400, 0.5, 0.4 * float(rng.standard_normal()), 0, False)
        out["runs"].insert(5 * k, run | mark)
    # set aside in the edition after the one asked for: counts
    out["runs"][-1]["excluded"] = {"reason": "slipped", "edition": 3}


def corrected(rng, out):
    """One day read 3 % low, another 1 % high; a correction of a later edition does not count yet."""
    out["editions"][0]["corrections"] = [{"text": "socket", "days": ["d1"], "torque_factor": 1.03}]
    out["editions"][1]["corrections"] = [
        {"text": "zero", "days": ["d2"], "torque_factor": 0.99},
        {"text": "note only", "tools": ["t1"]},
    ]
    out["editions"][2]["corrections"] = [{"text": "later", "days": ["d3"], "torque_factor": 1.2}]


def without_a_run(rng, out):
    """A tool and a pack that no run names."""
    out["tools"].append({"id": "t9", "name": "t9", "pack_mount": "m"})
    out["packs"].append({"id": "p9", "name": "p9", "pack_mount": "other"})


def always(names):
    """The same runs for every pair."""
    return lambda i, j: names


def listed(*rows):
    """Runs by tool and pack: one string for each pair, one letter for each run."""
    table = [row.split("|") for row in rows]
    return lambda i, j: table[i][j].strip()


BEST = {"score": "best-of-three"}
JOBS = [(0.4, {}), (0.8, {}), (0.97, {})]
"""Torques as a share of the middle of the peaks, and what else is asked."""

MEASURES = ["mean", "peak", "early"]

CALIBRATIONS = [
    {"date": "2026-02-20", "expanded_uncertainty_percent": 2.0, "coverage_factor": 2},
    {"date": "2025-12-01", "expanded_uncertainty_percent": 3.5, "coverage_factor": 1.96},
    {"date": "2026-02-01", "expanded_uncertainty_percent": 6.0, "coverage_factor": 3},
    {"date": "2026-08-01", "expanded_uncertainty_percent": 50.0, "coverage_factor": 2},
]
"""Out of order; the last is in force on no day."""

# What "must" be so of a field is checked in `uncertainty.py`.
FIELDS = [
    {
        "name": "ten tools with one pack",
        "scatter": [0.03, 0.02, 0.05, 0.03, 0.03, 0.04, 0.01, 0.03, 0.03, 0.02],
        "packs": 1,
        "runs": lambda i, j: "AABB" if i % 4 == 0 else "AAA",
        "tool_sd": 0.08,
        "jobs": JOBS,
        "by": MEASURES,
    },
    {
        "name": "three tools, three packs, one specimen each",
        "scatter": [0.03, 0.03, 0.03],
        "packs": 3,
        "runs": always("AAA"),
        "jobs": JOBS,
        "by": MEASURES,
    },
    {
        "name": "unequal run scatter, moderated",
        "scatter": [0.006, 0.09, 0.025, 0.05],
        "packs": 2,
        "runs": lambda i, j: "AAA" + "AA"[: (i + j) % 3],
        "unit_percent": 3.5,
        "jobs": JOBS + [(0.9, BEST)],
        "by": MEASURES,
        "must": "moderated",
    },
    {
        "name": "equal run scatter, none to moderate",
        "scatter": [0.03, 0.03, 0.03, 0.03],
        "packs": 2,
        "runs": always("AAAA"),
        "unit_percent": 2,
        "calibrations": CALIBRATIONS[1:2],
        "jobs": JOBS,
        "by": ["mean"],
        "must": "never moderated",
    },
    {
        "name": "two tools: too few to moderate",
        "scatter": [0.01, 0.06],
        "packs": 3,
        "runs": always("AAAA"),
        "jobs": JOBS,
        "by": ["peak"],
        "must": "never moderated",
    },
    {
        "name": "one of three tools with single runs: too few to moderate",
        "scatter": [0.01, 0.08, 0.03],
        "packs": 2,
        "runs": listed("AAAA|AAA", "AAA|AAA", "A|A"),
        "unit_percent": 3,
        "jobs": JOBS,
        "by": ["early"],
        "must": "never moderated",
    },
    {
        "name": "two and three specimens, shared by the packs",
        "scatter": [0.02, 0.03, 0.02],
        "packs": 3,
        "runs": listed("AAABBB|AAABB|AABBB", "AABBCC|AAABCC|AABBC", "AAA|AAA|AAAA"),
        "specimen_sd": 0.04,
        "unit_percent": 3,
        "jobs": JOBS + [(0.7, BEST)],
        "by": MEASURES,
        "must": "specimens differ",
    },
    {
        "name": "specimens shared in part",
        "scatter": [0.02, 0.03, 0.015, 0.03],
        "packs": 3,
        "runs": listed("AABB|BBBCC|AAC", "AAA|BBB|AABB", "AAAA|AAA|AA", "-|-A|AABBCD"),
        "specimen_sd": 0.05,
        "jobs": JOBS,
        "by": MEASURES,
        "mass": True,
        "must": "specimens differ",
    },
    {
        "name": "specimens closer together than their runs",
        "scatter": [0.05, 0.06, 0.04],
        "packs": 2,
        "runs": listed("AAABBBCCC|AAABBB", "AAABBB|AABB", "AAABBB|AABB"),
        "specimen_sd": 0.0,
        "unit_percent": 4,
        "jobs": JOBS,
        "by": ["mean"],
        "must": "specimens alike",
    },
    {
        "name": "a second specimen, never with the same pack",
        "scatter": [0.02, 0.02, 0.03],
        "packs": 2,
        "runs": listed("AAA|BBB", "AAAA|AAAA", "AAA|AA"),
        "unit_percent": 4,
        "jobs": JOBS,
        "by": ["mean"],
    },
    {
        "name": "two runs everywhere",
        "scatter": [0.02, 0.04, 0.03, 0.015, 0.03],
        "packs": 2,
        "runs": always("AA"),
        "calibrations": CALIBRATIONS[:1],
        "jobs": JOBS,
        "by": ["mean", "early"],
    },
    {
        "name": "some single runs, one tool with nothing else",
        "scatter": [0.008, 0.06, 0.03, 0.03, 0.1],
        "packs": 2,
        "runs": listed("AAAA|A", "A|AAA", "AAA|AAA", "A|A", "AAA|AAAA"),
        "jobs": JOBS,
        "by": ["peak"],
        "must": "moderated",
    },
    {
        "name": "two degrees of freedom: too few runs",
        "scatter": [0.03, 0.03],
        "packs": 2,
        "runs": listed("AA|A", "AA|A"),
        "jobs": [(0.7, {}), (0.7, BEST)],
        "by": ["mean"],
        "must": "too few",
    },
    {
        "name": "three degrees of freedom are enough",
        "scatter": [0.03, 0.03, 0.02],
        "packs": 1,
        "runs": always("AA"),
        "jobs": [(0.5, {}), (0.95, {})],
        "by": ["mean"],
    },
    {
        "name": "single runs only",
        "scatter": [0.03, 0.03, 0.03],
        "packs": 1,
        "runs": listed("A", "A", "B"),
        "unit_percent": 3,
        "jobs": [(0.7, {})],
        "by": ["peak"],
        "must": "too few",
    },
    {
        "name": "several calibrations, and days before the first",
        "scatter": [0.02, 0.03, 0.04],
        "packs": 2,
        "runs": always("AAA"),
        "unit_percent": 1,
        "calibrations": CALIBRATIONS[2:3] + CALIBRATIONS[:1] + CALIBRATIONS[3:],
        "jobs": JOBS,
        "by": ["mean"],
    },
    {
        "name": "patience, condition, loss",
        "scatter": [0.02, 0.05, 0.03],
        "packs": 3,
        "runs": always("AAAA"),
        "calibrations": CALIBRATIONS,
        "jobs": [
            (0.4, {"within_s": 0.6}),
            (0.8, {"within_s": 1.5}),
            (0.6, {"within_s": 1.234567, "condition": 1.3, "loss_percent": 4.5}),
            (0.4, {"within_s": 0.0004}),
        ],
        "by": ["early", "mean-per-kg", "peak-per-kg", "early-per-kg", "mean-per-price"],
        "mass": True,
        "price": True,
    },
    {
        "name": "best of three: three to nine runs, and too few",
        "scatter": [0.03, 0.05, 0.02, 0.03],
        "packs": 3,
        "runs": listed("AAA|AAAA|AAAAA", "AAAAAA|AAAAAAA|AA", "AAAAAAAA|AAAAAAAAA|A", "AAABBBB|AAABB|AABB"),
        "jobs": [(0.4, BEST), (0.8, BEST), (1.0, BEST), (1.3, BEST)],
        "by": [],
    },
    {
        "name": "best of three by rise rate: no joint",
        "scatter": [0.06, 0.05, 0.04],
        "packs": 2,
        "runs": listed("AAABBB|AAAAB", "AAAA|BBBB", "AAA|AAA"),
        "joint": False,
        "unit_percent": 3,
        "jobs": [(0.5, BEST), (0.9, BEST), (0.96, {})],
        "by": ["peak"],
    },
    {
        "name": "best of three by power on the runs' own angles",
        "scatter": [0.04, 0.05, 0.04],
        "packs": 2,
        "runs": listed("AAAA|AAA", "AAABBB|AAA", "AAA|AAAA"),
        "angle": True,
        "joint": False,
        "jobs": [(0.6, BEST), (0.98, BEST)],
        "by": [],
    },
    {
        "name": "two in a tie",
        "scatter": [0.03, 0.03, 0.03],
        "packs": 2,
        "runs": always("AAA"),
        "changes": [copied],
        "jobs": JOBS + [(0.8, BEST)],
        "by": MEASURES,
        "must": "tie",
    },
    {
        "name": "one tool repeats itself to the last digit: less than one degree of freedom",
        "scatter": [0.05, 0.06, 0.05, 0.07],
        "packs": 2,
        "runs": listed("AAA|AAA", "AAA|AAA", "AAA|AAA", "A|A"),
        "unit_percent": 0.05,
        "pack_percent": 0.05,
        "day_percent": 0.05,
        "changes": [alike],
        "jobs": JOBS,
        "by": ["mean"],
        "must": "below one",
    },
    {
        "name": "every run alike: the least scatter",
        "scatter": [0.0, 0.0, 0.0],
        "packs": 2,
        "runs": always("AAA"),
        "changes": [all_alike],
        "jobs": [(0.5, {}), (0.95, {}), (0.8, BEST)],
        "by": ["mean"],
        "must": "never moderated",
    },
    {
        "name": "what does not count",
        "scatter": [0.03, 0.04, 0.02],
        "packs": 3,
        "runs": lambda i, j: "AAA" if i < 2 else "AAB",
        "checks": 2,
        "changes": [not_counted, corrected, without_a_run],
        "edition": 2,
        "calibrations": CALIBRATIONS[:2],
        "jobs": [(0.4, {"edition": 2}), (0.8, {"edition": 2}), (0.97, {"edition": 2, "within_s": 2.0})],
        "by": ["mean"],
    },
    {
        "name": "two units of each pack",
        "scatter": [0.01, 0.015, 0.01],
        "packs": 4,
        "runs": always("AAAA"),
        "units": lambda i, j, k: "AABB"[k],
        "unit_sd": 0.03,
        "jobs": JOBS + [(0.9, BEST)],
        "by": MEASURES,
        "must": "packs measured",
    },
    {
        "name": "days seen by check runs",
        "scatter": [0.015, 0.02, 0.015, 0.02],
        "packs": 2,
        "runs": lambda i, j: "AAAA" if i else "AAAAA",
        "days": lambda i, j, k: (i + 4 * j + (k > 2)) % 6,
        "more_days": 3,
        "day_sd": 0.03,
        "checks": 3,
        "jobs": JOBS + [(0.8, BEST)],
        "by": MEASURES,
        "must": "days measured",
    },
    {
        "name": "every run on a day of its own",
        "scatter": [0.02, 0.03, 0.02],
        "packs": 2,
        "runs": lambda i, j: "AAA" if j else "AAB",
        "days": lambda i, j, k: 6 * i + 3 * j + k,
        "more_days": 15,
        "checks": 2,
        "jobs": JOBS,
        "by": ["mean"],
        "must": "days in runs",
    },
    {
        "name": "a used pack, one unit of it with each tool",
        "scatter": [0.02, 0.03, 0.02],
        "packs": 3,
        "runs": always("AAA"),
        "units": lambda i, j, k: "ABA"[i] if j == 1 else "A",
        "unit_sd": 0.05,
        "used": ("p2", "B"),
        "jobs": JOBS,
        "by": ["mean"],
    },
    {
        "name": "units that nobody ran are used, packs and days stated",
        "scatter": [0.02, 0.03, 0.025],
        "packs": 3,
        "runs": lambda i, j: "AAAB" if i else "AAA",
        "units": lambda i, j, k: "-B"[(i + k) % 2] if j else "-",
        "used": ("p2", "C"),
        "pack_percent": 3.5,
        "day_percent": 1.5,
        "jobs": JOBS,
        "by": ["peak"],
    },
    {
        "name": "everything alike, and seen to be",
        "scatter": [0.008, 0.006, 0.01],
        "packs": 3,
        "runs": always("AAAABBBB"),
        "units": lambda i, j, k: "AABB"[k % 4],
        "tool_sd": 0.003,
        "pack_step": 0.003,
        "specimen_sd": 0.004,
        "unit_sd": 0.003,
        "day_sd": 0.003,
        "checks": 3,
        "unit_percent": 1.5,
        "pack_percent": 1,
        "jobs": JOBS,
        "by": ["mean", "peak"],
        "must": "specimens alike",
    },
    {
        "name": "specimens, units and days crossed, and check runs",
        "scatter": [0.012, 0.02, 0.015, 0.03],
        "packs": 3,
        "runs": listed("AABBAA|AABBB|AACC", "AAABB|BBB|AABB", "AAAA|AAA|AA", "AAABB|CCC|AABBC"),
        "units": lambda i, j, k: "ABC"[(i + k // 2) % (1 + j)],
        "days": lambda i, j, k: (i + j + k // 2) % 5,
        "more_days": 2,
        "specimen_sd": 0.04,
        "unit_sd": 0.025,
        "day_sd": 0.015,
        "checks": 2,
        "calibrations": CALIBRATIONS[:2],
        "jobs": JOBS + [(0.85, BEST)],
        "by": MEASURES,
        "mass": True,
        "must": "specimens differ",
    },
]
