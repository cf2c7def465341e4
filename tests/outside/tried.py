"""What nuts say that were tried with pairs of the fields of `uncertainty.json`, and the chance for a new one.

Curves, scatters and the further try are those of `uncertainty.py`, without the calibration; the posterior is that of
`nuts.py`. Which checks count, in which group and state, and at which step of the window a try's scatter is read, stands
here.
"""

from math import exp, inf, log

import numpy as np

from members import digits
from nuts import Grid, interval
from reduction import Undecided, decided
from typical import WINDOW_S
from uncertainty import Field, further_try, verdict

STEPS = 50
"""Scatter is read at the nearest of so many steps of the window, never at its start."""
NARROW = 1e-3
ENOUGH = {"checks": 10, "groups": 3, "loose": 4}


def drawn(rng, field, edition):
    """Checks as somebody may have noted them: some say nothing, some are of a later day."""
    date = next(e["date"] for e in field.data["editions"] if e["edition"] == edition)
    out = []
    for k in range(int(rng.integers(14, 26))):
        member = field.members[int(rng.integers(len(field.members)))]
        aged = rng.random() < 0.7
        middle, spread = (log(1.3), 0.25) if aged else (log(0.8), 0.12)
        installed = round(exp(member.log_typical(WINDOW_S) - middle - 0.1 - 0.25 * float(rng.standard_normal())))
        f = middle + spread * float(rng.standard_normal())
        time_us = member.first_us(f + log(installed))
        check = {
            "date": "2020-02-02" if k % 3 else "2020-03-03",
            "tool": member.tool,
            "pack": member.pack,
            "fastener": "M20" if k % 5 else "M16",
            "state": "two winters old" if aged else "Fresh",
            "installed_nm": installed,
            "came_loose": time_us is not None,
            "tried_s": digits(float(rng.uniform(1, 2 * WINDOW_S)), 3),
        }
        if time_us is not None:
            check["tried_s"] = digits(time_us / 1e6 + float(rng.uniform(0.004, 0.3)), 3)
        # what the list leaves unsaid
        if k % 7 == 6:
            check["tried_s"] = None
        if k % 11 == 10:
            check["state"] = None
        if k % 13 == 12:
            check[("pack", "came_loose", "installed_nm")[k % 3]] = None
        if k % 17 == 16:
            check["date"] = "2099-01-01"
        out.append(check)
    return date, out


def counts(check, date):
    """Whether a check says something of a pair."""
    said = all(check[part] is not None for part in ("tool", "pack", "installed_nm", "came_loose"))
    return said and (check["date"] is None or check["date"] <= date)


def seen(field, scatters, check):
    """The two ends of the logarithm of a nut's factor, and S."""
    member = next(m for m in field.members if (m.tool, m.pack) == (check["tool"], check["pack"]))
    lead = lambda t: member.log_typical(min(t, WINDOW_S)) - log(check["installed_nm"])
    time_s, held = check["tried_s"], not check["came_loose"]
    step = STEPS if time_s is None else STEPS * time_s / WINDOW_S
    decided(step % 1, 0.5, 1e-6)
    step = min(max(round(step), 1), STEPS)
    s, _ = further_try(member, scatters[step], 0.0)
    if held and time_s is None:
        return -inf, inf, s
    if not held and time_s is not None and time_s - 0.3 >= WINDOW_S:
        return lead(WINDOW_S), inf, s
    nut = {"tried_s": time_s if held else None, "loose_s": None if held else time_s}
    low, high = interval(nut, lead, WINDOW_S)
    if -inf < low and high < inf:
        decided(high - low, NARROW, 1e-9)
        low = min(low, high - NARROW)
    return low, high, s


def told(state, nuts):
    """What is told of the nuts of one state."""
    groups = list(dict.fromkeys(group for *_, group in nuts))
    checks = [(low, high, s, groups.index(group)) for low, high, s, group in nuts]
    loose = [exp(high) for _, high, _, _ in checks if high < inf]
    count = {"checks": len(checks), "groups": len(groups), "loose": len(loose)}
    grid = Grid(state, checks) if all(count[k] >= least for k, least in ENOUGH.items()) else None
    row = count | {
        "condition": "checked-fresh" if state == "fresh" else "checked",
        "loose_from": digits(min(loose)) if loose else None,
        "loose_to": digits(max(loose)) if loose else None,
        "factor": grid and digits(grid.factor(0.5)),
        "factor_19_of_20": grid and digits(grid.factor(0.95)),
    }
    return row, grid


def asked(rng, field, row, grid):
    """A question about a nut like those, and its answer."""
    member = field.members[int(rng.integers(len(field.members)))]
    within_s, loss = (WINDOW_S, 0.0) if rng.random() < 0.5 else (1.3, 12.0)
    job = round(exp(member.log_typical(within_s)) / row["factor"] * float(rng.uniform(0.6, 1.1)))
    scatter = field.scatter_at([within_s] * len(field.members))
    s, nu = further_try(member, field.scatters(scatter), 0.0)
    chance = grid.chance(member.log_typical(within_s) - log(job / (1 - loss / 100)), s, nu)
    question = {"tool": member.tool, "pack": member.pack, "job": f"{job} N·m", "condition": row["condition"]}
    return {
        "question": question | {"within_s": within_s, "loss_percent": loss},
        "required_nm": digits(job * row["factor"] / (1 - loss / 100)),
        "chance": digits(chance),
        "verdict": verdict(chance),
    }


def build(name, data, edition, rng):
    """One case."""
    field = Field(data, edition)
    date, checks = drawn(rng, field, edition)
    out = {"name": name, "edition": edition, "field_checks": checks, "told": [], "asked": []}
    if field.too_few:
        return out
    at = lambda k: field.scatter_at([WINDOW_S * k / STEPS] * len(field.members))
    scatters = [field.scatters(at(k)) for k in range(STEPS + 1)]
    for state in ("aged", "fresh"):
        nuts = []
        for check in checks:
            own = "fresh" if (check["state"] or "").lower() == "fresh" else "aged"
            if own == state and counts(check, date):
                group = tuple(check[part] for part in ("date", "fastener", "tool", "state"))
                nuts.append((*seen(field, scatters, check), group))
        if not nuts:
            continue
        row, grid = told(state, nuts)
        out["told"].append(row)
        if grid:
            out["asked"] += [asked(rng, field, row, grid) for _ in range(3)]
    return out


def fixture(cases):
    """Nuts tried with pairs of each field."""
    out = []
    for k, case in enumerate(cases):
        edition = case["jobs"][0]["question"].get("edition", case["dataset"]["editions"][-1]["edition"])
        for seed in range(100 * k, 100 * k + 99):
            try:
                rng = np.random.Generator(np.random.PCG64(7000 + seed))
                out.append(build(case["name"], case["dataset"], edition, rng))
                break
            except Undecided:
                assert seed < 100 * k + 90, case["name"]
    assert sum(len(case["asked"]) for case in out) >= 20
    assert any(row["factor"] is None for case in out for row in case["told"])
    return {"cases": out}
