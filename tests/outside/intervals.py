"""Rank intervals of a field: errors of all levels with their covariances, and who is ahead where."""

from math import ceil, floor, fsum, log

import numpy as np
from scipy.stats import t as student

import shares
from reduction import SHORTEST_TIME_S, decided, joint_work_j, per_time
from typical import WINDOW_S, best_of_three, combined

BEST_VARIANCE = {3: 0.559, 4: 0.392, 5: 0.303, 6: 0.248, 7: 0.210, 8: 0.182}
"""Variance of the best of three as a share of the runs' own, by number of runs; 1.45/n beyond."""


def mean_weights(member):
    """Of the mean over the runs of each specimen, then over specimens: the runs and what each weighs."""
    return member.origins, shares.mean_weights(member.origins)


def best_weights(member):
    """The same over specimens with three runs alone."""
    three = [n for n, count in member.numbers().items() if count >= 3]
    runs = [run for name, run in zip(member.specimens, member.origins) if name in three]
    return runs, shares.mean_weights(runs)


def runs_variance(member, best):
    """What a mean, or a best of three, leaves of the runs' variance."""
    if not best:
        return fsum(w * w for w in mean_weights(member)[1])
    numbers = [n for n in member.numbers().values() if n >= 3]
    return fsum(BEST_VARIANCE.get(n, 1.45 / n) for n in numbers) / len(numbers) ** 2


class Errors:
    """Errors of the means, or the bests of three, of members: their covariances, and degrees of freedom of each."""

    def __init__(self, members, scatters, best=False):
        weighted = [(best_weights if best else mean_weights)(m) for m in members]
        runs = [run for own, _ in weighted for run in own]
        w, at = np.zeros((len(members), len(runs))), 0
        for row, (own, weights) in zip(w, weighted):
            row[at : at + len(own)] = weights
            at += len(own)
        names = [[run[place] for run in runs] for place in (1, 2, 3)]
        v = scatters.specimen[0] * shares.same(names[0]) + scatters.pack[0] * shares.same(names[1])
        of_runs = [scatters.runs[m.tool][0] * runs_variance(m, best) for m in members]
        self.covariance = w @ (v + shares.same(names[2], scatters.day_variance)) @ w.T + np.diag(of_runs)
        self.se = np.sqrt(np.diag(self.covariance))
        self.nu = []
        for member, (own, weights), runs_part, se in zip(members, weighted, of_runs, self.se):
            parts = shares.terms(own, weights, scatters)[:3] + [(runs_part, scatters.runs[member.tool][1])]
            variance, nu = shares.total(parts)
            assert abs(variance - se**2) < 1e-12 * variance
            self.nu.append(nu)


def interval(mean_rank, sd, nu, rank, of):
    """Lowest and highest place, from the mean and standard deviation of the rank."""
    half = float(student.ppf(0.95, nu)) * sd
    for end in (mean_rank - half, mean_rank + half):
        decided(end, round(end), 1e-6)
    low, high = ceil(mean_rank - half), floor(mean_rank + half)
    return max(min(low, rank), 1), min(max(high, rank), of)


def ahead_to_job(members, shifts, log_x):
    """What others are above X, or above c at the window's end, for c's own error; `shifts` are added to ln curves."""

    def above(c, error):
        up = shifts[c] + error
        t_us = members[c].first_us(log_x - up)
        t_s = WINDOW_S if t_us is None else t_us / 1e6
        log_star = members[c].log_typical(WINDOW_S) + up if t_us is None else log_x
        return [d.log_typical(t_s) + shift - log_star for d, shift in zip(members, shifts)]

    return above


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
