"""How far wood moves across the grain when its moisture changes, and the gaps that makes."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused, within

Floats = NDArray[np.float64]

LINEAR_FROM_PCT, LINEAR_TO_PCT = 6.0, 14.0  # eq. 13-2
SATURATION_PCT = 30.0  # eq. 13-3: nothing moves above it
WIDEST_MM = 20_000.0


@dataclass(frozen=True)
class Movement:
    """A change of width and the formula it came from.

    Attributes:
        change_mm: width then less width now [mm]; minus where it shrinks.
        by_13_3: True where eq. 13-3 was used, False where eq. 13-2 was.
    """

    change_mm: Floats
    by_13_3: NDArray[np.bool_]

    @property
    def equation(self) -> NDArray[np.str_]:
        """The name of the formula used, for "why?"."""
        return np.where(self.by_13_3, "13-3", "13-2")


def movement_linear_mm(
    width_mm: ArrayLike, coefficient: ArrayLike, mc_from_pct: ArrayLike, mc_to_pct: ArrayLike
) -> Floats:
    """Change of width between 6 and 14 % moisture, by the species' own coefficient.

    Args:
        width_mm: width now, across the grain [mm], 0 to 20 000.
        coefficient: change per point of moisture [-], 0 (along the grain) to 0.008;
            tangential for flat-sawn, radial for quarter-sawn boards.
        mc_from_pct: moisture now [%], 6 to 14.
        mc_to_pct: moisture then [%], 6 to 14.

    Returns:
        Change [mm], minus where it shrinks.

    Raises:
        Refused: a figure outside its range. A coefficient typed per hundred (0.353) is
            refused.

    Valid for:
        6 to 14 % moisture.
    Assumes:
        Unrestrained, one grain direction. Coefficients belong to the width at 10 % moisture:
        another start errs by at most 5 % of the movement.
    Source:
        Wood Handbook FPL-GTR-190 (2010) eq. 13-2.

    Example:
        >>> print(f"{movement_linear_mm(232, 0.00245, 8, 11):.2f}")
        1.71
    """
    width = within("width", width_mm, 0, WIDEST_MM, "mm")
    per_point = within("movement coefficient", coefficient, 0, 0.008, "per point")
    start = within("moisture now", mc_from_pct, LINEAR_FROM_PCT, LINEAR_TO_PCT, "%")
    end = within("moisture then", mc_to_pct, LINEAR_FROM_PCT, LINEAR_TO_PCT, "%")
    return width * per_point * (end - start)


def movement_total_mm(
    width_mm: ArrayLike, shrinkage_pct: ArrayLike, mc_from_pct: ArrayLike, mc_to_pct: ArrayLike
) -> Floats:
    """Change of width at any moisture up to 30 %, from the shrinkage green to oven-dry.

    Args:
        width_mm: width now, across the grain [mm], 0 to 20 000.
        shrinkage_pct: total shrinkage green to oven-dry in that direction [%], 0.5 to 20.
        mc_from_pct: moisture now [%], 0 to 30.
        mc_to_pct: moisture then [%], 0 to 30.

    Returns:
        Change [mm], minus where it shrinks.

    Raises:
        Refused: a figure outside its range. Above 30 % nothing moves: give 30. A shrinkage
            typed as a fraction (0.099) is refused.

    Valid for:
        0 to 30 % moisture; meant for changes that leave 6 to 14 %.
    Assumes:
        Shrinkage in a straight line from 30 % to 0; no collapse.
    Source:
        Wood Handbook FPL-GTR-190 (2010) eq. 13-3; its form from memory.

    Example:
        >>> print(f"{movement_total_mm(300, 9.9, 7, 11):.2f}")
        4.29
    """
    width = within("width", width_mm, 0, WIDEST_MM, "mm")
    total = within("total shrinkage", shrinkage_pct, 0.5, 20, "%")
    start = within("moisture now", mc_from_pct, 0, SATURATION_PCT, "%")
    end = within("moisture then", mc_to_pct, 0, SATURATION_PCT, "%")
    return width * (end - start) / (SATURATION_PCT * 100 / total - SATURATION_PCT + start)


def movement(
    width_mm: ArrayLike,
    mc_from_pct: ArrayLike,
    mc_to_pct: ArrayLike,
    *,
    coefficient: ArrayLike | None = None,
    shrinkage_pct: ArrayLike | None = None,
) -> Movement:
    """Change of width by whichever published formula is valid, and which one that was.

    Args:
        width_mm: width now, across the grain [mm], 0 to 20 000.
        mc_from_pct: moisture now [%], 0 to 30.
        mc_to_pct: moisture then [%], 0 to 30.
        coefficient: change per point [-], 0 to 0.008; None where the species has none.
        shrinkage_pct: total shrinkage [%], 0.5 to 20; None where the species has none.

    Returns:
        A Movement: eq. 13-2 where both moistures lie in 6 to 14 % and the coefficient is
        known, else eq. 13-3.

    Raises:
        Refused: a figure outside its range; the figure that the valid formula needs is not
            known for this wood.

    Valid for:
        0 to 30 % moisture.
    Assumes:
        As the formula used. The two differ by 1 to 4 % inside 6 to 14 %.
    Source:
        Wood Handbook FPL-GTR-190 (2010) eq. 13-2 and 13-3.

    Example:
        >>> moved = movement(300, 12, 18, coefficient=0.00353, shrinkage_pct=9.9)
        >>> print(f"{moved.change_mm:.2f} mm by eq. {moved.equation}")
        6.32 mm by eq. 13-3
    """
    start = within("moisture now", mc_from_pct, 0, SATURATION_PCT, "%")
    end = within("moisture then", mc_to_pct, 0, SATURATION_PCT, "%")
    inside = (np.minimum(start, end) >= LINEAR_FROM_PCT) & (np.maximum(start, end) <= LINEAR_TO_PCT)
    by_total = np.full(inside.shape, True) if coefficient is None else ~inside
    linear: ArrayLike = 0.0
    total: ArrayLike = 0.0
    if coefficient is not None:
        held = np.clip([*np.broadcast_arrays(start, end)], LINEAR_FROM_PCT, LINEAR_TO_PCT)
        linear = movement_linear_mm(width_mm, coefficient, held[0], held[1])
    if shrinkage_pct is not None:
        total = movement_total_mm(width_mm, shrinkage_pct, start, end)
    elif by_total.any():
        raise Refused("total shrinkage", "not known", "needed outside 6 to 14 % (eq. 13-3)")
    change = np.where(by_total, total, linear)
    return Movement(change, np.broadcast_to(by_total, change.shape))


def fit_gap_mm(
    opening_mm: ArrayLike,
    part_mm: ArrayLike,
    *,
    opening_change_mm: ArrayLike = 0.0,
    part_change_mm: ArrayLike = 0.0,
) -> Floats:
    """The gap left between a part and its opening after both have moved.

    Args:
        opening_mm: opening now [mm], 0 to 20 000.
        part_mm: part now, in the same direction [mm], 0 to 20 000.
        opening_change_mm: how the opening will change [mm], -2000 to 2000; 0 along the grain.
        part_change_mm: how the part will change [mm], -2000 to 2000; from `movement`.

    Returns:
        Gap then [mm]; minus: the part has jammed or broken something by that much.

    Raises:
        Refused: a figure outside its range.

    Valid for:
        Panels in grooves, lids in boxes, tenons: one direction at a time.
    Assumes:
        Both are free to move; a glued part is not.
    Source:
        Arithmetic.

    Example:
        A 440 mm elm panel going from 8 to 13 % in an opening of 446 mm along the grain:

        >>> swell = movement(440, 8, 13, coefficient=0.00338)
        >>> print(f"{fit_gap_mm(446, 440, part_change_mm=swell.change_mm):.1f}")
        -1.4
    """
    opening = within("opening", opening_mm, 0, WIDEST_MM, "mm")
    part = within("part", part_mm, 0, WIDEST_MM, "mm")
    opened = within("change of the opening", opening_change_mm, -2000, 2000, "mm")
    grown = within("change of the part", part_change_mm, -2000, 2000, "mm")
    return opening + opened - part - grown


def flush_step_mm(
    width_mm: ArrayLike,
    mc_a_pct: ArrayLike,
    mc_b_pct: ArrayLike,
    home_pct: ArrayLike,
    *,
    coefficient_a: ArrayLike,
    coefficient_b: ArrayLike,
) -> Floats:
    """The step between two parts cut flush today, once both are as dry as the place they live in.

    Args:
        width_mm: the width both have today [mm], 0 to 20 000.
        mc_a_pct, mc_b_pct: moisture of the parts today [%], 6 to 14.
        home_pct: moisture where the piece will live [%], 6 to 14.
        coefficient_a, coefficient_b: change per point of each part [-], 0 to 0.008.

    Returns:
        Part a less part b [mm], then.

    Raises:
        Refused: a figure outside its range.

    Valid for:
        6 to 14 % moisture.
    Assumes:
        Both parts free to move.
    Source:
        Wood Handbook FPL-GTR-190 (2010) eq. 13-2, once for each part.

    Example:
        >>> step = flush_step_mm(300, 8, 12, 8, coefficient_a=0.00274, coefficient_b=0.00274)
        >>> print(f"{step:.2f}")
        3.29
    """
    moved_a = movement_linear_mm(width_mm, coefficient_a, mc_a_pct, home_pct)
    return moved_a - movement_linear_mm(width_mm, coefficient_b, mc_b_pct, home_pct)
