"""The variance of sums over runs, with the covariance matrix of all runs written out.

No share is formed: a sum is a vector of weights over runs, its variance a quadratic form. What is to be foretold is a run
more in the same matrix.
"""

from math import fsum, sqrt

import numpy as np
from scipy.stats import t as student

from members import digits


class Scatters:
    """Variances with degrees of freedom: of specimens, packs, days (some corrected), and runs of each tool."""

    def __init__(self, rng, tools, days):
        draw = lambda low, high: digits(float(rng.uniform(low, high)), 6)
        self.specimen = (draw(4e-4, 2e-3), draw(4, 12))
        self.pack = (draw(2e-4, 1e-3), draw(3, 9))
        self.day = (draw(5e-5, 4e-4), draw(3, 9))
        self.corrected = {day: digits(self.day[0] * float(rng.uniform(0.2, 0.5)), 6) for day in range(0, days, 3)}
        pooled = (draw(3e-4, 9e-4), draw(20, 60))
        # the last tools cannot be told apart
        own = lambda tool: (draw(3e-4, 9e-4), draw(10, 40)) if tool < tools - 2 else pooled
        self.runs = {tool: own(tool) for tool in range(tools)}

    def day_variance(self, day):
        """v."""
        return self.corrected.get(day, self.day[0])


def same(names, variance=lambda name: 1.0):
    """Covariances of what runs with one name have in common."""
    return np.array([[variance(a) * (a == b) for b in names] for a in names])


def terms(runs, weights, scatters):
    """Terms of the variance of a weighted sum, each with its degrees of freedom, and those of specimens and packs first.

    Runs are (tool, specimen, pack, day); the same specimen or pack number belongs to one tool or pack.
    """
    w = np.array(weights)
    quadratic = lambda matrix: float(w @ matrix @ w)
    out = [
        (scatters.specimen[0] * quadratic(same([run[1] for run in runs])), scatters.specimen[1]),
        (scatters.pack[0] * quadratic(same([run[2] for run in runs])), scatters.pack[1]),
        (quadratic(same([run[3] for run in runs], scatters.day_variance)), scatters.day[1]),
    ]
    for variance, nu in dict.fromkeys(scatters.runs.values()):
        own = [float(scatters.runs[run[0]] == (variance, nu)) for run in runs]
        out.append((variance * quadratic(np.diag(own)), nu))
    return out


def total(parts):
    """Variance and degrees of freedom (Welch and Satterthwaite)."""
    variance = fsum(v for v, _ in parts)
    return variance, variance**2 / fsum(v * v / nu for v, nu in parts)


def mean_weights(runs):
    """Of the mean over the runs of each specimen, then over specimens."""
    specimens = [run[1] for run in runs]
    return [1 / (len(set(specimens)) * specimens.count(own)) for own in specimens]


class Field:
    """Pairs with their runs, one after the other in one list."""

    def __init__(self, rng, tools, packs):
        self.pairs, self.runs = [], []
        days = 6
        self.scatters = Scatters(rng, tools, days)
        for tool in range(tools):
            for pack in range(packs):
                if rng.random() < 0.25 and pack:
                    continue
                own = []
                for _ in range(int(rng.integers(1, 4))):
                    specimen = 10 * tool + int(rng.integers(2))
                    run = (tool, specimen, 10 * pack + int(rng.integers(2)), int(rng.integers(days)))
                    own += [run] * int(rng.integers(1, 4))
                self.pairs.append({"tool": tool, "pack": pack, "from": len(self.runs), "runs": own})
                self.runs += own

    def weights(self, parts):
        """Of a sum of means of pairs, each with a factor."""
        out = [0.0] * len(self.runs)
        for factor, place in parts:
            pair = self.pairs[place]
            for i, weight in enumerate(mean_weights(pair["runs"])):
                out[pair["from"] + i] += factor * weight
        return out

    def of_means(self, parts):
        """Terms of such a sum."""
        return terms(self.runs, self.weights(parts), self.scatters)

    def covariance(self, a, b):
        """Of two means, by that of their sum."""
        variance = lambda parts: total(self.of_means(parts))[0]
        return (variance([(1, a), (1, b)]) - variance([(1, a)]) - variance([(1, b)])) / 2

    def further(self, place):
        """Terms of a further try less the mean: a run more, with all else new."""
        tool = self.pairs[place]["tool"]
        runs = self.runs + [(tool, "new", "new", "new")]
        return terms(runs, [-w for w in self.weights([(1, place)])] + [1.0], self.scatters)

    def nobody_ran(self, tool, pack, level):
        """Terms of a further try of a pair nobody ran, with those of its level.

        What is behind the pack's effect is the mean over its pairs, of which only packs and days count.
        """
        own = [place for place, pair in enumerate(self.pairs) if pair["pack"] == pack]
        behind = terms(self.runs, self.weights([(1 / len(own), place) for place in own]), self.scatters)
        fresh = terms([(tool, "new", "new", "new")], [1.0], self.scatters)
        return [fresh[0]] + [(a[0] + b[0], a[1]) for a, b in zip(behind[1:3], fresh[1:3])] + fresh[3:] + [level]


def interval(log, parts):
    """Standard deviation, degrees of freedom, ends of the 90 % interval."""
    variance, nu = total(parts)
    half = sqrt(variance) * float(student.ppf(0.95, nu))
    return [digits(x) for x in (sqrt(variance), nu, log - half, log + half)]


def case(number, tools, packs):
    """One field, with sums over its runs."""
    rng = np.random.Generator(np.random.PCG64(1100 + number))
    field = Field(rng, tools, packs)
    count, scatters = len(field.pairs), field.scatters
    places = range(count)
    differences, tries = [], []
    for a in places:
        for b in range(a + 1, count):
            if field.pairs[a]["tool"] == field.pairs[b]["tool"] or field.pairs[a]["pack"] == field.pairs[b]["pack"]:
                log = digits(float(rng.normal(0, 0.05)))
                parts = field.of_means([(1, a), (-1, b)])
                differences.append([a, b, log, interval(log, parts), interval(log, parts[2:])])
    for place in places:
        u_cal = 0.004 * (place % 3)
        variance, nu = total(field.further(place) + [(u_cal**2, np.inf)])
        tries.append([u_cal, digits(sqrt(variance)), digits(nu)])
    measured = {(pair["tool"], pair["pack"]) for pair in field.pairs}
    missing = [(t, p) for t in range(tools) for p in range(packs) if (t, p) not in measured]
    estimated = []
    for tool, pack in missing:
        level = (digits(float(rng.uniform(3e-4, 9e-4)), 6), 12.0)
        variance, nu = total(field.nobody_ran(tool, pack, level) + [(0.01**2, np.inf)])
        estimated.append([tool, pack, level[0], level[1], digits(sqrt(variance)), digits(nu)])
    # a mean of differences over pairs: every second place less the one before it
    couples = [(i, i + 1) for i in range(0, count - 1, 2)]
    parts = [(sign / len(couples), place) for couple in couples for sign, place in zip((1, -1), couple)]
    return {
        "name": f"{tools} tools, {packs} packs",
        "scatters": {
            "specimen": scatters.specimen,
            "pack": scatters.pack,
            "day": scatters.day,
            "corrected": sorted(scatters.corrected.items()),
            "runs": list(scatters.runs.values()),
        },
        "pairs": [{"tool": p["tool"], "pack": p["pack"], "runs": [run[1:] for run in p["runs"]]} for p in field.pairs],
        "mean": [[digits(x) for x in total(field.of_means([(1, place)]))] for place in places],
        "covariance": [[digits(field.covariance(a, b)) if a != b else None for b in places] for a in places],
        "differences": differences,
        "tries": tries,
        "estimated": estimated,
        "couples": couples,
        "over_couples": [digits(x) for x in total(field.of_means(parts))],
    }


def fixture():
    """All cases."""
    cases = [case(n, *size) for n, size in enumerate([(1, 3), (2, 2), (3, 3), (4, 3), (3, 5), (5, 4)])]
    assert sum(len(one["estimated"]) for one in cases) >= 5
    assert sum(len(one["differences"]) for one in cases) >= 60
    return {"cases": cases}
