"""The measured pairs of a dataset's field: which runs count, their curves, what they share, and the typical curve.

A run's mean and early torque are rounded to thousandths of a N·m before any correction; its peak is not.
"""

from math import inf, log

import numpy as np

import fields
from reduction import decided
from typical import LOWEST_NM, WINDOW_S, Curve, TypicalCurve, roots, rounded, squares_at

assert WINDOW_S == fields.WINDOW_S
WINDOW_US = round(WINDOW_S * 1e6)
CLOSE = 1e-11
"""Logarithms nearer to each other than this are not compared."""


class Corrected(Curve):
    """A run's H times the corrections of its day, and its measures as a field takes them."""

    def __init__(self, buildup, factor):
        super().__init__(buildup)
        self.rounded_mean_nm = factor * rounded(super().mean_nm())
        self.rounded_early_nm = factor * rounded(super().early_nm())
        self.h_nm = [h * factor for h in self.h_nm]

    def mean_nm(self):
        """Mean over the window."""
        return self.rounded_mean_nm

    def early_nm(self):
        """H one second after the onset."""
        return self.rounded_early_nm


class Rising:
    """A curve that cannot fall, told by its logarithm at many whole microseconds (`log_typical_at`)."""

    coarse = None

    def first_us(self, log_nm):
        """The first whole microsecond of the window with the curve at or above exp(`log_nm`), or `None`.

        It cannot fall, so every microsecond between two looks 1 ms apart is enough. Below by no more than a billionth
        is reached.
        """
        step = 1000
        if self.coarse is None:
            self.coarse = self.log_typical_at(np.arange(0, WINDOW_US + 1, step))
        decided(self.coarse[-1], log_nm, CLOSE)
        log_nm += log(1 - 1e-9)
        above = np.flatnonzero(self.coarse >= log_nm)
        if not len(above):
            return None
        if above[0] == 0:
            decided(self.coarse[0], log_nm, CLOSE)
            return 0
        start = (int(above[0]) - 1) * step
        fine = self.log_typical_at(np.arange(start, start + step + 1))
        first = int(np.flatnonzero(fine >= log_nm)[0])
        decided(fine[first], log_nm, CLOSE)
        decided(fine[first - 1], log_nm, CLOSE)
        return start + first


class Member(Rising):
    """The counted runs of one pair. Where each was made: tool, its specimen, that of the pack, day."""

    def __init__(self, tool, pack):
        self.tool, self.pack = tool, pack
        self.places, self.specimens, self.origins, self.curves, self.dates = [], [], [], [], []
        self.known = {}

    def names(self):
        """Its specimens."""
        return sorted(set(self.specimens))

    def numbers(self):
        """How many runs each of its specimens has."""
        return {name: self.specimens.count(name) for name in self.names()}

    def typical(self):
        """The typical curve; asked for when all runs are in."""
        if "typical" not in self.known:
            self.known["typical"] = TypicalCurve(self.specimens, self.curves)
        return self.known["typical"]

    def log_typical(self, t_s):
        """ln of the typical curve."""
        return ln(self.typical().at(t_s))

    def log_typical_at(self, t_us):
        """The same at many whole microseconds."""
        curve = self.typical()
        return np.log(np.maximum(np.interp(t_us / 1e6, curve.t_s, curve.h_nm), LOWEST_NM))

    def cells(self, days):
        """What runs have in common within which they differ by chance alone; `days` tells days apart."""
        return [(*origin, day if days else None) for *origin, day in self.origins]

    def squares_at(self, t_s, days):
        """Sum of squared differences of ln H at a time from the mean of each run's cell, by roots held at 49 instants."""
        if days not in self.known:
            self.known[days] = roots(self.cells(days), self.curves)
        return squares_at(self.known[days], t_s)


def ln(torque_nm):
    """The logarithm of a torque."""
    return log(max(torque_nm, LOWEST_NM))


def counts(run, edition, control=False):
    """Whether a run counts in an edition, or serves it as a control run."""
    first, excluded = run.get("edition"), run.get("excluded")
    if first is None or first > edition or run.get("control", False) != control:
        return False
    return excluded is None or excluded["edition"] > edition


def runs_here(data, edition, control=False):
    """Such runs of the first rig and the first setup: place, run, curve and day of each."""
    days = {d["id"]: d for d in data["days"]}
    rig, setup = data["rigs"][0]["id"], data["setups"][0]["id"]
    for place, run in enumerate(data["runs"]):
        day = days[run["day"]]
        if (day.get("rig", rig), run.get("setup", setup)) == (rig, setup) and counts(run, edition, control):
            curve = Corrected(run["buildup"], torque_factor(data, run["day"], edition))
            yield place, run, curve, day


def origin(run):
    """What a run may have in common with others: the tool, its specimen, that of the pack, the day.

    Where a file names no specimen, all runs of the tool or the pack are of one and the same.
    """
    specimens = [f"{run[of]} {run.get(named, '')}" for of, named in (("tool", "specimen"), ("pack", "pack_specimen"))]
    return run["tool"], *specimens, run["day"]


def members_of(data, edition):
    """The field of the first rig and the first setup: its measured pairs in the order of tools and packs."""
    out = []
    for tool in data["tools"]:
        for pack in data["packs"]:
            member = Member(tool["id"], pack["id"])
            for place, run, curve, day in runs_here(data, edition):
                if (run["tool"], run["pack"]) != (tool["id"], pack["id"]):
                    continue
                member.places.append(place)
                member.curves.append(curve)
                member.specimens.append(run.get("specimen", ""))
                member.origins.append(origin(run))
                member.dates.append(day["date"])
            if member.curves:
                out.append(member)
    return out


def torque_factor(data, day, edition):
    """The product of all corrections of a day up to an edition."""
    factor = 1.0
    for other in data["editions"]:
        for correction in other.get("corrections", []):
            if other["edition"] <= edition and day in correction.get("days", []):
                factor *= correction.get("torque_factor", 1.0)
    return factor


def digits(x, number=12):
    """A figure with as many digits as the fixture keeps; twelve where all are compared. Infinity is `None`."""
    return None if x is None or x == inf else float(f"{x:.{number}g}")


def fewer(x):
    """Eight digits, for what stands between a question and its answer."""
    return digits(x, 8)
