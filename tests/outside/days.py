"""Days by their check runs: offsets by the mixed-model equations in full, limits word by word."""

from math import exp, expm1, sqrt

import numpy as np
from scipy.stats import norm

from members import digits

ASSUMED, ASSUMED_NU = 0.01, 3


def offsets(means, runs, day_variance, run_variance):
    """Of each day: what is foretold of its effect, the mean known by generalised least squares; what of its variance is
    told; and what is left of it, the mean taken as known."""
    size = len(means)
    v = day_variance * np.eye(size) + np.diag([run_variance / n for n in runs])
    inverse, one = np.linalg.inv(v), np.ones(size)
    mean = one @ inverse @ means / (one @ inverse @ one)
    effects = day_variance * inverse @ (np.array(means) - mean)
    told = day_variance * np.diag(inverse)
    return [float(x) for x in effects], [float(x) for x in told], [float(day_variance - day_variance * x) for x in told]


def limits(means, runs, run_variance):
    """Lower and upper limit of each day, and its standard deviation."""
    out = []
    for k in range(len(means)):
        others = [y for i, y in enumerate(means) if i != k]
        counts = [n for i, n in enumerate(runs) if i != k]
        h = float(np.mean([1 / n for n in counts]))
        nu = len(others) - 1
        held = ASSUMED_NU * ASSUMED**2 + nu * (float(np.var(others, ddof=1)) - run_variance * h)
        s2 = max(0.0, held / (ASSUMED_NU + nu))
        sigma = sqrt((s2 + run_variance / runs[k]) + (s2 + run_variance * h) / len(others))
        middle = float(np.mean(others))
        out.append((middle - 3 * sigma, middle + 3 * sigma, sigma))
    return out


def case(number, days, sd, run_sd, most):
    """One chart."""
    rng = np.random.Generator(np.random.PCG64(1300 + number))
    runs = [int(n) for n in rng.integers(1, most + 1, days)]
    means = [digits(float(5.4 + sd * rng.standard_normal() + run_sd / sqrt(n) * rng.standard_normal())) for n in runs]
    day_variance, run_variance = digits(max(sd, 0.004) ** 2, 6), digits(run_sd**2, 6)
    effects, told, left = offsets(means, runs, day_variance, run_variance)
    chart = limits(means, runs, run_variance)
    shift = expm1((3 + float(norm.ppf(0.8))) * float(np.median([sigma for _, _, sigma in chart])))
    for x, part in zip(effects, told):
        assert abs(abs(x) - 0.01) > 1e-6 and abs(part - 0.5) > 1e-6
    return {
        "name": f"{days} days, {100 * sd} %, runs {100 * run_sd} %",
        "mean": means,
        "runs": runs,
        "day_variance": day_variance,
        "run_variance": run_variance,
        "offset": [digits(x) for x in effects],
        "shown": [digits(x) for x in told],
        "left": [digits(x) for x in left],
        "factor": [digits(exp(-x)) for x in effects],
        "proposed": [part >= 0.5 and abs(x) >= 0.01 for x, part in zip(effects, told)],
        "low": [digits(low) for low, _, _ in chart],
        "high": [digits(high) for _, high, _ in chart],
        "shift_percent": digits(100 * shift),
    }


def fixture():
    """All cases."""
    specs = [(3, 0.01, 0.025, 3), (6, 0.015, 0.02, 3), (12, 0.03, 0.01, 4), (6, 0.0, 0.03, 1), (20, 0.015, 0.005, 1)]
    cases = [case(number, *spec) for number, spec in enumerate(specs)]
    proposed = [x for one in cases for x in one["proposed"]]
    assert sum(proposed) >= 10 and len(proposed) - sum(proposed) >= 10
    return {"cases": cases}
