"""Thinning a curve that does not fall to knots, fast: by the corridor of slopes that a segment may have.

The rule is that of `thinning.py`, which tries everything. From each knot, every instant that is passed leaves a least
and a most slope with which a straight line is within the bound there. A whole number of tenths may stand at a later
instant if it is not below the knot's own, is within the bound of the height there, and is reached with a slope between
the two. The farthest such instant is the next knot; of its whole numbers the one nearest to the height, the larger at a
tie.
"""

from itertools import count
from math import ceil, floor, inf

import numpy as np

import thinning
from reduction import Undecided, decided

LAST_BITS = 1e-9
"""So far beyond a limit, in tenths of a N·m, a whole number still stands: limits come of divisions."""

PART = 0.001
"""The bound as a part of the last height, one tenth of a N·m at least."""


def bound_dnm(last_nm):
    """How far the lines may be off, in tenths of a N·m, where the last torque is `last_nm`."""
    return max(PART * last_nm * 10, 1.0)


def nearest_whole(aim, low, high, slack):
    """The whole number between two limits that is nearest to `aim`, the larger at a tie; `None` without one."""
    low, high = ceil(low - slack), floor(high + slack)
    return max(low, min(high, floor(aim + 0.5))) if low <= high else None


def farthest(ticks, height, bound, knot, slack=LAST_BITS, off=0.0):
    """The next knot after `knot`: index and tenths of a N·m.

    `slack` other than its usual and heights that are `off` show what the last bits decide.
    """
    k, own = knot
    least, most, best = 0.0, inf, None
    for i in range(k + 1, len(height)):
        run = ticks[i] - ticks[k]
        low, high = max(height[i] - bound, own + least * run), min(height[i] + bound, own + most * run)
        whole = nearest_whole(height[i] + off, low, high, slack)
        if whole is not None:
            best = i, whole
        least, most = max(least, (height[i] - bound - own) / run), min(most, (height[i] + bound - own) / run)
        if (least - most) * run > slack - LAST_BITS:
            break
    return best


DOUBTS = [(slack, off) for slack in (0.5, 1.5) for off in (-1e-9, 1e-9)]
"""The slack as a part of what it is, and what a height may be off by."""


def thin(ticks, height, bound, doubts=DOUBTS):
    """Knots as pairs of index and tenths of a N·m, of heights in tenths of a N·m above zero.

    The first is the first height, rounded half away from zero. Raises `Undecided` where a knot is another with one of
    the doubts.
    """
    if doubts:
        decided(height[0] % 1, 0.5)
    knots = [(0, floor(height[0] + 0.5))]
    while knots[-1][0] < len(height) - 1:
        found = farthest(ticks, height, bound, knots[-1])
        for slack, off in doubts:
            if farthest(ticks, height, bound, knots[-1], slack * LAST_BITS, off) != found:
                raise Undecided(f"knot after {knots[-1]}")
        knots.append(found)
    return knots


# number of instants, curve by generator
STAIRCASES = [
    (160, lambda r: thinning.staircase(r, 160, 420, 45, 5, 3, 2.0)),
    (160, lambda r: thinning.staircase(r, 160, 14, 45, 4, 2, 0.3)),
    (257, lambda r: thinning.staircase(r, 257, 990, 80, 25, 12, 1.0)),
    (513, lambda r: thinning.staircase(r, 513, 310, 120, 2, 1, 0.4)),
    (120, lambda r: thinning.quarters(r, 120)),
    (90, lambda r: [151.2371] * 90),
]


def check():
    """Raises where the corridor finds other knots than trying everything does, at ticks k³."""
    seen = 0
    for number, (size, curve) in enumerate(STAIRCASES):
        ticks = [k**3 for k in range(size)]
        for seed in count(10 * number):
            heights_nm = curve(np.random.Generator(np.random.PCG64(3000 + seed)))
            try:
                knots, _ = thinning.thin(ticks, heights_nm)
            except thinning.Undecided:
                assert seed < 10 * number + 9, number
                continue
            # ties of whole quarters are exact in floats, so nothing is doubted
            own = thin(ticks, [10 * h for h in heights_nm], bound_dnm(heights_nm[-1]), doubts=[])
            assert own == knots, (number, own, knots)
            seen += len(knots)
            break
    assert seen >= 150, seen
