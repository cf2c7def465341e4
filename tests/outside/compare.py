"""Two pairs side by side, by definition, on the fields of `uncertainty.json`.

Distributions are those of scipy. Before anything is written, the chance to be ahead and the interval of a ratio of times
are compared with the same model drawn at random.
"""

from math import exp, inf, log, sqrt

import numpy as np
from scipy.stats import t as student

import shares
from drawn import Luck
from intervals import Errors, mean_weights
from members import CLOSE, digits, ln
from reduction import Undecided, decided
from typical import WINDOW_S, combined
from uncertainty import Field

MARGIN_PERCENT = 6
STEP_US = 10_000
LEAST_US = 100_000
PAIRS = 12
"""Comparisons of each field and job."""


def differences(a, b, logs, scatters):
    """Difference of two means with its variance's terms."""
    runs, weights = [], []
    for member, sign in ((a, 1), (b, -1)):
        own, of_mean = mean_weights(member)
        runs, weights = runs + own, weights + [sign * w for w in of_mean]
    return logs[0] - logs[1], shares.terms(runs, weights, scatters)


def ratio(difference, terms):
    """Ratio with its 90 % interval."""
    variance, nu = shares.total(terms)
    half = sqrt(variance) * float(student.ppf(0.95, nu))
    return [exp(difference), exp(difference - half), exp(difference + half)]


def equivalence(low, high):
    """Within the margin, not holding 1, or neither."""
    margin = log(1 + MARGIN_PERCENT / 100)
    for end, edge in ((log(low), -margin), (log(high), margin), (log(low), 0.0), (log(high), 0.0)):
        decided(end, edge, CLOSE)
    if -margin <= log(low) and log(high) <= margin:
        return "match"
    return "differ" if low > 1 or high < 1 else "undecided"


def verdict(of_kinds, as_tested, terms, basis):
    """By the intervals of kinds and as tested; a match only where what specimens and packs add is more than assumed.

    Shares that cancel leave the last bits of their sums.
    """
    nothing = 1e-12 * shares.total(terms)[0]
    seen = all(term[0] <= nothing or rests != "assumed" for term, rests in zip(terms[:2], basis))
    kinds, tested = equivalence(*of_kinds[1:]), equivalence(*as_tested[1:])
    if kinds == "differ" or kinds == "match" and seen:
        return kinds
    return "alike as tested" if tested == "match" else "undecided"


def time_ratio(a, b, x, scatters, quantile=None):
    """Ratio of the times to a torque, put together of the distances to each time's own ends."""
    rows, errors = [], Errors((a, b), scatters)
    for member, se, nu in zip((a, b), errors.se, errors.nu):
        t = quantile or float(student.ppf(0.95, nu))
        times = [member.first_us(log(x) + sign * se * t) for sign in (-1, 0, 1)]
        if times[1] is None:
            return None
        rows.append(([None if time is None else log(max(time / 1e6, 1e-3)) for time in times], se))
    ((low_a, log_a, high_a), se_a), ((low_b, log_b, high_b), se_b) = rows
    rho = errors.covariance[0][1] / (se_a * se_b)
    across = lambda p, q: sqrt(max(0.0, p * p + q * q - 2 * rho * p * q))
    low = None if high_b is None else exp(log_a - log_b - across(log_a - low_a, high_b - log_b))
    high = None if high_a is None else exp(log_a - log_b + across(high_a - log_a, log_b - low_b))
    return [exp(log_a - log_b), low, high]


def tries_of(a, b):
    """Where a further try of each is made, on one day: the same specimen and unit where tool or pack is one."""
    names = lambda m: (m.tool, f"another {m.tool}", f"another {m.pack}", "another")
    return names(a), names(b)


def try_spread(a, b, scatters):
    """Standard deviation and degrees of freedom of the difference of two further tries less that of the means."""
    runs, weights = list(tries_of(a, b)), [1.0, -1.0]
    for member, sign in ((a, -1), (b, 1)):
        own, of_mean = mean_weights(member)
        runs, weights = runs + own, weights + [sign * w for w in of_mean]
    variance, nu = shares.total(shares.terms(runs, weights, scatters))
    return sqrt(variance), nu


def instant(a, b, x):
    """When the quicker typical curve reaches a torque, else the window's end; in s."""
    times = [t for t in (a.first_us(log(x)), b.first_us(log(x))) if t is not None]
    return min(times) / 1e6 if times else WINDOW_S


def leads(a, b):
    """Who leads from when on, looked at every 10 ms: leads of 0.1 s, or to the end."""
    at = np.arange(0, round(WINDOW_S * 1e6) + 1, STEP_US)
    ahead = a.log_typical_at(at) - b.log_typical_at(at)
    stretches = []
    for time, value in zip(at, ahead):
        if value == 0:
            continue
        decided(value, 0.0, CLOSE)
        if not stretches or stretches[-1][1] != (value > 0):
            stretches.append((int(time) if stretches else 0, bool(value > 0)))
    ends = [start for start, _ in stretches[1:]] + [inf]
    out = []
    for (start, first), end in zip(stretches, ends):
        # the crossing lies up to a step before what is seen here
        decided(end - start, LEAST_US, STEP_US + 1)
        if end - start >= LEAST_US and (not out or out[-1][1] != (0 if first else 1)):
            out.append([start / 1e6, 0 if first else 1])
    return out


def at_job(field, x):
    """All scatters, those of runs at each pair's typical time to the job."""
    times = [m.first_us(log(x)) for m in field.members]
    return field.scatters(field.scatter_at([WINDOW_S if t is None else t / 1e6 for t in times]))


def at_once(field, at_s):
    """The same at one time for all."""
    return field.scatters(field.scatter_at([at_s] * len(field.members)))


def compared(field, k, j, x):
    """Everything that is expected of two pairs and a job."""
    a, b = field.members[k], field.members[j]
    of = {"mean": lambda c: c.mean_nm(), "peak": lambda c: c.peak_nm()}
    rows, terms = {}, None
    for by in ("peak", "mean"):
        logs = [typical_log(m, of[by]) for m in (a, b)]
        scatters = field.scatters(field.measure_scatter(by))
        rows[by] = ratio(*differences(a, b, logs, scatters.as_tested()))
        difference, terms = differences(a, b, logs, scatters)
    kinds = ratio(difference, terms)
    at_s = instant(a, b, x)
    sd, nu = try_spread(a, b, at_once(field, at_s))
    chance = float(student.cdf((a.log_typical(at_s) - b.log_typical(at_s)) / sd, nu))
    time = time_ratio(a, b, x, at_job(field, x).as_tested())
    return {
        "pairs": [k, j],
        "mean": [digits(v) for v in rows["mean"]],
        "mean_of_kinds": [digits(v) for v in kinds],
        "peak": [digits(v) for v in rows["peak"]],
        "time": None if time is None else [digits(v) for v in time],
        "chance": digits(chance),
        "verdict": verdict(kinds, rows["mean"], terms, field.effects.basis),
        "leads": leads(a, b),
    }


def typical_log(member, of):
    """The mean over runs and specimens of the logarithm of a measure."""
    return combined(member.specimens, [ln(of(c)) for c in member.curves])


def drawn(field, k, j, x, rng, number=40_000):
    """The same model drawn at random, all scatters known: the chance to be ahead, and the ends of the time ratio."""
    a, b = field.members[k], field.members[j]
    grid = np.arange(0, round(WINDOW_S * 1e6) + 1, 1000)
    curve = {m: m.log_typical_at(grid) for m in (a, b)}

    def reach(member, errors):
        """Time in ms, not reached as the window and what is missing."""
        levels = log(x) - errors
        first = np.searchsorted(curve[member], levels)
        short = first >= len(grid)
        return np.where(short, 1e6 + (levels - curve[member][-1]), first.astype(float)), short

    luck = Luck(rng, at_job(field, x).as_tested(), number)
    (t_a, short_a), (t_b, short_b) = (reach(m, luck.mean(m)) for m in (a, b))
    ends = None
    if not short_a.any() and not short_b.any() and t_a.min() > 20 and t_b.min() > 20:
        ends = np.quantile(t_a / t_b, (0.05, 0.95))
    luck = Luck(rng, at_once(field, instant(a, b, x)), number)
    # the doubt about a mean counts against a further try with the sign turned
    tries = [luck.effects(names) - luck.mean(m) + luck.run(m.tool) for names, m in zip(tries_of(a, b), (a, b))]
    ahead = [reach(m, error)[0] for m, error in zip((a, b), tries)]
    return float(np.mean(ahead[0] < ahead[1]) + 0.5 * np.mean(ahead[0] == ahead[1])), ends


def agree(field, chosen, x, rng, seen):
    """Holds what follows from a definition against the drawn model."""
    for k, j in chosen:
        a, b = field.members[k], field.members[j]
        chance, ends = drawn(field, k, j, x, rng)
        at_s = instant(a, b, x)
        sd, _ = try_spread(a, b, at_once(field, at_s))
        stated = float(student.cdf((a.log_typical(at_s) - b.log_typical(at_s)) / sd, inf))
        seen["chance"].append(abs(stated - chance))
        if ends is not None:
            _, low, high = time_ratio(a, b, x, at_job(field, x).as_tested(), 1.6448536)
            if low is not None and high is not None:
                width = log(high / low)
                seen["time"] += [abs(log(low / ends[0])) / width, abs(log(high / ends[1])) / width]


def fixture(uncertainty):
    """Comparisons on the fields of another fixture."""
    # T-98: equal scatters, a difference of d times the scatter
    for d, p in ((0.2, 0.5562), (0.5, 0.6382), (0.8, 0.7142), (1.0, 0.7602)):
        assert abs(float(student.cdf(d / sqrt(2), inf)) - p) < 5e-5
    rng = np.random.Generator(np.random.PCG64(98))
    cases, seen = [], {"chance": [], "time": []}
    for case in uncertainty["cases"]:
        edition = case["jobs"][0]["question"].get("edition", case["dataset"]["editions"][-1]["edition"])
        field = Field(case["dataset"], edition)
        if field.too_few or len(field.members) < 2:
            continue
        count = len(field.members)
        all_pairs = [(k, j) for k in range(count) for j in range(count) if k != j]
        one_tool = [p for p in all_pairs if field.members[p[0]].tool == field.members[p[1]].tool]
        pick = lambda of: [of[i] for i in sorted(rng.permutation(len(of))[: PAIRS // 2])]
        chosen = list(dict.fromkeys(pick(all_pairs) + pick(one_tool)))
        job = next((job for job in case["jobs"] if "score" not in job["question"]), None)
        if job is None:
            continue
        question, x = job["question"], job["expected"]["required_nm"]
        rows = []
        for k, j in chosen:
            try:
                rows.append(compared(field, k, j, x))
            except Undecided:
                continue
        agree(field, chosen, x, rng, seen)
        cases.append({"field": case["name"], "question": question, "expected": rows})
    worst = max(seen["chance"]), float(np.mean(seen["chance"])), max(seen["time"]), float(np.mean(seen["time"]))
    print("compare: chance off by at most %.3f, on average %.4f; ends of times by %.3f and %.4f of the width" % worst)
    assert worst[0] < 0.08 and worst[1] < 0.01 and worst[3] < 0.03
    verdicts = [row["verdict"] for case in cases for row in case["expected"]]
    told = ("match", "alike as tested", "differ", "undecided")
    assert all(verdicts.count(v) >= 5 for v in told), {v: verdicts.count(v) for v in told}
    return {"margin_percent": MARGIN_PERCENT, "cases": cases}
