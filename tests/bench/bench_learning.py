"""Fit and predict for a thousand materials with two hundred checks each; the house wants 1 s.

The ratio is against lifelines, which fits one material at a time, measured in the same run. Seconds
are those of this process: what else the machine does is not counted.
"""

import os
import time

import numpy as np
from lifelines import LogNormalFitter

from cureclock.core.checks import LONGEST_H
from cureclock.core.learning import learn_need
from cureclock.core.trust import trust
from tests.core.shops import LABEL_H, simulated

MATERIALS, CHECKS = 1000, 200
LIMIT_S, LEAST_RATIO = 1.0, 20
FEW = 3


def seconds_of_ours(rounds: int = 5) -> float:
    checks = simulated(1, MATERIALS, CHECKS).checks
    took = []
    for _ in range(rounds):
        began = time.process_time()
        learned = learn_need(checks, LABEL_H)
        trust(checks, LABEL_H, learned.need_h)
        took.append(time.process_time() - began)
    return min(took)


def seconds_of_lifelines() -> float:
    """For as many materials, from a few of them."""
    checks = simulated(1, FEW, CHECKS).checks
    high = np.where(checks.until_h == LONGEST_H, np.inf, checks.until_h)
    began = time.process_time()
    for low, up in zip(checks.after_h, high, strict=True):
        LogNormalFitter().fit_interval_censoring(low, up)
    return (time.process_time() - began) / FEW * MATERIALS


def test_learning() -> None:
    ours, theirs = seconds_of_ours(), seconds_of_lifelines()
    print(f"\n{MATERIALS} materials x {CHECKS} checks, load {os.getloadavg()[0]:.1f}")
    print(f"learned and trusted in {ours:.2f} s (limit {LIMIT_S:g} s)")
    print(f"lifelines, one by one: {theirs:.0f} s; ours {theirs / ours:.0f} times")
    assert theirs / ours >= LEAST_RATIO
    assert ours < LIMIT_S
