"""Levels of pairs nobody ran, by the mixed-model equations in full.

One dense system for a whole field: tools fixed, packs random, errors and interactions in R. The variances are where the
restricted likelihood, with what is known beforehand, is largest: found by scipy on its logarithm as it is written down,
then polished. Leaving one out leaves it out: the rest predicts it anew.
"""

from math import exp, fsum, isclose, log, sqrt

import numpy as np
from scipy.optimize import minimize, root
from scipy.stats import t as student

import shares
import uncertainty
from intervals import mean_weights
from members import Rising, digits
from reduction import Undecided
from typical import WINDOW_S

PRIOR_NU = 2
LEAST_NU = 3
NOTHING = 1e-6
"""The packs' variance is at least this."""


def components(pairs):
    """How many sets of tools and packs the pairs link."""
    sets = []
    for tool, pack in pairs:
        linked = [s for s in sets if ("tool", tool) in s or ("pack", pack) in s]
        sets = [s for s in sets if s not in linked] + [set().union(*linked, {("tool", tool), ("pack", pack)})]
    return sets


class Model:
    """A field: `pairs`, the levels `y`, the covariances `errors`, and the interaction known beforehand."""

    def __init__(self, pairs, y, errors, beforehand):
        self.pairs, self.y, self.errors, self.beforehand = pairs, np.array(y), np.array(errors), beforehand
        self.tools = sorted({t for t, _ in pairs})
        self.packs = sorted({p for _, p in pairs})
        self.sets = components(pairs)
        self.free = len(pairs) - len(self.tools) - len(self.packs) + len(self.sets)
        self.says = self.free >= LEAST_NU
        self.x = np.array([[float(t == tool) for tool in self.tools] for t, _ in pairs])
        self.z = np.array([[float(p == pack) for pack in self.packs] for _, p in pairs])
        if self.says:
            self.packs2, self.interaction2 = self.variances()
            self.nu = self.free + PRIOR_NU
            self.off_by = sqrt(np.mean([d * d for d in self.left_out()]))

    def levels_covariance(self, packs2, interaction2):
        """V."""
        return self.errors + interaction2 * np.eye(len(self.y)) + packs2 * self.z @ self.z.T

    def projection(self, packs2, interaction2):
        """P = V⁻¹ − V⁻¹X(X′V⁻¹X)⁻¹X′V⁻¹."""
        v = np.linalg.inv(self.levels_covariance(packs2, interaction2))
        vx = v @ self.x
        return v - vx @ np.linalg.inv(self.x.T @ vx) @ vx.T

    def likelihood(self, packs2, interaction2):
        """The restricted log-likelihood, with that of PRIOR_NU degrees of freedom known beforehand."""
        v = self.levels_covariance(packs2, interaction2)
        information = self.x.T @ np.linalg.solve(v, self.x)
        rest = self.y @ self.projection(packs2, interaction2) @ self.y
        own = np.linalg.slogdet(v)[1] + np.linalg.slogdet(information)[1] + rest
        known = PRIOR_NU * (log(interaction2) + self.beforehand / interaction2)
        return -(own + known) / 2

    def slopes(self, packs2, interaction2):
        """Its slopes over the logarithms of the two variances."""
        p = self.projection(packs2, interaction2)
        py, zp = p @ self.y, self.z.T @ p
        packs = (fsum((self.z.T @ py) ** 2) - np.trace(zp @ self.z)) * packs2 / 2
        interaction = (fsum(py**2) - np.trace(p)) * interaction2 / 2
        return packs, interaction + PRIOR_NU * (self.beforehand / interaction2 - 1) / 2

    def variances(self):
        """Where the likelihood is largest."""
        best = None
        for packs2 in (1e-5, 1e-3):
            for interaction2 in (3e-4,):
                start = [log(packs2), log(interaction2)]
                bounds = [(log(NOTHING), 0.0), (-23.0, 0.0)]
                found = minimize(lambda u: -self.likelihood(exp(u[0]), exp(u[1])), start, bounds=bounds)
                if best is None or found.fun < best.fun:
                    best = found
        packs2, interaction2 = exp(best.x[0]), exp(best.x[1])
        if packs2 > 3 * NOTHING:
            polished = root(lambda u: self.slopes(exp(u[0]), exp(u[1])), best.x, tol=1e-13)
            packs2, polished2 = exp(polished.x[0]), exp(polished.x[1])
            if packs2 > NOTHING:
                assert max(abs(s) for s in self.slopes(packs2, polished2)) < 1e-9
                return packs2, polished2
        # nothing speaks for packs that differ
        assert self.slopes(NOTHING, interaction2)[0] < 0
        polished = root(lambda u: self.slopes(NOTHING, exp(u[0]))[1], [log(interaction2)], tol=1e-13)
        return NOTHING, exp(polished.x[0])

    def estimate(self, tool, pack):
        """Level and variance of its error; `None` where tool and pack are not linked."""
        if not any(("tool", tool) in s and ("pack", pack) in s for s in self.sets):
            return None
        r = np.linalg.inv(self.errors + self.interaction2 * np.eye(len(self.y)))
        x, z = self.x, self.z
        left = np.block([[x.T @ r @ x, x.T @ r @ z], [z.T @ r @ x, z.T @ r @ z + np.eye(z.shape[1]) / self.packs2]])
        right = np.concatenate([x.T @ r @ self.y, z.T @ r @ self.y])
        wanted = np.array([float(tool == t) for t in self.tools] + [float(pack == p) for p in self.packs])
        return wanted @ np.linalg.solve(left, right), wanted @ np.linalg.solve(left, wanted) + self.interaction2

    def left_out(self):
        """What each level whose tool and pack were run with others differs by from what the others predict."""
        v = self.levels_covariance(self.packs2, self.interaction2)
        out = []
        for i, (tool, pack) in enumerate(self.pairs):
            rest = [j for j in range(len(self.y)) if j != i]
            kept = [self.pairs[j] for j in rest]
            if tool not in {t for t, _ in kept} or pack not in {p for _, p in kept}:
                continue
            inverse = np.linalg.inv(v[np.ix_(rest, rest)])
            x, y = self.x[rest], self.y[rest]
            effects = np.linalg.solve(x.T @ inverse @ x, x.T @ inverse @ y)
            predicted = self.x[i] @ effects + v[i, rest] @ inverse @ (y - x @ effects)
            out.append(self.y[i] - predicted)
        return out


def drawn(rng, spec):
    """Invented pairs with levels and errors; some tools share specimens."""
    pairs, y, blocks = [], [], []
    pack_effects = spec["pack_sd"] * rng.standard_normal(spec["packs"])
    for tool in range(spec["tools"]):
        own = [p for p in range(spec["packs"]) if spec["run"](rng, tool, p)]
        level = 6.2 + 0.3 * rng.standard_normal()
        shared = rng.uniform(0, 8e-4) * (tool % 3 != 0)
        single = rng.uniform(5e-5, 6e-4, len(own))
        block = shared * np.ones((len(own), len(own))) + np.diag(single)
        errors = np.linalg.cholesky(block) @ rng.standard_normal(len(own))
        for pack, error in zip(own, errors):
            pairs.append((tool, pack))
            y.append(level + pack_effects[pack] + spec["sd"] * rng.standard_normal() + error)
        blocks.append(block)
    size = len(pairs)
    errors, place = np.zeros((size, size)), 0
    for block in blocks:
        errors[place : place + len(block), place : place + len(block)] = block
        place += len(block)
    return pairs, y, errors


MOSTLY = lambda rng, tool, pack: rng.random() < 0.7 or pack == tool % 4
SPECS = [
    {"name": "eight tools, four packs", "tools": 8, "packs": 4, "pack_sd": 0.05, "sd": 0.02, "run": MOSTLY},
    {"name": "packs alike", "tools": 8, "packs": 4, "pack_sd": 0.0, "sd": 0.02, "run": MOSTLY},
    {"name": "no interaction", "tools": 9, "packs": 5, "pack_sd": 0.06, "sd": 0.0, "run": MOSTLY},
    {"name": "much interaction", "tools": 7, "packs": 5, "pack_sd": 0.05, "sd": 0.08, "run": MOSTLY},
    {
        "name": "two mounts",
        "tools": 10,
        "packs": 7,
        "pack_sd": 0.05,
        "sd": 0.02,
        "run": lambda rng, tool, pack: (tool < 6) == (pack < 4) and (rng.random() < 0.75 or pack in (0, 4)),
    },
    {
        "name": "some tools with one pack, one pack with one tool",
        "tools": 9,
        "packs": 5,
        "pack_sd": 0.04,
        "sd": 0.02,
        "run": lambda rng, tool, pack: pack == tool % 4 or (tool > 2 and pack < 4) or (tool, pack) == (5, 4),
    },
    {
        "name": "a chain: too few to say",
        "tools": 5,
        "packs": 5,
        "pack_sd": 0.04,
        "sd": 0.02,
        "run": lambda rng, tool, pack: pack - tool in (0, 1),
    },
    {
        "name": "three free",
        "tools": 4,
        "packs": 3,
        "pack_sd": 0.04,
        "sd": 0.02,
        "run": lambda rng, tool, pack: tool > 0 or pack < 1,
    },
]


def direct(number, spec):
    """A case for the model alone."""
    rng = np.random.Generator(np.random.PCG64(700 + number))
    pairs, y, errors = drawn(rng, spec)
    model = Model(pairs, y, errors, 3e-4)
    out = {
        "name": spec["name"],
        "pairs": pairs,
        "level": [digits(x) for x in y],
        "errors": [[float(e) for e in row] for row in errors],
        "beforehand": 3e-4,
        "says": model.says,
    }
    # what the file holds is what the figures are worked out from
    model = Model(pairs, out["level"], out["errors"], 3e-4)
    if not model.says:
        return out | {"model": None}
    others = [(t, p) for t in model.tools for p in model.packs if (t, p) not in pairs]
    estimates = [(t, p, model.estimate(t, p)) for t, p in others]
    return out | {
        "model": {
            "packs": digits(model.packs2),
            "interaction": digits(model.interaction2),
            "nu": model.nu,
            "off_by": digits(model.off_by),
            "estimates": [
                [t, p] + ([None, None] if e is None else [digits(float(e[0])), digits(float(e[1]))])
                for t, p, e in estimates
            ],
        }
    }


class Shape(Rising):
    """The mean of the logarithms of pairs' typical curves, each weighted by how many specimens it has."""

    def __init__(self, members):
        self.members, self.weights = members, [len(m.names()) for m in members]

    def log_typical(self, t_s):
        """At a time in s."""
        return fsum(w * m.log_typical(t_s) for m, w in zip(self.members, self.weights)) / sum(self.weights)

    def log_typical_at(self, t_us):
        """At many whole microseconds."""
        return np.average([m.log_typical_at(t_us) for m in self.members], axis=0, weights=self.weights)


class LeftOut:
    """A field of `uncertainty.json` without the runs of one pair, and what is then told of that pair."""

    def __init__(self, case, pair):
        self.case, self.pair = case, pair
        data = case["dataset"]
        runs = [r for r in data["runs"] if (r["tool"], r["pack"]) != tuple(pair)]
        self.field = uncertainty.Field(data | {"runs": runs}, 1)
        self.members = self.field.members
        self.models = {}

    def model(self, t_s):
        """The model of ln H at a time, and the run scatter there."""
        if t_s not in self.models:
            self.models[t_s] = self.modelled(t_s)
        return self.models[t_s]

    def modelled(self, t_s):
        """The same, worked out."""
        run = self.field.scatter_at([t_s] * len(self.members))
        pairs = [(m.tool, m.pack) for m in self.members]
        # what tools have in common, packs and days, is behind the packs' effects
        kin = [[a == b for b, _ in pairs] for a, _ in pairs]
        errors = uncertainty.Errors(self.members, self.field.scatters(run)).covariance * kin
        return run, Model(pairs, [m.log_typical(t_s) for m in self.members], errors, run.s2)

    def shape(self):
        """The shape of the tool's other packs."""
        return Shape([m for m in self.members if m.tool == self.pair[0]])

    def further(self, run, variance, nu):
        """S and ν of a further try. Of the mean over the pack's pairs, behind its effect, packs and days count."""
        scatters = self.field.scatters(run)
        scatters.runs[self.pair[0]] = run.of(self.pair[0])
        behind = [mean_weights(m) for m in self.members if m.pack == self.pair[1]]
        runs = [origin for own, _ in behind for origin in own]
        weights = [w / len(behind) for _, of_mean in behind for w in of_mean]
        u_cal = max(uncertainty.calibration_u(self.field.data, m) for m in self.members)
        fresh = shares.terms([(self.pair[0], "another", "another", "another")], [1.0], scatters)
        shared = [(a + b, nu) for (a, nu), (b, _) in zip(fresh[1:3], shares.terms(runs, weights, scatters)[1:3])]
        parts = [fresh[0], *shared, *fresh[3:], (variance, nu), (u_cal**2, np.inf)]
        return sqrt(fsum(v for v, _ in parts)), uncertainty.welch_satterthwaite(parts)

    def expected(self, needed_nm, within_s):
        """The answer; `None` where there is no estimate."""
        run_end, at_end = self.model(WINDOW_S)
        run, within = self.model(within_s)
        if not at_end.says:
            return None
        end, end_variance = at_end.estimate(*self.pair)
        level, variance = within.estimate(*self.pair)
        s, nu = self.further(run, variance, within.nu)
        s_end, nu_end = self.further(run_end, end_variance, at_end.nu)
        p = float(student.cdf((level - log(needed_nm)) / s, nu))
        shape = self.shape()
        shift = end - shape.log_typical(WINDOW_S)
        return {
            "typical_end_nm": digits(exp(end)),
            "time_us": shape.first_us(log(needed_nm) - shift),
            "probability": digits(p),
            "verdict": uncertainty.verdict(p),
            "torque_19_of_20_nm": digits(exp(end - s_end * float(student.ppf(0.95, nu_end)))),
            "off_by_percent": digits(100 * within.off_by),
        }


FIELDS = [
    "three tools, three packs, one specimen each",
    "unequal run scatter, moderated",
    "two and three specimens, shared by the packs",
    "specimens shared in part",
    "several calibrations, and days before the first",
    "patience, condition, loss",
    "two units of each pack",
    "units that nobody ran are used, packs and days stated",
    "specimens, units and days crossed, and check runs",
]


def through_the_door(cases):
    """Questions about pairs left out of whole datasets."""
    out = []
    for case in cases:
        if case["name"] not in FIELDS:
            continue
        for number, pair in enumerate(case["pairs"]):
            try:
                left_out = LeftOut(case, pair)
            except Undecided:
                continue
            for question, needed, within_s in questions(left_out, number):
                try:
                    expected = left_out.expected(needed, within_s)
                except Undecided:
                    continue
                out.append({"name": case["name"], "question": question, "expected": expected})
    return out


def questions(left_out, number):
    """Questions about the pair, by how much of its level is needed and how long one waits."""
    pair, says = left_out.pair, left_out.model(WINDOW_S)[1].says
    for within_s in (WINDOW_S, 0.6) if says else (WINDOW_S,):
        level = left_out.model(within_s)[1].estimate(*pair)[0] if says else log(300)
        for share in (0.84, 0.93, 1.03) if says else (1.0,):
            # a little apart from pair to pair, so that no two are alike
            needed = round(share * exp(level) + number)
            question = {"tool": pair[0], "pack": pair[1], "job": f"{needed} N·m", "within_s": within_s}
            yield question, needed, within_s


def check():
    """Raises where a definition fails a value known from elsewhere."""
    # Two-way tables without a gap and with equal errors: the interaction is the residual mean square (here known
    # beforehand to be just that, so that holding it moves nothing) less the error's variance; the packs' variance is
    # (mean square of packs − of residuals) ÷ tools. Henderson's and Fisher's methods agree there.
    rng = np.random.Generator(np.random.PCG64(5))
    a, b, error = 9, 4, 1e-4
    table = rng.normal(0, 0.3, (a, 1)) + rng.normal(0, 0.05, (1, b)) + rng.normal(0, 0.02, (a, b))
    rest = table - table.mean(0) - table.mean(1, keepdims=True) + table.mean()
    residual = (rest**2).sum() / ((a - 1) * (b - 1))
    packs = (a * ((table.mean(0) - table.mean()) ** 2).sum() / (b - 1) - residual) / a
    pairs = [(i, j) for i in range(a) for j in range(b)]
    model = Model(pairs, table.ravel(), error * np.eye(a * b), residual - error)
    assert isclose(model.interaction2, residual - error, rel_tol=1e-7)
    assert isclose(model.packs2, packs, rel_tol=1e-7)


def fixture(cases):
    """All cases; `cases` are those of `uncertainty.json`."""
    check()
    asked = through_the_door(cases)
    told = [a["expected"] for a in asked if a["expected"]]
    assert len(told) >= 80 and any(a["expected"] is None for a in asked)
    assert all(sum(t["verdict"] == v for t in told) >= 10 for v in ("within reach", "borderline", "out of reach"))
    return {"asked": asked, "cases": [direct(n, spec) for n, spec in enumerate(SPECS)]}
