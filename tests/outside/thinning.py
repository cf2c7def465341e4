"""Knots of build-up curves, found by trying everything in whole numbers.

From each knot every later sample is tried, the farthest first, with every whole number of tenths that may stand
there; the first sample for which one of them keeps all samples between within the bound is the next knot.
H and bound are whole multiples of 1e-7 N·m here, so that no comparison is rounded.
"""

from itertools import count
from math import exp

import numpy as np

UNIT = 10_000_000
TENTH = UNIT // 10


class Undecided(Exception):
    """A sample lies on the bound as nearly as floats can tell: no case for a fixture."""


def half_away(numerator, denominator):
    """A quotient rounded to a whole number, half away from zero."""
    quotient = (2 * abs(numerator) + denominator) // (2 * denominator)
    return quotient if numerator >= 0 else -quotient


def within(distance, bound, scale):
    """`distance` ≤ `bound`, both times `scale`, with 1e-9 N·m to spare either way."""
    if abs(abs(distance) - bound * scale) * 100 < scale:
        raise Undecided
    return abs(distance) <= bound * scale


def fits(ticks, h, bound, k, value, j, candidate):
    """Whether the line from knot `k` to sample `j` keeps every sample between within the bound."""
    span = ticks[j] - ticks[k]
    for i in range(k + 1, j):
        line = value * TENTH * span + (candidate - value) * TENTH * (ticks[i] - ticks[k])
        if not within(line - h[i] * span, bound, span):
            return False
    return True


def next_knot(ticks, h, bound, k, value):
    """The farthest sample a segment from knot `k` reaches, and its tenths: nearest to H, the larger at a tie."""
    for j in range(len(h) - 1, k, -1):
        lowest, highest = (h[j] - bound) // TENTH - 1, (h[j] + bound) // TENTH + 1
        candidates = [
            v
            for v in range(max(value, lowest), highest + 1)
            if within(v * TENTH - h[j], bound, 1) and fits(ticks, h, bound, k, value, j, v)
        ]
        if candidates:
            return j, min(candidates, key=lambda v: (abs(v * TENTH - h[j]), -v))
    raise AssertionError("the next sample is always a knot that can stand")


def thin(ticks, h_nm):
    """Sample indices and tenths of the knots, and the bound in units."""
    h = [round(x * UNIT) for x in h_nm]
    bound = max(half_away(h[-1], 1000), TENTH)
    assert h[-1] % 1000 == 0 or bound == TENTH, "the bound is not a whole number of units"
    knots = [(0, half_away(h[0], TENTH))]
    while knots[-1][0] < len(h) - 1:
        knots.append(next_knot(ticks, h, bound, *knots[-1]))
    return knots, bound


def largest_difference_nm(ticks, h_nm, knots):
    """How far the curve as written is from H at its worst sample."""
    line = np.interp(ticks, [ticks[k] for k, _ in knots], [v / 10 for _, v in knots])
    return float(np.max(np.abs(line - np.array(h_nm))))


def staircase(rng, n, peak_nm, rise, blow, hold, noise_nm):
    """A rise in steps: it stands for `hold` of every `blow` samples. Non-decreasing, four decimals."""
    out, best = [], -1e9
    for k in range(n):
        base = peak_nm * (1 - exp(-k / rise))
        if k % blow >= hold or k == 0:
            best = max(best, base + noise_nm * rng.random())
        out.append(round(best, 4))
    return out


def quarters(rng, n):
    """Whole quarters of a N·m: halves of a tenth, so that ties of two whole numbers of tenths happen."""
    return [float(x) / 4 for x in np.cumsum(rng.integers(0, 12, n)) + 7]


# name, tick, first sample after the onset, H(0), ticks of the samples, curve
CASES = [
    ("steps at 200 a second, weak", 5000, 3120, 1.54, range(160), lambda r: staircase(r, 160, 84, 40, 5, 3, 0.6)),
    ("steps at 200 a second", 5000, 1700, 8.26, range(160), lambda r: staircase(r, 160, 420, 45, 5, 3, 2.0)),
    ("steps at 1000 a second, strong", 1000, 640, 20.02, range(150), lambda r: staircase(r, 150, 990, 60, 25, 12, 1.0)),
    ("smooth rise", 10000, 8000, 6.04, range(140), lambda r: staircase(r, 140, 310, 50, 1, 0, 0.0)),
    ("nearly straight", 10000, 20, 0.52, range(90), lambda r: [round(0.0123 + 1.7031 * k + 0.09 * r.random(), 4) for k in range(90)]),
    ("constant", 5000, 2500, 20.05, range(40), lambda r: [151.2371] * 40),
    ("below zero at first", 10000, 5000, -0.08, range(30), lambda r: [round(-0.0713 + 0.11 * k * k / 9, 4) for k in range(30)]),
    ("quarters, ties", 5000, 2222, 1.25, range(60), lambda r: quarters(r, 60)),
    ("two samples", 5000, 1, 2.0, range(2), lambda r: [50.0437, 77.7731]),
    ("one sample", 5000, 4999, 2.0, range(1), lambda r: [50.0437]),
    ("uneven times in microseconds", 1, 1234, 5.01, None, lambda r: staircase(r, 110, 265, 35, 5, 3, 1.5)),
]


def build(name, tick_us, first_us, onset_nm, ticks, curve, seed):
    """One case; raises `Undecided` where a sample lies on the bound."""
    rng = np.random.Generator(np.random.PCG64(seed))
    h_nm = curve(rng)
    if ticks is None:
        ticks = [0, *(int(x) for x in np.cumsum(rng.integers(2500, 9000, len(h_nm) - 1)))]
    ticks = list(ticks)
    onset_nm = min(onset_nm, h_nm[0])
    assert all(a <= b for a, b in zip(h_nm, h_nm[1:])), name
    knots, bound = thin(ticks, h_nm)
    at = [ticks[k] for k, _ in knots]
    values = [v for _, v in knots]
    return {
        "name": name,
        "seed": seed,
        "tick_us": tick_us,
        "first_us": first_us,
        "h0_nm": onset_nm,
        "sample_ticks": ticks,
        "h_nm": h_nm,
        "expected": {
            "bound_nm": bound / UNIT,
            "onset_dnm": min(half_away(round(onset_nm * UNIT), TENTH), values[0]),
            "knot_samples": [k for k, _ in knots],
            "step": [0] + [b - a for a, b in zip(at, at[1:])],
            "rise_dnm": [values[0]] + [b - a for a, b in zip(values, values[1:])],
            "largest_difference_nm": largest_difference_nm(ticks, h_nm, knots),
        },
    }


def fixture():
    """All cases; each takes the first seed from 1 on in which no sample lies on the bound."""
    cases = []
    for k, case in enumerate(CASES):
        for seed in count(1000 * (k + 1)):
            try:
                cases.append(build(*case, seed))
                break
            except Undecided:
                assert seed < 1000 * (k + 1) + 200, case[0]
    return {"cases": cases}
