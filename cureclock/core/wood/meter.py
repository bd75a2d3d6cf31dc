"""What a moisture meter says, put right for temperature; and whether parts match."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused, within
from cureclock.core.wood.entry import shop_temp_c

Floats = NDArray[np.float64]

POINTS_PER_STEP = 0.5  # Wood Handbook (2010) ch. 13
STEP_K = 10 / 1.8  # 10 degF, printed as 5.6 degC; the degF figure is the exact one
CALIBRATED_C = 38 / 1.8  # 70 degF; Wood Handbook / ASTM D4444, from memory
PARTS_POINTS = 2.0  # parts of one joint; common practice, no source
HOME_POINTS = (2.0, 3.0)  # go, go with care; within 2 points is Wengert's figure


def meter_corrected_pct(
    reading_pct: ArrayLike,
    wood_temp_c: ArrayLike,
    *,
    calibrated_c: float = CALIBRATED_C,
    species_points: ArrayLike = 0.0,
) -> Floats:
    """What a pin meter would say were the wood as warm as the meter was made for.

    Args:
        reading_pct: what the meter shows [%], 6 to 30.
        wood_temp_c: temperature of the wood [degC], -20 to 50.
        calibrated_c: temperature the meter was made for [degC], 15 to 30. Default 21.1
            (70 degF), from memory.
        species_points: what the meter's own chart adds for this wood [points], -5 to 5.

    Returns:
        Moisture content [%]: 0.5 points are added for each 5.6 K (10 degF) the wood is colder,
        and taken off where it is warmer.

    Raises:
        Refused: a figure outside its range, or degrees Fahrenheit above 50.

    Valid for:
        Resistance (pin) meters, 6 to 30 %.
    Assumes:
        A meter without a temperature setting of its own. No published species chart was found.
    Source:
        Wood Handbook FPL-GTR-190 (2010) ch. 13, electrical methods.

    Example:
        >>> print(f"{meter_corrected_pct(9.0, 15.5556):.2f}")
        9.50
    """
    reading = within("meter reading", reading_pct, 6, 30, "%")
    wood = within("wood temperature", shop_temp_c(wood_temp_c, "wood temperature"), -20, 50, "degC")
    made_for = within("meter's own temperature", calibrated_c, 15, 30, "degC")
    chart = within("species correction", species_points, -5, 5, "points")
    return reading + POINTS_PER_STEP * (made_for - wood) / STEP_K + chart


@dataclass(frozen=True)
class Match:
    """How well the parts of a joint match in moisture.

    Attributes:
        spread_points: wettest part less driest [points].
        parts_match: spread of at most 2 points.
        home_points: the part furthest from where it will live [points], 0 where not asked.
        home: "go" (within 2), "go with care" (within 3), "no-go", or "" where not asked.
    """

    spread_points: Floats
    parts_match: NDArray[np.bool_]
    home_points: Floats
    home: NDArray[np.str_]


def match_parts(mc_pct: ArrayLike, home_pct: ArrayLike | None = None) -> Match:
    """Whether parts may be glued to each other, and how far they are from where they will live.

    Args:
        mc_pct: moisture content of the parts of a joint [%], 1 to 60, along the last axis.
        home_pct: moisture where the piece will live [%], 1 to 30; None where not known.

    Returns:
        A Match.

    Raises:
        Refused: a figure outside its range, or no part given.

    Valid for:
        Joints of solid wood. For laminations the Wood Handbook (2010) p. 13-10 allows up to 5
        points between pieces; this is stricter.
    Assumes:
        Meter error (about 1 point) is not added.
    Source:
        2 points between parts: common practice, no source. Within 2 points of home: Wengert,
        Woodworking 101 (1998); up to 3 with care: common practice, no source.

    Example:
        >>> match_parts([11.0, 13.5]).parts_match
        np.False_
        >>> str(match_parts([9.0, 10.5], home_pct=8.0).home)
        'go with care'
    """
    parts = np.atleast_1d(within("moisture content", mc_pct, 1, 60, "%"))
    if parts.shape[-1] == 0:
        raise Refused("parts of the joint", 0, "at least one")
    spread = parts.max(axis=-1) - parts.min(axis=-1)
    if home_pct is None:
        nothing = np.zeros(spread.shape)
        return Match(spread, spread <= PARTS_POINTS, nothing, np.full(spread.shape, ""))
    home = within("moisture where it will live", home_pct, 1, 30, "%")
    off = np.abs(parts - home[..., None]).max(axis=-1)
    words = np.array(["go", "go with care", "no-go"])
    return Match(spread, spread <= PARTS_POINTS, off, words[np.searchsorted(HOME_POINTS, off)])
