"""Order, ties and shared ranks, with `scipy.stats.rankdata(method="min")`.

Times: shortest first; what is not reached follows, by the torque at the window's end, largest first.
Scores: largest first. Figures that differ by less than 1e-9 of the larger are ties. scipy knows equal figures only,
so figures in a tie are first made equal; the cases keep groups of ties apart, so that it does not matter how.
"""

import numpy as np
from scipy.stats import rankdata

TIE = 1e-9


def snapped(values):
    """Each figure, or the smallest one it is tied with."""
    out = []
    for x in values:
        tied = [y for y in values if x == y or abs(x - y) < TIE * max(abs(x), abs(y))]
        out.append(min(tied))
    for x in values:
        near = [y for y in values if x != y and 0.5 * TIE < abs(x - y) / max(abs(x), abs(y)) < 2 * TIE]
        assert not near, "on the edge of a tie"
    return out


def by_time(times_s, at_window_nm):
    """Rank of each: by time where there is one, then by torque at the window's end."""
    reaching = [i for i, t in enumerate(times_s) if t is not None]
    others = [i for i, t in enumerate(times_s) if t is None]
    ranks = [0] * len(times_s)
    if reaching:
        for i, r in zip(reaching, rankdata(snapped([times_s[i] for i in reaching]), method="min")):
            ranks[i] = int(r)
    if others:
        for i, r in zip(others, rankdata([-x for x in snapped([at_window_nm[i] for i in others])], method="min")):
            ranks[i] = len(reaching) + int(r)
    return ranks


def by_score(scores):
    """Rank of each, the largest first."""
    return [int(r) for r in rankdata([-x for x in snapped(scores)], method="min")]


def time_case(name, times_s, at_window_nm):
    """A case of `by_time`."""
    assert len(times_s) == len(at_window_nm)
    return {
        "name": name,
        "by": "time",
        "time_s": times_s,
        "at_window_nm": at_window_nm,
        "expected": by_time(times_s, at_window_nm),
    }


def score_case(name, scores):
    """A case of `by_score`."""
    return {"name": name, "by": "score", "score": scores, "expected": by_score(scores)}


def fixture():
    """All cases."""
    rng = np.random.Generator(np.random.PCG64(7))
    many = [round(float(x), 6) for x in rng.uniform(0.2, 2.6, 60)]
    many[10], many[20], many[21] = many[3], many[4], many[4]
    at_window = [round(float(x), 1) for x in rng.uniform(90, 600, 60)]
    at_window[50], at_window[51] = at_window[40], at_window[41]
    return {
        "tie_below_relative": TIE,
        "cases": [
            time_case("one alone", [0.7], [300.0]),
            time_case("one alone, not reaching", [None], [99.0]),
            time_case("plain order", [0.9, 0.4, 1.3, 0.6], [300.0, 310.0, 320.0, 330.0]),
            time_case("two exactly equal", [0.5, 0.4, 0.5, 0.7], [300.0, 310.0, 320.0, 330.0]),
            time_case("tied in the last digits", [0.5 * (1 + 2e-10), 0.4, 0.5, 0.7], [300.0] * 4),
            time_case("just apart", [0.5 * (1 + 3e-9), 0.4, 0.5, 0.7], [300.0] * 4),
            time_case("three share, the next rank is left out", [1.0, 1.0, 1.0, 1.2, 0.8], [250.0] * 5),
            time_case("reached at once", [0.0, 0.3, 0.0, None], [500.0, 400.0, 600.0, 20.0]),
            time_case("some do not reach", [None, 0.5, None, 2.4, None], [180.0, 300.0, 199.0, 201.0, 150.0]),
            time_case("none reaches, two tied", [None, None, None, None], [150.0, 180.0, 150.0 * (1 + 1e-10), 90.0]),
            time_case("more torque in the end does not make up for time", [1.1, 0.9, None], [900.0, 210.0, 199.0]),
            time_case("all tied", [0.25, 0.25, 0.25], [300.0, 200.0, 400.0]),
            time_case("sixty", [None if k % 5 == 0 and k >= 30 else many[k] for k in range(60)], at_window),
            score_case("scores", [120.5, 98.0, 130.0, 98.0]),
            score_case("scores tied in the last digits", [98.0 * (1 - 1e-10), 130.0, 98.0, 50.0]),
            score_case("scores just apart", [98.0 * (1 - 4e-9), 130.0, 98.0, 50.0]),
            score_case("small scores keep the share, not the difference", [1e-12, 2e-12, 3e-3]),
            score_case("as in scipy's example, turned round", [-0.5, -2.5, -3.5, -2.5]),
        ],
    }
