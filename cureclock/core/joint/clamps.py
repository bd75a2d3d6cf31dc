"""How many clamps a joint needs: enough force, and close enough together."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.joint.count import Ints, round_up
from cureclock.core.joint.pressure import press_force_kn
from cureclock.core.refusal import within

Floats = NDArray[np.float64]


def clamps_by_force(pressure_kpa: ArrayLike, area_m2: ArrayLike, clamp_kn: ArrayLike) -> Ints:
    """How many clamps it takes to reach the pressure.

    Args:
        pressure_kpa: pressure on the glue line [kPa], 0 to 5000.
        area_m2: area of the largest glue line under the clamps [m2], 0 to 100.
        clamp_kn: force of one clamp [kN], 0.01 to 1000: measured with a scale, or trusted.

    Returns:
        Number of clamps [-], at least 1: force by clamp force, rounded up.

    Raises:
        Refused: naming the argument.

    Valid for:
        Clamps of one kind.

    Assumes:
        Every clamp gives its force; operators vary by -40 to +60 %.

    Source:
        Pressure is force by area.

    Example:
        >>> clamps_by_force(1020, 0.44 * 0.022, 4.0).tolist()
        3
    """
    force = press_force_kn(pressure_kpa, area_m2)
    return round_up(force / within("clamp force", clamp_kn, 0.01, 1000, "kN"))


def clamp_spacing_m(outer_board_m: ArrayLike, caul_m: ArrayLike = 0.0) -> Floats:
    """How far apart clamps may stand; the end ones half of that from the ends.

    Args:
        outer_board_m: width of the outer board, from the clamp to the first glue line [m],
            0.001 to 10.
        caul_m: thickness of the caul between clamp and board [m], 0 to 1.

    Returns:
        Largest spacing [m], twice board and caul together.

    Raises:
        Refused: naming the argument.

    Valid for:
        Edge joints and faces pressed by single clamps.

    Assumes:
        Pressure spreads at 45 degrees to each side; the width of the clamp's own head is not
        counted, so this errs towards more clamps.

    Source:
        Common practice, no source.

    Example:
        >>> clamp_spacing_m(0.065, 0.035).round(3).tolist()
        0.2
    """
    board = within("outer board", outer_board_m, 1e-3, 10, "m")
    return 2 * (board + within("caul", caul_m, 0, 1, "m"))


def clamps_by_spacing(length_m: ArrayLike, spacing_m: ArrayLike) -> Ints:
    """How many clamps it takes so that none stands too far from the next.

    Args:
        length_m: length of the joint [m], 0.001 to 50.
        spacing_m: largest spacing [m], 0.001 to 50; half of it from an end.

    Returns:
        Number of clamps [-], at least 1: length by spacing, rounded up.

    Raises:
        Refused: naming the argument.

    Valid for:
        One row of clamps, evenly spread.

    Assumes:
        As clamp_spacing_m.

    Source:
        Plain geometry.

    Example:
        >>> clamps_by_spacing(0.44, 0.2).tolist()
        3
    """
    joint = within("joint length", length_m, 1e-3, 50, "m")
    return round_up(joint / within("spacing", spacing_m, 1e-3, 50, "m"))


@dataclass(frozen=True)
class Clamps:
    """How many clamps a joint needs, and which rule says so.

    Attributes:
        by_force: clamps for the force [-].
        by_spacing: clamps for the spacing [-].
        count: the larger of the two [-].
        ruled_by: "force", "spacing" or "both", of the shape of count.
    """

    by_force: Ints
    by_spacing: Ints
    count: Ints
    ruled_by: NDArray[np.str_]


def clamps_needed(
    pressure_kpa: ArrayLike,
    area_m2: ArrayLike,
    clamp_kn: ArrayLike,
    length_m: ArrayLike,
    spacing_m: ArrayLike,
) -> Clamps:
    """How many clamps a joint needs, by force and by spacing, the larger of the two.

    Args:
        pressure_kpa: pressure on the glue line [kPa], 0 to 5000; 0 for contact only.
        area_m2: area of the largest glue line under the clamps [m2], 0 to 100.
        clamp_kn: force of one clamp [kN], 0.01 to 1000.
        length_m: length of the joint [m], 0.001 to 50.
        spacing_m: largest spacing [m], 0.001 to 50.

    Returns:
        A Clamps.

    Raises:
        Refused: naming the argument.

    Valid for:
        One row of clamps of one kind.

    Assumes:
        As clamps_by_force and clamp_spacing_m.

    Source:
        As clamps_by_force and clamp_spacing_m.

    Example:
        >>> ash = clamps_needed(1260, 0.7 * 0.048, 4.0, length_m=0.7, spacing_m=0.2)
        >>> int(ash.count), int(ash.by_spacing), str(ash.ruled_by)
        (11, 4, 'force')
    """
    force = clamps_by_force(pressure_kpa, area_m2, clamp_kn)
    force, spacing = np.broadcast_arrays(force, clamps_by_spacing(length_m, spacing_m))
    ruling = np.where(force > spacing, "force", np.where(force < spacing, "spacing", "both"))
    return Clamps(force, spacing, np.maximum(force, spacing), ruling)
