"""Scatter of runs and of specimens, and degrees of freedom, word by word."""

from math import exp, fsum, inf, log, sqrt

from scipy.optimize import brentq
from scipy.special import digamma, polygamma

from members import fewer, ln
from reduction import decided
from typical import mean

LEAST_SCATTER = 0.001


def inverse_trigamma(v):
    """The x with ψ′(x) = v."""
    return exp(brentq(lambda u: log(polygamma(1, exp(u)) / v), -30, 30, xtol=1e-14, rtol=1e-15))


class RunScatter:
    """Run scatter of a field for one choice of y: `ys` gives, for each member, one y for each of its runs."""

    def __init__(self, members, ys):
        squares, degrees = {}, {}
        for member, y in zip(members, ys, strict=True):
            for name in member.names():
                own = [v for s, v in zip(member.specimens, y) if s == name]
                middle = mean(own)
                squares.setdefault(member.tool, []).extend((v - middle) ** 2 for v in own)
                degrees[member.tool] = degrees.get(member.tool, 0) + len(own) - 1
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
        nu = self.degrees[tool]
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


class SpecimenScatter:
    """s_u² and ν_u of a field, from ln mean torque.

    Specimens of a tool are all that have a counted run with any pack. Where there are several, but never two with the
    same pack, nothing tells them from the packs: that is taken as no second specimen.
    """

    def __init__(self, members, unit_percent):
        ys = [[ln(c.mean_nm()) for c in m.curves] for m in members]
        run = RunScatter(members, ys)
        self.a = sqrt(run.s2) if unit_percent is None else unit_percent / 100
        parts, more = [], 0
        for member, y in zip(members, ys):
            numbers = member.numbers()
            if len(numbers) < 2:
                continue
            means = [mean([v for s, v in zip(member.specimens, y) if s == name]) for name in numbers]
            between = fsum((x - mean(means)) ** 2 for x in means)
            parts.append(between - (len(means) - 1) * run.s2 * mean([1 / n for n in numbers.values()]))
            more += len(means) - 1
        self.estimate2 = fsum(parts) / more if more else None
        self.nu_t = 0
        for tool in dict.fromkeys(m.tool for m in members):
            self.nu_t += len({s for m in members if m.tool == tool for s in m.specimens}) - 1
        if more:
            together = (self.nu_t * self.estimate2 + 2 * self.a**2) / (self.nu_t + 2)
            self.s2, self.nu = max(0.0, together), self.nu_t + 2
        else:
            self.s2, self.nu = self.a**2, inf


def welch_satterthwaite(parts):
    """Degrees of freedom of a sum of variances, each with its own."""
    return fsum(v for v, _ in parts) ** 2 / fsum(v * v / nu for v, nu in parts)
