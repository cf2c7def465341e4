"""How much specimens, pack specimens and days differ, by the restricted likelihood as it is written down.

One dense covariance matrix of the means of all cells, pairs as fixed effects; every effect stands in it, whether it has a
contrast or not. The likelihood, with what is assumed beforehand, is made as large as it gets by scipy, from several
starts, then polished until its slopes vanish. Degrees of freedom follow from the same matrix: I − C/s² is s² Z′PZ.
"""

from math import exp, log

import numpy as np
from scipy.optimize import minimize, root

from members import digits

DAY_NU, SPECIMEN_NU, PACK_NU = 3, 4, 3
LEAST_NU = 3


def assumed(percent, used, pack_percent=None, day_percent=None):
    """Standard deviation and degrees of freedom of specimens, packs and days."""
    percents = (percent or 3.5, SPECIMEN_NU), (pack_percent or (4 if used else 2), PACK_NU), (day_percent or 1, DAY_NU)
    return [(of / 100, nu) for of, nu in percents]


def in_cells(counted, checks):
    """Runs by cell, and whether by day: runs are (tool, pair, specimen, pack, day, value)."""
    by_day = len(counted) - len({run[:5] for run in counted}) >= LEAST_NU
    cells = {}
    for run in counted + checks:
        key = run[:4] + ((run[4],) if by_day else (None,))
        cells.setdefault(key, []).append(run[5])
    return cells, by_day


class Field:
    """Cells as {(tool, pair, specimen, pack, day): values}, a run variance for each tool, and what is assumed."""

    def __init__(self, cells, run_variance, known):
        self.known = known
        keys = list(cells)
        self.y = np.array([np.mean(cells[key]) for key in keys])
        self.errors = np.diag([run_variance[key[0]] / len(cells[key]) for key in keys])
        self.x = self.indicators([key[1] for key in keys])
        self.z = [self.indicators([key[place] for key in keys]) for place in (2, 3, 4)]

    @staticmethod
    def indicators(names):
        """A column for each name; none for no name."""
        columns = sorted({name for name in names if name is not None})
        return np.array([[float(name == column) for column in columns] for name in names]).reshape(len(names), -1)

    def covariance(self, variances):
        """V."""
        return self.errors + sum(s2 * z @ z.T for s2, z in zip(variances, self.z))

    def projection(self, variances):
        """P = V⁻¹ − V⁻¹X(X′V⁻¹X)⁻¹X′V⁻¹."""
        v = np.linalg.inv(self.covariance(variances))
        vx = v @ self.x
        return v - vx @ np.linalg.inv(self.x.T @ vx) @ vx.T

    def likelihood(self, variances):
        """The restricted log-likelihood with that of what is assumed."""
        v = self.covariance(variances)
        information = self.x.T @ np.linalg.solve(v, self.x)
        own = np.linalg.slogdet(v)[1] + np.linalg.slogdet(information)[1] + self.y @ self.projection(variances) @ self.y
        beforehand = sum(nu * (log(s2) + a * a / s2) for s2, (a, nu) in zip(variances, self.known))
        return -(own + beforehand) / 2

    def slopes(self, logs):
        """Its slopes over the logarithms of the variances."""
        variances = np.exp(logs)
        p = self.projection(variances)
        out = []
        for s2, z, (a, nu) in zip(variances, self.z, self.known):
            zp = z.T @ p
            out.append((np.sum((zp @ self.y) ** 2) - np.trace(zp @ z)) * s2 / 2 + nu * (a * a / s2 - 1) / 2)
        return out

    def variances(self):
        """Where the likelihood is largest, from every start the same."""
        found = []
        for factor in (0.05, 1.0, 20.0):
            start = [log(factor * a * a) for a, _ in self.known]
            best = minimize(lambda u: -self.likelihood(np.exp(u)), start, method="Nelder-Mead", options={"maxiter": 4000})
            polished = root(self.slopes, best.x, tol=1e-13)
            assert max(abs(slope) for slope in self.slopes(polished.x)) < 1e-9
            found.append(polished.x)
        assert all(np.allclose(found[0], other, atol=1e-7) for other in found[1:])
        return [exp(u) for u in found[0]]

    def degrees_of_freedom(self, variances):
        """Of each, what is assumed included."""
        p = self.projection(variances)
        seen = [s2 * z.T @ p @ z for s2, z in zip(variances, self.z)]
        return [nu + np.sum(own**2) for own, (_, nu) in zip(seen, self.known)]


def basis(nu, known, one=1):
    """What a scatter rests on; `one` degree of freedom."""
    own = nu - known
    return "measured" if own >= known else "held" if own >= one else "assumed"


def drawn(rng, spec):
    """Invented runs of a field, and its check runs."""
    effects = lambda count, sd: sd * rng.standard_normal(count)
    tools, packs, days = spec["tools"], spec["packs"], spec["days"]
    of_specimens = effects(tools * spec["specimens"], spec["sds"][0])
    of_units = effects(packs * spec["units"], spec["sds"][1])
    of_days = effects(10_000, spec["sds"][2])
    counted, checks, next_day = [], [], 100
    for tool in range(tools):
        for pack in range(packs):
            if rng.random() < spec["missing"]:
                continue
            level = 6 + 0.3 * tool + 0.1 * pack
            for _ in range(spec["sessions"]):
                specimen = tool * spec["specimens"] + int(rng.integers(spec["specimens"]))
                unit = pack * spec["units"] + int(rng.integers(spec["units"]))
                day = int(rng.integers(days))
                for _ in range(spec["runs"]):
                    if spec["own_day"]:
                        day, next_day = next_day, next_day + 1
                    value = level + of_specimens[specimen] + of_units[unit] + of_days[day] + effects(1, spec["sd"])[0]
                    counted.append((tool, tool * packs + pack, specimen, unit, day, float(value)))
    for day in range(days):
        for _ in range(spec["checks"]):
            value = 6 + of_specimens[0] + of_units[0] + of_days[day] + effects(1, spec["sd"])[0]
            checks.append((0, tools * packs, 0, 0, day, float(value)))
    return counted, checks


USUAL = {
    "tools": 4,
    "packs": 3,
    "days": 4,
    "specimens": 2,
    "units": 2,
    "sessions": 3,
    "runs": 2,
    "checks": 0,
    "missing": 0.2,
    "own_day": False,
    "sds": (0.035, 0.02, 0.01),
    "sd": 0.02,
    "percent": None,
    "used": False,
}
SPECS = [
    {"name": "two specimens, two units, four days"},
    {"name": "check runs on every day", "checks": 3, "days": 6, "sessions": 2},
    {"name": "one of each, no check runs", "specimens": 1, "units": 1, "sessions": 1, "runs": 4, "days": 3},
    {"name": "second units only", "specimens": 1, "units": 3, "days": 1, "sds": (0.03, 0.05, 0.01)},
    {"name": "days far apart, seen by check runs", "checks": 4, "days": 7, "sds": (0.03, 0.02, 0.05), "sd": 0.01},
    {"name": "runs on days of their own", "own_day": True, "checks": 2},
    {"name": "nothing differs but runs", "sds": (0.0, 0.0, 0.0), "checks": 2},
    {"name": "used packs, tools made alike", "used": True, "percent": 2.0, "units": 2, "sds": (0.02, 0.04, 0.01)},
    {"name": "three specimens, precise runs", "specimens": 3, "sessions": 4, "runs": 3, "sd": 0.004},
]


def case(number, spec):
    """One field and what is found of it."""
    spec = USUAL | spec
    rng = np.random.Generator(np.random.PCG64(900 + number))
    counted, checks = drawn(rng, spec)
    counted, checks = ([run[:5] + (digits(run[5]),) for run in runs] for runs in (counted, checks))
    run_variance = [digits(float(x)) for x in spec["sd"] ** 2 * rng.uniform(0.6, 1.6, spec["tools"])]
    cells, by_day = in_cells(counted, checks)
    of_counted, _ = in_cells(counted, [])
    nu = len(counted) - len(of_counted)
    squares = sum(np.sum((np.array(own) - np.mean(own)) ** 2) for own in of_counted.values())
    known = assumed(spec["percent"], spec["used"])
    field = Field(cells, run_variance, known)
    variances = field.variances()
    degrees = field.degrees_of_freedom(variances)
    return {
        "name": spec["name"],
        "counted": counted,
        "checks": checks,
        "run_variance": run_variance,
        "unit_to_unit_percent": spec["percent"],
        "used": spec["used"],
        "by_day": by_day,
        "pooled": [digits(float(squares / nu)), nu],
        "variances": [digits(s2) for s2 in variances],
        "nu": [digits(float(x)) for x in degrees],
        "basis": [basis(x, own) for x, (_, own) in zip(degrees, known)],
    }


def check():
    """Raises where a definition fails a value known from elsewhere."""
    # By hand: three specimens seen without error have (Σ(ȳ − mean)² + ν₀a²)/(2 + ν₀), and 2 degrees of freedom.
    levels = {(0, 0, i, 0, 1): [y] for i, y in enumerate((6.00, 6.03, 5.96))}
    field = Field(levels, [4e-10], assumed(None, False))
    variances = field.variances()
    y = np.array([6.00, 6.03, 5.96])
    assert abs(variances[0] / ((np.sum((y - y.mean()) ** 2) + 4 * 0.035**2) / 6) - 1) < 1e-5
    assert abs(field.degrees_of_freedom(variances)[0] - 6) < 1e-4
    assert np.allclose(variances[1:], [0.0004, 0.0001], rtol=1e-9)


def fixture():
    """All cases."""
    check()
    cases = [case(number, spec) for number, spec in enumerate(SPECS)]
    told = {(kind, one["basis"][kind]) for one in cases for kind in range(3)}
    assert len(told) >= 7 and not all(one["by_day"] for one in cases), told
    return {"cases": cases}
