"""Published and exact values that the definitions here must give before a fixture is written."""

from math import isclose, pi

from scipy.optimize import isotonic_regression
from scipy.stats import rankdata

import ranks
import reduction
import typical


def check():
    """Raises where a definition fails a value known from elsewhere. The ids are those of the list of check values."""
    # W-06, W-07: a linear rise to 100 N·m over 30° and over 360°
    for angle, work in ((30.0, 26.17994), (360.0, 314.15927)):
        assert isclose(reduction.joint_work_j([0.0, angle], [0.0, 100.0], 100.0)[0], work, rel_tol=1e-6)
    # W-09: 600 N·m after 5 s, linear over 90°
    work, _ = reduction.joint_work_j([0.0, 90.0], [0.0, 600.0], 600.0)
    assert isclose(work, 471.2389, rel_tol=1e-6)
    assert isclose(reduction.per_time(work, 5.0), 94.2478, rel_tol=1e-6)
    assert reduction.per_time(600.0, 5.0) == 120.0
    # W-11: the trapezoid rule is exact for a line, whatever the points
    assert isclose(reduction.trapezoids([0, 0.3, 2.9, pi], [0, 0.3, 2.9, pi]), pi * pi / 2, rel_tol=1e-12)
    # T-92: the median of 1 to 10
    assert reduction.running_median(list(range(10)), list(range(1, 11)), 100)[0] == 5.5
    # T-94: ranks of 0 2 3 2
    assert rankdata([0, 2, 3, 2], method="min").tolist() == [1, 2, 4, 2]
    assert ranks.by_time([0.0, 2.0, 3.0, 2.0], [1.0] * 4) == [1, 2, 4, 2]
    # T-95: isotonic regression
    fitted = isotonic_regression([1, 0, 4, 3, 3, 5, 4, 2, 0]).x.tolist()
    assert all(isclose(a, b) for a, b in zip(fitted, [0.5, 0.5, 3, 3, 3, 3, 3, 3, 3], strict=True))
    # four runs: the best is the best of three subsets in four, the second best of one
    assert typical.best_of_three("AAAA", [1.0, 2.0, 3.0, 4.0]) == 3.75
    typical.check()
