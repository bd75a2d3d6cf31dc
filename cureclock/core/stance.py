"""Which way a clock errs: one response read hopefully, carefully, strictly, or hastily."""

from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from cureclock.core.confidence import ASSUMED_LEG, WARMTH_FLOOR
from cureclock.core.response import Kind, Response

Floats = NDArray[np.float64]

DAMP_WHEN_UNKNOWN_PCT = 85.0  # counted by careful clocks where damp was not measured; our choice


class Stance(StrEnum):
    """How a clock is read.

    likely: the response as it is; the figure a pencil reproduces.
    slow: never faster than 1/0.75 of label; ordinary gates open by it.
    strict: never faster than label; gates that can hurt.
    slow_sure, strict_sure: the same, doubted where air is assumed or below the label temperature.
    quick: never slower than label; gates that close.
    """

    LIKELY = "likely"
    SLOW = "slow"
    STRICT = "strict"
    SLOW_SURE = "slow_sure"
    STRICT_SURE = "strict_sure"
    QUICK = "quick"

    @property
    def sure(self) -> bool:
        """Whether doubt slows this clock."""
        return self in (Stance.SLOW_SURE, Stance.STRICT_SURE)

    @property
    def careful(self) -> bool:
        """Whether a longer wait is the safe side (every lower limit that acts)."""
        return self not in (Stance.LIKELY, Stance.QUICK)


def felt_damp(stance: Stance, rh_pct: Floats) -> Floats:
    """The humidity a stance counts [%]: careful clocks take 85 where damp was not measured.

    >>> felt_damp(Stance.SLOW, np.array([np.nan, 60.0]))
    array([85., 60.])
    """
    return np.where(np.isnan(rh_pct), DAMP_WHEN_UNKNOWN_PCT, rh_pct) if stance.careful else rh_pct


def fastest(stance: Stance, response: Response) -> float:
    """Where a stance bends the rate: the cap 1/0.75 or 1 (or the label's own warmest row) of a
    careful clock, the floor 1 of the quick one; infinite for the likely.

    >>> fastest(Stance.STRICT, Response(Kind.DOUBLING))
    1.0
    >>> fastest(Stance.LIKELY, Response(Kind.DOUBLING))
    inf
    """
    if stance == Stance.LIKELY:
        return float("inf")
    slow = stance in (Stance.SLOW, Stance.SLOW_SURE)
    cap = 1 / WARMTH_FLOOR if slow else 1.0
    if response.kind != Kind.TABLE or not stance.careful:
        return cap
    return max(cap, float(response.row_hours(response.label_temp_c) / response.rows[-1][1]))


def stance_rate(
    stance: Stance,
    response: Response,
    temp_c: Floats,
    rh_pct: Floats,
    *,
    asleep: NDArray[np.bool_],
    assumed: NDArray[np.bool_],
) -> Floats:
    """The rate of a response as one stance reads it.

    Args:
        stance: which way to err.
        response: the material's response.
        temp_c: temperature [degC], any shape.
        rh_pct: humidity as the stance counts it [%] (`felt_damp`), nan where not measured.
        asleep: where age stands still (decided per piece, so that a jump has one side).
        assumed: where the air is assumed, not measured.

    Returns:
        Label seconds per second.
    """
    rate = np.where(asleep, 0.0, response.awake_rate(temp_c, rh_pct))
    if stance == Stance.QUICK:
        return np.maximum(rate, 1.0)
    rate = np.minimum(rate, fastest(stance, response))
    if stance.sure:
        rate = rate / response.doubt(temp_c) / np.where(assumed, ASSUMED_LEG, 1.0)
    return rate
