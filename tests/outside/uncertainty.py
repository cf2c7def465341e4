"""Scatter, reach and rank intervals of invented fields, by definition.

Variances come of covariance matrices of all runs; distributions of scipy, nodes of numpy. Typical curves are those of
`typical.py`, straight lines between instants; times on them are found by looking at every whole microsecond. Where a
definition leaves a choice, the one taken stands at the function. Before anything is written the intervals are compared
with the same model drawn at random.
"""

from itertools import count
from math import exp, inf, isclose, log, sqrt

import numpy as np
from scipy.stats import t as student

import fields
import ranks
import shares
from drawn import Agreement
from field_list import FIELDS
from intervals import BEST_VARIANCE, Errors, ahead_to_job, best_shift, interval, mean_weights, run_score, runs_variance
from members import digits, fewer, ln, members_of, origin, runs_here
from reduction import Undecided, decided
from scatter import LEAST_NU, FieldEffects, RunScatter, Scatters, by_day, welch_satterthwaite
from spread import NODES, WEIGHTS, by_measure, moments
from typical import WINDOW_S, best_of_three, combined, typical_time_us


def calibration_u(data, member):
    """The largest of the calibrations in force on the days of the counted runs, relative, one standard deviation."""
    largest = 0.0
    for date in member.dates:
        before = [c for c in data["rigs"][0].get("calibrations", []) if c["date"] <= date]
        if before:
            latest = max(before, key=lambda c: c["date"])
            largest = max(largest, latest["expanded_uncertainty_percent"] / latest["coverage_factor"] / 100)
    return largest


def further_try(member, scatters, u_cal):
    """S and ν of a further try with another specimen of the tool and of the pack, on another day."""
    runs, weights = mean_weights(member)
    another = (member.tool, "another", "another", "another")
    parts = shares.terms(runs + [another], [-w for w in weights] + [1.0], scatters) + [(u_cal**2, inf)]
    return sqrt(sum(v for v, _ in parts)), welch_satterthwaite(parts)


def verdict(p):
    """In the file's words."""
    for edge in (0.95, 0.5):
        decided(p, edge, 1e-7)
    return "within reach" if p >= 0.95 else "borderline" if p >= 0.5 else "out of reach"


def ranked(values, ends):
    """Ranks by value, largest first; those with none (0) follow by torque at the window's end."""
    return ranks.by_time([-v if v > 0 else None for v in values], ends)


class Field:
    """A dataset in one edition, and what does not depend on the question."""

    def __init__(self, data, edition):
        self.data = data
        self.members = members_of(data, edition)
        self.joint = next(iter(data["rigs"][0].get("joints", [])), None)
        self.run_of_mean = self.measure_scatter("mean")
        self.too_few = self.run_of_mean.nu < LEAST_NU
        self.check_places, checks = [], []
        for place, run, curve, _ in runs_here(data, edition, control=True):
            self.check_places.append(place)
            checks.append((run["tool"], run["pack"], origin(run), ln(curve.mean_nm())))
        self.effects = FieldEffects(data, self.members, checks, self.run_of_mean)

    def measures(self, by):
        """The measure of each run of each member."""
        return [[getattr(c, f"{by}_nm")() for c in m.curves] for m in self.members]

    def measure_scatter(self, by):
        """Run scatter of a measure."""
        return RunScatter.of_runs(self.members, [[ln(x) for x in y] for y in self.measures(by)])

    def scatter_at(self, times_s):
        """Run scatter of ln H at one time for each member."""
        return RunScatter.at(self.members, times_s)

    def scatters(self, run):
        """All scatters, with those of runs by one choice of y."""
        return Scatters(self.effects, run, {m.tool for m in self.members})

    def ends(self):
        """The typical curves at the window's end, and whether they still rise there."""
        out = {"typical_end_nm": [], "still_rising": []}
        for m in self.members:
            before, end = (m.typical().at(t) for t in (0.9 * WINDOW_S, WINDOW_S))
            decided(end / before, 1.01)
            out["typical_end_nm"].append(end)
            out["still_rising"].append(end > 1.01 * before)
        return out

    def job(self, question):
        """Everything a job's answers hold, one figure for each pair; what best of three leaves as it is left out."""
        given = float(question["job"].removesuffix(" N·m"))
        x = given * question.get("condition", 1.0) / (1 - question.get("loss_percent", 0.0) / 100)
        by_best = question.get("score") == "best-of-three"
        times_us = [typical_time_us(m.typical(), x) for m in self.members]
        assert times_us == [m.first_us(log(x)) for m in self.members]
        out = {"required_nm": x, "time_us": times_us}
        scatter = None
        if self.run_of_mean.nu:
            scatter = self.scatter_at([WINDOW_S if t is None else t / 1e6 for t in times_us])
            out["job_scatter"] = scatter.expected(self.members)
            if not by_best:
                out |= self.reach(x, question.get("within_s", WINDOW_S), scatter)
        if by_best:
            return out | self.best_rank(x, scatter)
        rank = ranks.by_time(times_us, self.ends()["typical_end_nm"])
        if self.too_few:
            return out | self.columns(self.members, rank)
        above = ahead_to_job(self.members, [0.0] * len(self.members), log(x))
        return out | self.columns(self.members, rank, Errors(self.members, self.scatters(scatter)), above)

    def reach(self, x, within_s, job_scatter):
        """Probability and verdict, the 19-of-20 torque, and when nine in ten are there.

        Each has the scatter of its own y: ln H at the patience, at the window's end, and at the typical time.
        """
        members = self.members
        reach, end = self.scatter_at([within_s] * len(members)), self.scatter_at([WINDOW_S] * len(members))
        out = {"reach_scatter": reach.expected(members)}
        if self.too_few:
            return out
        columns = {k: [] for k in ("s", "nu", "probability", "verdict", "torque_19_of_20_nm", "nine_in_ten_us")}
        reach, end, job_scatter = (self.scatters(run) for run in (reach, end, job_scatter))
        for member in members:
            u_cal = calibration_u(self.data, member)
            s, nu = further_try(member, reach, u_cal)
            p = float(student.cdf((member.log_typical(within_s) - log(x)) / s, nu))
            s_end, nu_end = further_try(member, end, u_cal)
            torque = exp(member.log_typical(WINDOW_S) - s_end * float(student.ppf(0.95, nu_end)))
            s_job, nu_job = further_try(member, job_scatter, u_cal)
            nine = member.first_us(log(x) + s_job * float(student.ppf(0.90, nu_job)))
            row = (fewer(s), fewer(nu), digits(p), verdict(p), digits(torque), nine)
            for column, value in zip(columns.values(), row, strict=True):
                column.append(value)
        return out | columns

    def best_rank(self, x, job_scatter):
        """Rank and interval for a job by the best of three."""
        by_power = self.joint is not None or all(len(c.angle_deg) > 1 for m in self.members for c in m.curves)
        scores = [
            best_of_three(m.specimens, [run_score(c, x, self.joint, by_power) for c in m.curves]) for m in self.members
        ]
        scored = [k for k, score in enumerate(scores) if score is not None]
        members = [self.members[k] for k in scored]
        ends = self.ends()["typical_end_nm"]
        rank = ranked([scores[k] for k in scored], [ends[k] for k in scored]) if scored else []
        out = {"score": [digits(s) for s in scores]}
        if self.too_few:
            return out | self.columns(members, rank)
        errors = Errors(members, self.scatters(job_scatter), best=True)
        shifts = [best_shift(self.members[k], x, self.joint, by_power, scores[k]) for k in scored]
        return out | self.columns(members, rank, errors, ahead_to_job(members, shifts, log(x)))

    def by(self, by):
        """Rank and interval by a measure."""
        level, _, per = by.partition("-per-")
        values = self.measures(level)
        divisors = [self.divisor(m, per) for m in self.members]
        placed = [k for k, d in enumerate(divisors) if d is not None]
        members = [self.members[k] for k in placed]
        logs = [combined(self.members[k].specimens, [ln(v) for v in values[k]]) - log(divisors[k]) for k in placed]
        rank = ranks.by_score([exp(x) for x in logs])
        if self.too_few:
            return self.columns(members, rank)
        run = self.measure_scatter(level)
        errors = Errors(members, self.scatters(run))
        return {"scatter": run.expected(self.members)} | self.columns(members, rank, errors, by_measure(logs))

    def divisor(self, member, per):
        """Mass or price of tool and pack, `None` where either is missing."""
        if not per:
            return 1.0
        tool = next(t for t in self.data["tools"] if t["id"] == member.tool)
        pack = next(p for p in self.data["packs"] if p["id"] == member.pack)
        if per == "kg":
            parts = [tool.get("mass_kg"), pack.get("mass_kg")]
        else:
            parts = [next((p["amount"] for p in x.get("prices", [])), None) for x in (tool, pack)]
        return None if None in parts else sum(parts)

    def columns(self, members, rank, errors=None, above=None):
        """Rank figures for each pair of the field; `None` for those without a place."""
        places = {id(m): k for k, m in enumerate(members)}
        columns = {k: [] for k in ("rank", "se", "se_nu", "rank_mean", "rank_sd", "rank_low", "rank_high")}
        told = moments(above, [m.tool for m in members], errors.se, errors.covariance) if errors else None
        for member in self.members:
            k = places.get(id(member))
            row = [None] * 7
            if k is not None:
                row[0] = rank[k]
            if k is not None and errors is not None:
                row[1:5] = fewer(errors.se[k]), fewer(errors.nu[k]), fewer(told[k][0]), fewer(told[k][1])
                row[5:7] = interval(*told[k], errors.nu[k], rank[k], len(members))
            for column, value in zip(columns.values(), row, strict=True):
                column.append(value)
        return columns | {"rank_of": len(members)}


def check():
    """Raises where a definition here fails a value known from elsewhere, named as in the list of check values."""
    # T-80 (JCGM 100, G.4.1): ν 19.0; T-81 (H.1): ν 16.75
    assert isclose(welch_satterthwaite([(0.25**2, 9), (0.57**2, 4), (0.82**2, 14)]), 18.999, abs_tol=1e-3)
    end_gauge = [(25, 18), (5.8, 24), (3.9, 5), (6.7, 8), (2.9, 50), (16.6, 2)]
    assert isclose(welch_satterthwaite([(u * u, nu) for u, nu in end_gauge]), 16.75, abs_tol=5e-3)
    # T-42: t with three degrees of freedom
    assert isclose(student.ppf(0.95, 3), 2.3534, abs_tol=1e-4)
    # the nodes give the moments of the standard normal distribution
    for power, moment in ((1, 0), (2, 1), (4, 3), (6, 15), (8, 105)):
        assert isclose(float(WEIGHTS @ NODES**power), moment, rel_tol=1e-12, abs_tol=1e-12)
    # what the best of three leaves of the runs' variance, by 200,000 draws (n = 3: T-02, 0.747975²); beyond eight runs
    # 1.45/n is the definition's own approximation, by 20 runs 3 % too large
    assert isclose(BEST_VARIANCE[3], 0.747975**2, abs_tol=1e-3)
    rng = np.random.Generator(np.random.PCG64(3))
    for n in range(3, 13):
        subsets = np.array([i * (i - 1) / 2 for i in range(n)])
        best = np.sort(rng.standard_normal((200_000, n)), axis=1) @ (subsets / subsets.sum())
        assert isclose(BEST_VARIANCE.get(n, 1.45 / n), best.var(), rel_tol=0.012 if n <= 8 else 0.03), (n, best.var())
    # the mean of the best of three is the best itself where there are three
    assert best_of_three("AAA", [1.0, 3.0, 2.0]) == 3.0


def met(must, field, cases):
    """Whether a field is what it is there for."""
    scatters = [s for case in cases for s in (case.get("job_scatter"), case.get("reach_scatter")) if s]
    specimens = field.effects.variances[0] / field.effects.known[0][0] ** 2
    match must:
        case None:
            return True
        case "moderated":
            return all(s["prior"] is not None for s in scatters)
        case "never moderated":
            return all(s["prior"] is None for s in scatters)
        case "specimens differ":
            return field.effects.basis[0] != "assumed" and specimens > 1.3
        case "specimens alike":
            return field.effects.basis[0] != "assumed" and specimens < 0.8
        case "packs measured":
            return field.effects.basis[1] == "measured"
        case "days measured":
            return field.effects.basis[2] == "measured" and by_day(field.members)
        case "days in runs":
            return not by_day(field.members)
        case "too few":
            return field.too_few
        case "tie":
            return all(len(set(c["rank"])) < len(c["rank"]) for c in cases)
        case "below one":
            return any(nu < 1 for c in cases for nu in c["nu"])


def build(spec, seed, agreement):
    """One case; raises `Undecided` where a float's last bit would decide, or the field is not what it is there for."""
    rng = np.random.Generator(np.random.PCG64(seed))
    data = fields.dataset(rng, spec)
    field = Field(data, spec.get("edition", 1))
    middle = float(np.median([c.h_nm[-1] for m in field.members for c in m.curves]))
    jobs = [{"job": f"{round(2 * share * middle) / 2:g} N·m"} | more for share, more in spec["jobs"]]
    asked = [field.job(question) for question in jobs]
    edition = {"edition": spec["edition"]} if "edition" in spec else {}
    by = [({"by": by} | edition, field.by(by)) for by in spec["by"]]
    if not met(spec.get("must"), field, asked):
        raise Undecided(spec["must"])
    if not field.too_few:
        for question, expected in zip(jobs, asked):
            if "score" not in question:
                agreement.compare(field, expected, expected["required_nm"], None)
        for question, expected in by:
            if "-per-" not in question["by"]:
                agreement.compare(field, expected, None, question["by"])
    return {
        "name": spec["name"],
        "seed": seed,
        "dataset": data,
        "pairs": [[m.tool, m.pack] for m in field.members],
        "runs": [m.places for m in field.members],
        "checks": field.check_places,
        "by_day": by_day(field.members),
        "share": [fewer(runs_variance(m, False)) for m in field.members],
        "u_cal": [fewer(calibration_u(data, m)) for m in field.members],
        "too_few": field.too_few,
        "effects": field.effects.expected(),
        "ends": {k: [digits(x) if k == "typical_end_nm" else x for x in v] for k, v in field.ends().items()},
        "jobs": [{"question": q, "expected": e} for q, e in zip(jobs, asked)],
        "by": [{"question": q, "expected": e} for q, e in by],
    }


def fixture():
    """All cases; each takes the first seed that is decided."""
    check()
    cases, agreement = [], Agreement()
    for k, spec in enumerate(FIELDS):
        for seed in count(1000 * (k + 1)):
            try:
                cases.append(build(spec, seed, agreement))
                break
            except Undecided:
                assert seed < 1000 * (k + 1) + 900, spec["name"]
    jobs = [job["expected"] for case in cases for job in case["jobs"]]
    verdicts = [v for job in jobs for v in job.get("verdict", [])]
    assert all(verdicts.count(v) >= 20 for v in ("within reach", "borderline", "out of reach"))
    nine = [t for job in jobs for t in job.get("nine_in_ten_us", [])]
    assert sum(t is None for t in nine) >= 20 and sum(t is not None for t in nine) >= 60
    agreement.check()
    print(agreement)
    return {"window_s": WINDOW_S, "cases": cases}
