"""Which way a clock errs: one response read hopefully, carefully, strictly, or hastily."""

from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.confidence import ASSUMED_LEG, WARMTH_FLOOR
from cureclock.core.damp import known_damp
from cureclock.core.response import Kind, Response

Floats = NDArray[np.float64]

DAMP_WHEN_UNKNOWN_PCT = 85.0  # counted by careful clocks where damp was not measured; our choice
DRY_WHEN_UNKNOWN_PCT = 35.0  # the same for what sets with the air's water; our choice


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


def felt_damp(stance: Stance, response: Response, rh_pct: ArrayLike) -> Floats:
    """The humidity a stance counts: a careful clock takes the worse where none was measured.

    Args:
        stance: which way to err.
        response: the material's response.
        rh_pct: relative humidity [%], 0 to 100, nan where it was not measured.

    Returns:
        Humidity [%]. Where not measured, on the clocks of lower limits: 85 for what damp slows,
        35 for a glue that sets with the air's water; else nan, and temperature alone counts.

    Raises:
        Refused: outside 0 to 100 %.

    Source:
        85 and 35 are our choice.

    Example:
        >>> felt_damp(Stance.SLOW, Response(Kind.WATER_LOSS), [float("nan"), 60.0])
        array([85., 60.])
    """
    rh = known_damp(rh_pct)
    if not stance.careful:
        return rh
    worse = DRY_WHEN_UNKNOWN_PCT if response.kind == Kind.MOISTURE_CURE else DAMP_WHEN_UNKNOWN_PCT
    return np.where(np.isnan(rh), worse, rh)


def fastest(stance: Stance, response: Response) -> float:
    """Where a stance bends the rate of a response.

    Args:
        stance: which way to err.
        response: the material's response.

    Returns:
        The cap of a careful clock: 1/0.75, or 1 where it can hurt, or the rate at the label's
        own warmest row where that is more. For the quick clock its floor, 1. Infinite for the
        likely one.

    Source:
        The floor of 75 % under a warm wait is common practice, no source.

    Example:
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
        Label seconds per second, 0 or more.

    Raises:
        Refused: a figure outside its range.

    Source:
        Caps and doubt as the one table of figures has them; our choice.

    Example:
        >>> warm, no = np.array([30.0]), np.array([False])
        >>> damp = np.array([50.0])
        >>> plain = Response(Kind.DOUBLING)
        >>> stance_rate(Stance.STRICT, plain, warm, damp, asleep=no, assumed=no).tolist()
        [1.0]
    """
    rate = np.where(asleep, 0.0, response.awake_rate(temp_c, rh_pct))
    if stance == Stance.QUICK:
        return np.maximum(rate, 1.0)
    rate = np.minimum(rate, fastest(stance, response))
    if stance.sure:
        rate = rate / response.doubt(temp_c) / np.where(assumed, ASSUMED_LEG, 1.0)
    return rate
