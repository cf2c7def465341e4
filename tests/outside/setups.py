"""What a second setup costs in torque, by definition, on the fields of `uncertainty.json`.

The loss is a sum over runs with fixed weights. Its variance is wᵀ V w, V the covariance matrix of all runs of the
pairs that were run both ways, written out run by run, and what the loss varies by from pair to pair, by moments: what
squares of the pairs' own losses have beyond what V gives them, held by two degrees of freedom of the runs' variance.
"""

from math import exp, sqrt

import numpy as np
from scipy.stats import t as student

import shares
from intervals import mean_weights
from members import digits, ln
from reduction import Undecided
from scatter import LEAST_NU
from uncertainty import Field

PRIOR_NU = 2

LOST = 0.09
"""What an extension takes of every run, about."""


def with_extension(rng, data, edition):
    """The same dataset with a second setup, in which some pairs were run again, some on other specimens."""
    out = dict(data)
    out["setups"] = [data["setups"][0], {"id": "through", "name": "through", "extension_mm": 150}]
    out["rigs"] = [data["rigs"][0]]
    homes = {d["id"] for d in data["days"] if d.get("rig", data["rigs"][0]["id"]) == data["rigs"][0]["id"]}
    out["days"] = [d for d in data["days"] if d["id"] in homes]
    here = [r for r in data["runs"] if r.get("setup", data["setups"][0]["id"]) == data["setups"][0]["id"]]
    here = [r for r in here if r["day"] in homes and r.get("edition") is not None]
    pairs = sorted({(r["tool"], r["pack"]) for r in here})
    kept = [pairs[k] for k in sorted(rng.permutation(len(pairs))[: max(1, (2 * len(pairs)) // 3)])]
    again = []
    # with some tools and packs it takes more than with others
    varies = {pair: float(rng.choice((0.0, 0.04))) * float(rng.standard_normal()) for pair in kept}
    for run in here:
        if (run["tool"], run["pack"]) not in kept or rng.random() < 0.15:
            continue
        run = dict(run, setup="through", buildup=dict(run["buildup"]))
        pair = run["tool"], run["pack"]
        factor = exp(-LOST + varies[pair] + 0.02 * float(rng.standard_normal()))
        rise = [round(factor * x) for x in run["buildup"]["rise_dnm"]]
        run["buildup"] |= {"rise_dnm": rise, "onset_dnm": min(run["buildup"]["onset_dnm"], rise[0])}
        if "specimen" in run and rng.random() < 0.3:
            run["specimen"] += "x"
        again.append(run)
    out["runs"] = here + again
    return out


def turned(data):
    """The same dataset with the second setup as its first."""
    return dict(data, setups=data["setups"][::-1])


def explicit(data):
    """Every run with its setup."""
    first = data["setups"][0]["id"]
    return dict(data, runs=[dict(r, setup=r.get("setup", first)) for r in data["runs"]])


def cost(data, edition):
    """Pairs, loss and its ends in per cent."""
    data = explicit(data)
    fields = [Field(turned(data), edition), Field(data, edition)]
    shared = [[m for m in f.members if (m.tool, m.pack)] for f in fields]
    names = sorted({(m.tool, m.pack) for m in shared[0]} & {(m.tool, m.pack) for m in shared[1]})
    if not names:
        return None
    runs, values, weights = [], [], np.zeros((len(names), 0))
    for way, (field, sign) in enumerate(zip(fields, (1, -1))):
        for member in field.members:
            if (member.tool, member.pack) not in names:
                continue
            own, of_mean = mean_weights(member)
            # runs of one tool scatter in each setup by a number of its own
            runs += [((way, tool), *origin) for tool, *origin in own]
            values += [ln(curve.mean_nm()) for curve in member.curves]
            more = np.zeros((len(names), len(own)))
            more[names.index((member.tool, member.pack))] = [sign * w for w in of_mean]
            weights = np.hstack((weights, more))
    losses = weights @ np.array(values)
    lost = float(np.mean(losses))
    row = {"pairs": len(names), "lost_percent": digits(100 * (1 - exp(lost))), "ends": None}
    if any(f.run_of_mean.nu < LEAST_NU for f in fields):
        return row
    scatters = fields[1].scatters(fields[1].run_of_mean)
    scatters.runs = {kind: fields[kind[0]].run_of_mean.of(kind[1]) for kind, *_ in runs}
    parts = shares.terms(runs, np.mean(weights, axis=0), scatters)
    of_pairs = [shares.total(shares.terms(runs, own, scatters))[0] for own in weights]
    explained = sum(of_pairs) - len(names) * shares.total(parts)[0]
    beyond = float(np.sum((losses - lost) ** 2)) - explained
    nu = PRIOR_NU + len(names) - 1
    parts.append((max(0.0, (PRIOR_NU * fields[1].run_of_mean.s2 + beyond) / nu) / len(names), nu))
    variance, nu = shares.total(parts)
    half = sqrt(variance) * float(student.ppf(0.95, nu))
    row["ends"] = [digits(100 * (1 - exp(lost + half))), digits(100 * (1 - exp(lost - half)))]
    row["varies"] = digits(parts[-1][0])
    return row


def fixture(cases):
    """Fields with a second setup, and what it costs in each."""
    rng = np.random.Generator(np.random.PCG64(150))
    out = []
    for case in cases:
        edition = case["jobs"][0]["question"].get("edition", case["dataset"]["editions"][-1]["edition"])
        if len(case["dataset"]["runs"]) > 130:
            continue
        data = with_extension(rng, case["dataset"], edition)
        try:
            expected = cost(data, edition)
        except Undecided:
            continue
        if expected:
            out.append({"name": case["name"], "edition": edition, "dataset": data, "expected": expected})
    known = [c for c in out if c["expected"]["ends"]]
    assert len(known) >= 8 and any(c["expected"]["pairs"] > 3 for c in known)
    vary = [c["expected"].pop("varies") for c in known]
    assert sum(v > 0 for v in vary) >= 8 and 0 in vary, vary
    return {"cases": out}
