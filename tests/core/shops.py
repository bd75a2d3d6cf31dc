"""Simulated shops: their true needs are known, their makers only look now and then."""

from dataclasses import dataclass

import numpy as np

from cureclock.core.checks import LONGEST_H, Checks

LABEL_H = 12.0


@dataclass(frozen=True)
class Shops:
    """Many shops, each with its own middle and spread of one material's need.

    Attributes:
        middle: ln of the median need [label h], one a shop.
        spread: standard deviation of ln(need).
        checks: what the makers saw.
    """

    middle: np.ndarray
    spread: np.ndarray
    checks: Checks


def simulated(seed: int, shops: int, looks: int) -> Shops:
    """Shops whose need lies about the label, and who look ever later, step by step.

    Some looks come so early that nothing is ready by the last one, some so late that the first
    look finds it ready.
    """
    chance = np.random.default_rng(seed)
    middle = np.log(LABEL_H) + chance.normal(0, 0.2, shops)
    spread = np.exp(chance.normal(np.log(0.12), 0.4, shops))
    need = np.exp(middle[:, None] + spread[:, None] * chance.normal(size=(shops, looks)))
    first = LABEL_H * chance.uniform(0.5, 0.9, need.shape)
    step, most = chance.uniform(1.05, 1.25, need.shape), chance.integers(2, 25, need.shape)
    number = np.maximum(np.ceil(np.log(need / first) / np.log(step)), 0)
    given_up = number > most
    seen = np.minimum(number, most)
    until = np.where(given_up, LONGEST_H, first * step**seen)
    after = np.where(
        given_up, first * step**most, np.where(seen == 0, 0, first * step ** (seen - 1))
    )
    return Shops(middle, spread, Checks(after, until))
