"""What is changed in an invented field after it was made."""

from fields import WINDOW_S, knots


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
