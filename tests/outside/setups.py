"""What a second setup costs in torque, by definition, on the fields of `uncertainty.json`.

The loss is a sum over runs with fixed weights. Its variance is wᵀ V w, V the covariance matrix of all runs of the
pairs that were run both ways, written out run by run: its own scatter on the diagonal, and the specimens' scatter
wherever two runs are of one specimen of one tool.
"""

from math import exp, sqrt

import numpy as np
from scipy.stats import t as student

from members import digits, ln
from scatter import welch_satterthwaite
from uncertainty import FEWEST_DEGREES, Field

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
    for run in here:
        if (run["tool"], run["pack"]) not in kept or rng.random() < 0.15:
            continue
        run = dict(run, setup="through", buildup=dict(run["buildup"]))
        factor = exp(-LOST + 0.02 * float(rng.standard_normal()))
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
    names = {(m.tool, m.pack) for m in shared[0]} & {(m.tool, m.pack) for m in shared[1]}
    if not names:
        return None
    values, weights, variances, kinds, specimens = [], [], [], [], []
    for way, (field, sign) in enumerate(zip(fields, (1, -1))):
        for member in field.members:
            if (member.tool, member.pack) not in names:
                continue
            s2, nu = field.run_of_mean.of(member.tool) if field.run_of_mean.nu else (0.0, 0)
            numbers = member.numbers()
            for name, curve in zip(member.specimens, member.curves):
                values.append(ln(curve.mean_nm()))
                weights.append(sign / (len(names) * len(numbers) * numbers[name]))
                variances.append(s2)
                # one estimate for all tools of a setup where they are not told apart
                alone = field.run_of_mean.prior is not None
                kinds.append((way, member.tool if alone else None, nu))
                specimens.append((member.tool, name))
    w = np.array(weights)
    lost = float(w @ np.array(values))
    row = {"pairs": len(names), "lost_percent": digits(100 * (1 - exp(lost))), "ends": None}
    if any(f.run_of_mean.nu < FEWEST_DEGREES for f in fields):
        return row
    unit = fields[1].unit
    same = np.array([[a == b for b in specimens] for a in specimens], dtype=float)
    parts = [(unit.s2 * float(w @ same @ w), unit.nu)]
    for kind in dict.fromkeys(kinds):
        own = np.array([k == kind for k in kinds])
        parts.append((float(w[own] @ np.diag(np.array(variances)[own]) @ w[own]), kind[2]))
    variance = float(w @ (unit.s2 * same + np.diag(variances)) @ w)
    assert abs(variance - sum(v for v, _ in parts)) < 1e-12 * variance
    half = sqrt(variance) * float(student.ppf(0.95, welch_satterthwaite([p for p in parts if p[0] > 0])))
    row["ends"] = [digits(100 * (1 - exp(lost + half))), digits(100 * (1 - exp(lost - half)))]
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
        expected = cost(data, edition)
        if expected:
            out.append({"name": case["name"], "edition": edition, "dataset": data, "expected": expected})
    known = [c for c in out if c["expected"]["ends"]]
    assert len(known) >= 8 and any(c["expected"]["pairs"] > 3 for c in known)
    return {"cases": out}
