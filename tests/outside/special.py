"""Distribution functions, quantiles and polygamma functions, to forty digits with mpmath.

Arguments are floats, taken as exactly what they are; values are rounded to a float once. Quantiles and inverses are
found as roots of mpmath's own functions.
"""

import numpy as np
from mpmath import betainc, digamma, erfc, findroot, log, mp, mpf, polyroots, psi, quad, sqrt

mp.dps = 60
"""Twenty digits more than are relied upon."""

DEGREES = [1.0, 1.5, 2.0, 2.7, 3.0, 5.0, 9.3, 16.0, 29.99, 30.0, 100.5, 1e3, 1e5]
NODES = 15


def normal_below(z):
    """Φ(z)."""
    return erfc(-mpf(z) / sqrt(2)) / 2


def student_beyond(t, nu):
    """P(T > t) for t ≥ 0."""
    t, nu = mpf(t), mpf(nu)
    if t < 1:
        return (1 - betainc(mpf(1) / 2, nu / 2, 0, t * t / (nu + t * t), regularized=True)) / 2
    return betainc(nu / 2, mpf(1) / 2, 0, nu / (nu + t * t), regularized=True) / 2


def student_below(t, nu):
    """P(T ≤ t)."""
    return student_beyond(-t, nu) if t < 0 else 1 - student_beyond(t, nu)


def root(function, start):
    """Where a monotone function passes zero: a bracket grown from `start`, then secants, in the logarithm of the argument."""
    side = function(start) > 0
    for direction in (1, -1):
        low, step = log(start), direction * mpf("0.01")
        while abs(step) < 1000:
            high = low + step
            if (function(mp.exp(high)) > 0) != side:
                return mp.exp(findroot(lambda u: function(mp.exp(u)), (low, high), solver="anderson", tol=mpf("1e-90")))
            if abs(function(mp.exp(high))) > abs(function(mp.exp(low))):
                break
            low, step = high, 2 * step
    raise ValueError(f"no root from {start}")


def quantile(beyond, p, start):
    """The value with probability `p` below it, for a distribution symmetric about 0, from a start not 0."""
    p = mpf(p)
    if p == mpf(1) / 2:
        return mpf(0)
    tail = min(p, 1 - p)
    if tail > mpf(1) / 4:
        t = root(lambda t: log((mpf(1) / 2 - beyond(t)) / (mpf(1) / 2 - tail)), start)
    else:
        t = root(lambda t: log(beyond(t) / tail), start)
    return t if p > tail else -t


def normal_quantile(p):
    """Φ⁻¹(p)."""
    return quantile(lambda z: normal_below(-z), p, mpf(1))


def student_quantile(p, nu):
    """The value with probability `p` below it; the normal one lies nearer to 0."""
    return quantile(lambda t: student_beyond(t, nu), p, abs(normal_quantile(p)) or mpf(1))


def hermite():
    """Nodes and weights for the standard normal distribution: zeros of the Hermite polynomial and 14!/(15 He₁₄²)."""
    before, this = [mpf(1)], [mpf(1), mpf(0)]
    for n in range(1, NODES):
        longer = this + [mpf(0)]
        for i, coefficient in enumerate(before):
            longer[i + 2] -= n * coefficient
        before, this = this, longer
    nodes = sorted(polyroots(this, maxsteps=500, extraprec=400))
    weights = [mp.factorial(NODES - 1) / (NODES * mp.polyval(before, z) ** 2) for z in nodes]
    return nodes, weights


def inverse_trigamma(y):
    """The x with ψ′(x) = y."""
    return root(lambda x: log(psi(1, x) / y), 1 / mpf(y) + mpf(1) / 2)


def check():
    """Raises where mpmath disagrees with itself or with numpy."""
    for t, nu in ((0.3, 2.7), (2.5, 9.3), (7.0, 1e5)):
        half = (mpf(nu) + 1) / 2
        density = lambda x: mp.gamma(half) / mp.gamma(mpf(nu) / 2) / sqrt(nu * mp.pi) * (1 + x * x / nu) ** -half
        by_area = quad(density, [t, t + 1, t + 5, t + 25, mp.inf] if nu < 100 else [t, t + 1, t + 5, t + 25])
        assert abs(student_beyond(t, nu) / by_area - 1) < mpf("1e-20"), (t, nu)
    nodes, weights = hermite()
    other_nodes, other_weights = np.polynomial.hermite_e.hermegauss(NODES)
    assert np.allclose([float(z) for z in nodes], other_nodes, rtol=0, atol=1e-15)
    assert np.allclose([float(w) for w in weights], other_weights / other_weights.sum(), rtol=5e-15, atol=0)


def case(name, at, value, **more):
    """One function at many places."""
    return {"function": name, **more, "at": [float(x) for x in at], "value": [float(value(float(x))) for x in at]}


def spread(*pieces):
    """Numbers in rising order, each once."""
    return sorted({float(x) for piece in pieces for x in piece})


def powers(first, last, count):
    """Powers of ten with evenly spaced exponents. numpy.logspace gives other last digits on other processors."""
    first, last = mpf(first), mpf(last)
    return np.array([float(mpf(10) ** (first + (last - first) * step / (count - 1))) for step in range(count)])


def fixture():
    """All cases; fixed places, no random numbers."""
    check()
    z = spread(np.linspace(-38, 9, 189), np.linspace(-1, 1, 40), [-1e-3, -1e-9, 0.0, 1e-9, 1e-3])
    tails = powers(-300, -1, 150)
    middle = np.concatenate([0.5 + s * powers(-15, -0.5, 30) for s in (-1, 1)])
    p = spread(tails, middle, 1 - powers(-16, -1, 60), [0.25, 0.5, 0.75, 0.9, 0.95, 0.975, 0.995])
    fewer_p = spread(powers(-300, -20, 15), powers(-15, -1, 15), middle[::3], 1 - powers(-15, -1, 8), [0.5, 0.9, 0.95])
    cases = [
        case("normal", z, normal_below),
        case("normal_quantile", p, normal_quantile),
    ]
    for nu in DEGREES:
        # as far out as the probability is above 1e-300
        end = min(1e12, float(abs(student_quantile(1e-300, nu))))
        far = powers(0, mp.log10(end), 20)
        t = spread(-far, np.linspace(-5, 5, 21), far[:8], [-1e-6, 1e-6, -0.999, 0.999])
        cases.append(case("student", t, lambda t: student_below(t, nu), nu=nu))
        cases.append(case("student_quantile", fewer_p, lambda p: student_quantile(p, nu), nu=nu))
    x = spread(powers(-3, 6, 181), np.linspace(0.5, 15, 59), [1.4616321449683622, 9.999999, 10.000001])
    cases += [
        case("digamma", x, lambda x: digamma(mpf(x))),
        case("trigamma", x, lambda x: psi(1, mpf(x))),
        case("inverse_trigamma", powers(-6, 6, 241), inverse_trigamma),
    ]
    nodes, weights = hermite()
    cases.append({"function": "hermite", "at": [float(z) for z in nodes], "value": [float(w) for w in weights]})
    return {"invented": False, "cases": cases}
