"""Scatter of runs, specimens, packs and days of a field, and degrees of freedom, word by word."""

from copy import copy
from math import exp, fsum, log, sqrt

from scipy.optimize import brentq
from scipy.special import digamma, polygamma

import effects
from members import digits, fewer, ln
from reduction import decided
from typical import mean, whole
from typical import squares as squares_of

LEAST_SCATTER = 0.001
LAST_DIGIT = 0.003
"""What is stored as a whole number may not lie nearer to a half: another last digit of a maximum could turn it."""
LEAST_NU = 3
"""Fewer degrees of freedom within cells say nothing."""


def inverse_trigamma(v):
    """The x with ψ′(x) = v."""
    return exp(brentq(lambda u: log(polygamma(1, exp(u)) / v), -30, 30, xtol=1e-14, rtol=1e-15))


def by_day(members):
    """Whether the cells of counted runs tell days apart."""
    runs = [(m.tool, m.pack, origin) for m in members for origin in m.origins]
    return len(runs) - len(set(runs)) >= LEAST_NU


class RunScatter:
    """Run scatter of a field for one choice of y.

    `sums` gives, for each member, the sum of squared differences of its runs' y from the mean of their cell. For ln H
    at an instant, each member's own, it comes of roots at 49 instants; for a measure, of each run's y.
    """

    @classmethod
    def of_runs(cls, members, ys):
        """Of one y for each run of each member."""
        days = by_day(members)
        return cls(members, [squares_of(member.cells(days), y) for member, y in zip(members, ys, strict=True)])

    @classmethod
    def at(cls, members, times_s):
        """Of ln H at one time for each member."""
        days = by_day(members)
        return cls(members, [member.squares_at(t, days) for member, t in zip(members, times_s, strict=True)])

    def __init__(self, members, sums):
        days, squares, degrees = by_day(members), {}, {}
        for member, own in zip(members, sums, strict=True):
            cells = member.cells(days)
            squares.setdefault(member.tool, []).append(own)
            degrees[member.tool] = degrees.get(member.tool, 0) + len(cells) - len(set(cells))
        self.nu = sum(degrees.values())
        together = fsum(x for own in squares.values() for x in own)
        self.s2 = max(together / self.nu, LEAST_SCATTER**2) if self.nu else None
        self.degrees = degrees
        # the least scatter counts for all runs together as it does for a tool: none at all could not be divided by
        self.own2 = {
            tool: max(fsum(squares[tool]) / nu, LEAST_SCATTER**2) if nu else None for tool, nu in degrees.items()
        }
        self.prior = self._prior()

    def _prior(self):
        """ν₀ and s₀², or `None` where there is nothing to moderate by."""
        tools = [tool for tool, nu in self.degrees.items() if nu > 0]
        if len(tools) < 3:
            return None
        halves = [self.degrees[tool] / 2 for tool in tools]
        e = [log(self.own2[tool]) - digamma(h) + log(h) for tool, h in zip(tools, halves)]
        middle = mean(e)
        v = fsum((x - middle) ** 2 for x in e) / (len(e) - 1) - mean([float(polygamma(1, h)) for h in halves])
        decided(v, 0.0, 1e-6)
        if v <= 0:
            return None
        nu0 = 2 * inverse_trigamma(v)
        return nu0, exp(middle + float(digamma(nu0 / 2)) - log(nu0 / 2))

    def of(self, tool):
        """s_r² and ν_r."""
        if self.prior is None:
            return self.s2, self.nu
        nu0, s02 = self.prior
        nu = self.degrees.get(tool, 0)
        own = nu * self.own2[tool] if nu else 0.0
        return (nu0 * s02 + own) / (nu0 + nu), min(nu0 + nu, self.nu)

    def expected(self, members):
        """For the fixture, by pair where the tool decides."""
        tools = list(dict.fromkeys(m.tool for m in members))
        return {
            "s": fewer(sqrt(self.s2)),
            "nu": self.nu,
            "prior": None if self.prior is None else [fewer(self.prior[0]), fewer(sqrt(self.prior[1]))],
            "tool_nu": [self.degrees[t] for t in tools],
            "tool_s": [None if self.own2[t] is None else fewer(sqrt(self.own2[t])) for t in tools],
            "moderated_s": [fewer(sqrt(self.of(t)[0])) for t in tools],
            "moderated_nu": [fewer(self.of(t)[1]) for t in tools],
        }


class FieldEffects:
    """How much specimens, pack specimens and days of a field differ, from ln mean torque, as a file stores it.

    `checks` are control runs, each with tool, pack, origin and ln mean torque.
    """

    def __init__(self, data, members, checks, run):
        rig = data["rigs"][0]
        stated = [rig.get(f"{kind}_percent") for kind in ("unit_to_unit", "pack_to_pack", "day_to_day")]
        self.known = effects.assumed(stated[0], used_packs(data, members), *stated[1:])
        self.variances, self.nu = [a * a for a, _ in self.known], [nu for _, nu in self.known]
        if run.nu:
            counted = [
                (m.tool, f"{m.tool} {m.pack}", *origin[1:], ln(c.mean_nm()))
                for m in members
                for origin, c in zip(m.origins, m.curves)
            ]
            more = [(tool, f"{tool} {pack} check", *origin[1:], y) for tool, pack, origin, y in checks]
            cells, _ = effects.in_cells(counted, more)
            tools = {key[0] for key in cells}
            field = effects.Field(cells, {tool: run.of(tool)[0] for tool in tools}, self.known)
            self.variances = field.variances()
            self.nu = [float(nu) for nu in field.degrees_of_freedom(self.variances)]
        self.ppm = [whole(1e6 * sqrt(s2), LAST_DIGIT) for s2 in self.variances]
        self.cnu = [whole(100 * nu, LAST_DIGIT) for nu in self.nu]
        self.used = [((ppm / 1e6) ** 2, cnu / 100) for ppm, cnu in zip(self.ppm, self.cnu)]
        self.basis = [effects.basis(cnu, 100 * nu, 100) for cnu, (_, nu) in zip(self.cnu, self.known)]

    def expected(self):
        """For the fixture; of specimens, pack specimens and days."""
        return {
            "assumed": self.known,
            "variances": [digits(s2) for s2 in self.variances],
            "nu": [digits(nu) for nu in self.nu],
            "ppm": self.ppm,
            "cnu": self.cnu,
            "basis": self.basis,
        }


def used_packs(data, members):
    """Whether a pack specimen that was run in the field is stated to be used."""
    run = {origin[2] for m in members for origin in m.origins}
    stated = (s for s in data.get("specimens", []) if "pack" in s and s.get("condition") == "used")
    return any(f"{s['pack']} {s['specimen']}" in run for s in stated)


class Scatters:
    """What a sum over runs needs to know of a field: effects as stored, and runs of each tool by one choice of y."""

    def __init__(self, field_effects, run, tools):
        self.specimen, self.pack, self.day = field_effects.used
        self.runs = {tool: run.of(tool) for tool in tools}

    def day_variance(self, day):
        """v."""
        return self.day[0]

    def as_tested(self):
        """Of these very tools and packs."""
        out = copy(self)
        out.specimen, out.pack = (0.0, self.specimen[1]), (0.0, self.pack[1])
        return out


def welch_satterthwaite(parts):
    """Degrees of freedom of a sum of variances, each with its own."""
    return fsum(v for v, _ in parts) ** 2 / fsum(v * v / nu for v, nu in parts)
