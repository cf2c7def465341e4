"""Real nuts: the posterior on the grid with scipy, and the same by integration without a grid.

The grid is what is defined, so it is held to all digits. How fine it is, integrating over μ and ln τ shows: chances and
shares are within 0.001 of the integral up to twenty nuts. Forty aged nuts, each apart, are known better than the grid's
points are apart: there they are within 0.014.
"""

from math import exp, inf, log, sqrt

import numpy as np
from scipy.optimize import brentq
from scipy.stats import norm
from scipy.stats import t as student

from members import digits

KNOWN = {"fresh": ((log(0.80), 0.20), (log(0.15), 0.5)), "aged": ((log(1.30), 0.40), (log(0.25), 0.5))}
CLOCK_S = 0.3


def interval(nut, lead, window_s):
    """Between which ends the logarithm of a nut's factor lies."""
    if nut["tried_s"] is not None:
        return lead(min(nut["tried_s"], window_s)), inf
    time_s = nut["loose_s"]
    if time_s is None:
        return -inf, lead(window_s)
    return (-inf if time_s <= CLOCK_S else lead(time_s - CLOCK_S)), lead(time_s)


def log_likelihood(checks, mu, tau):
    """Of all checks, each to its power."""
    groups = [group for _, _, _, group in checks]
    out = 0.0
    for low, high, s, group in checks:
        sd = np.sqrt(tau**2 + s**2)
        # the difference of two survival functions where both are small, else of two distributions
        a, b = (low - mu) / sd, (high - mu) / sd
        upper = norm.logsf(a) + np.log1p(-np.exp(norm.logsf(b) - norm.logsf(a)))
        lower = norm.logcdf(b) + np.log1p(-np.exp(norm.logcdf(a) - norm.logcdf(b)))
        out = out + np.where(a > 0, upper, lower) / (1 + (groups.count(group) - 1) / 2)
    return out


class Grid:
    """Weights at 33 × 25 points."""

    def __init__(self, state, checks):
        (m, s), (lt, ls) = KNOWN[state]
        self.mu, log_tau = np.meshgrid(m + s * np.linspace(-4, 4, 33), lt + ls * np.linspace(-3, 3, 25), indexing="ij")
        self.tau = np.exp(log_tau)
        with np.errstate(divide="ignore", invalid="ignore"):
            weights = norm.logpdf(self.mu, m, s) + norm.logpdf(log_tau, lt, ls)
            weights = weights + log_likelihood(checks, self.mu, self.tau)
        weights = np.exp(weights - np.max(weights))
        self.weights = weights / np.sum(weights)

    def chance(self, lead, s, nu):
        """For a new nut."""
        variance = s**2 + self.tau**2
        return float(np.sum(self.weights * student.cdf((lead - self.mu) / np.sqrt(variance), variance**2 / (s**4 / nu))))

    def factor(self, share):
        """That this share of nuts stays below."""
        below = lambda x: float(np.sum(self.weights * norm.cdf((x - self.mu) / self.tau))) - share
        return exp(brentq(below, -8, 8, xtol=1e-14, rtol=1e-15))


def integrated(state, checks, lead, s, nu):
    """Chance for a new nut, and share of nuts below a factor of 1.2, by Gauss and Legendre's nodes, far finer than the
    grid."""
    (m, sm), (lt, ls) = KNOWN[state]
    nodes = lambda count, middle, reach: (middle + reach * np.polynomial.legendre.leggauss(count)[0],) + (
        np.polynomial.legendre.leggauss(count)[1],
    )
    means, of_means = nodes(400, m, 4 * sm)
    logs, of_logs = nodes(120, lt, 3 * ls)
    mu, log_tau = np.meshgrid(means, logs, indexing="ij")
    tau = np.exp(log_tau)
    with np.errstate(divide="ignore", invalid="ignore"):
        density = norm.logpdf(mu, m, sm) + norm.logpdf(log_tau, lt, ls) + log_likelihood(checks, mu, tau)
    weights = np.exp(density - np.max(density)) * of_means[:, None] * of_logs[None, :]
    weights /= np.sum(weights)
    variance = s**2 + tau**2
    loose = student.cdf((lead - mu) / np.sqrt(variance), variance**2 / (s**4 / nu))
    return float(np.sum(weights * loose)), float(np.sum(weights * norm.cdf((log(1.2) - mu) / tau)))


def case(number, state, count, groups, middle, spread):
    """Nuts of one state, tried with pairs whose curves rise as 1 − exp(−t/τ)."""
    rng = np.random.Generator(np.random.PCG64(1500 + number))
    window_s, nuts, checks = 5.0, [], []
    for place in range(count):
        end, rise_s = digits(float(rng.normal(middle + 0.05, 0.3)), 6), digits(float(rng.uniform(0.5, 1.5)), 4)
        lead = lambda t: end + log(1 - exp(-t / rise_s))
        f = float(rng.normal(middle, spread))
        s = digits(float(rng.uniform(0.04, 0.09)), 4)
        nut = {"end": end, "rise_s": rise_s, "sd": s, "group": place % groups, "loose_s": None, "tried_s": None}
        if f < lead(window_s) - 1e-3:
            time_s = digits(float(-rise_s * log(1 - exp(f - end))) + float(rng.uniform(0, CLOCK_S)), 6)
            nut["loose_s"] = None if place % 5 == 4 else min(time_s, window_s)
        else:
            nut["tried_s"] = digits(float(rng.uniform(2, 7)), 4)
        ends = interval(nut, lead, window_s)
        # as wide as the program takes an interval to be at least
        if ends[1] < inf and ends[1] - ends[0] < 1e-3:
            ends = ends[1] - 1e-3, ends[1]
        nuts.append(nut)
        checks.append((*ends, s, nut["group"]))
    grid = Grid(state, checks)
    lead, s, nu = digits(middle + 0.1), 0.07, 9.0
    chance, below = integrated(state, checks, lead, s, nu)
    fine = 0.014 if count == 40 else 0.001
    assert abs(chance - grid.chance(lead, s, nu)) < fine, (chance, grid.chance(lead, s, nu))
    told = float(np.sum(grid.weights * norm.cdf((log(1.2) - grid.mu) / grid.tau)))
    assert abs(below - told) < fine, (below, told)
    loose = sum(high < inf for _, high, _, _ in checks)
    return {
        "name": f"{count} {state}, {groups} groups",
        "state": state,
        "window_s": window_s,
        "nuts": nuts,
        "lead": lead,
        "sd": s,
        "nu": nu,
        "chance": digits(grid.chance(lead, s, nu)),
        "half": digits(grid.factor(0.5)),
        "nineteen_of_twenty": digits(grid.factor(0.95)),
        "enough": count >= 10 and groups >= 3 and loose >= 4,
    }


def fixture():
    """All cases."""
    specs = [
        ("fresh", 0, 1, log(0.8), 0.12),
        ("aged", 3, 2, log(1.3), 0.25),
        ("fresh", 9, 9, log(0.65), 0.10),
        ("fresh", 12, 4, log(1.0), 0.20),
        ("aged", 14, 7, log(1.8), 0.35),
        ("aged", 20, 5, log(1.0), 0.15),
        ("aged", 40, 40, log(1.3), 0.25),
    ]
    cases = [case(number, *spec) for number, spec in enumerate(specs)]
    assert {one["enough"] for one in cases} == {True, False}
    return {"cases": cases}
