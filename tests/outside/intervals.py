"""Rank intervals by the plain double loop: every other pair at every node."""

from math import ceil, floor, fsum, log, sqrt

import numpy as np
from scipy.special import ndtr

from members import share
from reduction import SHORTEST_TIME_S, decided, joint_work_j, per_time
from typical import WINDOW_S, best_of_three, combined

NODES, WEIGHTS = np.polynomial.hermite_e.hermegauss(15)
WEIGHTS = WEIGHTS / WEIGHTS.sum()
BEST_VARIANCE = {3: 0.559, 4: 0.392, 5: 0.303, 6: 0.248, 7: 0.210, 8: 0.182}
"""Variance of the best of three as a share of the runs' own, by number of runs; 1.45/n beyond."""


def in_common(c, d, counted=lambda numbers: set(numbers)):
    """k/(m_c m_d): specimens of one tool that both were run with."""
    a, b = counted(c.numbers()), counted(d.numbers())
    return len(a & b) / (len(a) * len(b)) if c.tool == d.tool else 0.0


def three_runs(numbers):
    """The specimens that a best of three counts."""
    return {name for name, n in numbers.items() if n >= 3}


def errors(members, run, unit):
    """se of each and ρ of each two, for typical runs."""
    se = [sqrt(unit.s2 / len(m.names()) + run.of(m.tool)[0] * share(m)) for m in members]
    return se, lambda i, j: rho(unit, se[i], se[j], in_common(members[i], members[j]))


def best_errors(members, run, unit):
    """The same for the best of three: specimens with three runs, and they alone, make m, n_u and k."""
    se = []
    for member in members:
        numbers = [n for n in member.numbers().values() if n >= 3]
        b = fsum(BEST_VARIANCE.get(n, 1.45 / n) for n in numbers) / len(numbers) ** 2
        se.append(sqrt(unit.s2 / len(numbers) + run.of(member.tool)[0] * b))
    return se, lambda i, j: rho(unit, se[i], se[j], in_common(members[i], members[j], three_runs))


def rho(unit, se_c, se_d, common):
    """Correlation of two of one tool."""
    return min(unit.s2 * common / (se_c * se_d), 0.999)


def interval(mean_rank, variance, rank, of):
    """Lowest and highest place, from the mean and variance of the rank."""
    half = 1.645 * sqrt(variance)
    for end in (mean_rank - half - 0.5, mean_rank + half + 0.5):
        decided(end, round(end), 1e-6)
    low, high = ceil(mean_rank - half - 0.5), floor(mean_rank + half + 0.5)
    return max(min(low, rank), 1), min(max(high, rank), of)


def over_nodes(ahead):
    """Mean and variance of a rank from the probabilities of those ahead at each node."""
    means = [1 + fsum(p) for p in ahead]
    inside = fsum(w * fsum(x * (1 - x) for x in p) for w, p in zip(WEIGHTS, ahead))
    middle = fsum(w * x for w, x in zip(WEIGHTS, means))
    return middle, fsum(w * (x - middle) ** 2 for w, x in zip(WEIGHTS, means)) + inside


def job_moments(members, shifts, log_x, se, corr):
    """Mean and variance of each one's rank for a job; `shifts` are added to ln of the typical curves."""
    out = []
    for i, c in enumerate(members):
        ahead = []
        for z in NODES:
            up = shifts[i] + z * se[i]
            t_us = c.first_us(log_x - up)
            t_s = WINDOW_S if t_us is None else t_us / 1e6
            log_star = c.log_typical(WINDOW_S) + up if t_us is None else log_x
            p = []
            for j, d in enumerate(members):
                if j != i:
                    r = corr(i, j)
                    lead = d.log_typical(t_s) + shifts[j] + r * z * se[j] - log_star
                    p.append(float(ndtr(lead / (se[j] * sqrt(1 - r * r)))))
            ahead.append(p)
        out.append(over_nodes(ahead))
    return out


def level_moments(levels, se, corr):
    """The same for a measure; `levels` are logarithms less that of the divisor."""
    out = []
    for i, c in enumerate(levels):
        ahead = []
        for z in NODES:
            p = []
            for j, d in enumerate(levels):
                if j != i:
                    r = corr(i, j)
                    lead = d - c + (r * se[j] - se[i]) * z
                    p.append(float(ndtr(lead / (se[j] * sqrt(1 - r * r)))))
            ahead.append(p)
        out.append(over_nodes(ahead))
    return out


def run_score(curve, x, joint, by_power):
    """What a run scores for the best of three."""
    time = curve.time_to(x)
    if not by_power:
        return per_time(x, time)
    own = len(curve.angle_deg) > 1
    return per_time(curve.own_work_j(x) if own else joint_work_j(joint["angle_deg"], joint["torque_nm"], x)[0], time)


def best_shift(member, x, joint, by_power, score):
    """ln of the factor that makes the typical curve reach `x` when the score says.

    When it says: the torque over a rise rate; over a power the work of the typical run, that of the joint or, where
    every run has its own angle, the mean of the runs that reach `x`.
    """
    if score == 0:
        end = best_of_three(member.specimens, [c.at(WINDOW_S) for c in member.curves])
        decided(end, x, 1e-6)
        assert end < x
        return log(end) - member.log_typical(WINDOW_S)
    work = x
    if by_power and all(len(c.angle_deg) > 1 for c in member.curves):
        work = combined(member.specimens, [c.own_work_j(x) for c in member.curves])
    elif by_power:
        work = joint_work_j(joint["angle_deg"], joint["torque_nm"], x)[0]
    time_s = work / score
    assert time_s > 2 * SHORTEST_TIME_S
    return log(x) - member.log_typical(time_s)
