"""Stacks and press columns: a force goes through all of a stack, so it is counted once."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.joint.count import Ints, whole
from cureclock.core.joint.pressure import press_force_kn
from cureclock.core.refusal import within


def clamps_for_stacks(clamps_each: ArrayLike, pieces: ArrayLike, per_stack: ArrayLike) -> Ints:
    """How many clamps a load needs when pieces lie on each other and share them.

    Args:
        clamps_each: clamps one piece needs alone [-], whole, 1 to 10000.
        pieces: pieces of the load [-], whole, 1 to 10000.
        per_stack: pieces on each other, with film between [-], whole, 1 to 100.

    Returns:
        Clamps for the load [-]: once per stack, not per piece.

    Raises:
        Refused: naming the argument.

    Valid for:
        Pieces of one size, stacked in line with the force.

    Assumes:
        The force goes through all pieces of a stack.

    Source:
        Plain statics.

    Example:
        >>> clamps_for_stacks(11, pieces=6, per_stack=2).tolist()
        33
    """
    each = whole("clamps for one piece", clamps_each, 1, 10_000)
    return each * columns_needed(pieces, per_stack)


def columns_needed(pieces: ArrayLike, per_column: ArrayLike) -> Ints:
    """How many press columns, or stacks under clamps, a load needs.

    Args:
        pieces: pieces of the load [-], whole, 1 to 10000.
        per_column: pieces one column takes on each other [-], whole, 1 to 100.

    Returns:
        Number of columns [-].

    Raises:
        Refused: naming the argument.

    Valid for:
        Pieces of one size.

    Assumes:
        A column is counted once, however many joints its force goes through.

    Source:
        Plain counting.

    Example:
        >>> columns_needed(8, 4).tolist()
        2
    """
    load = whole("pieces", pieces, 1, 10_000)
    return -(-load // whole("pieces in a column", per_column, 1, 100))


def column_holds(
    pressure_kpa: ArrayLike, area_m2: ArrayLike, column_kn: ArrayLike
) -> NDArray[np.bool_]:
    """Whether a press column is strong enough for the largest joint in it.

    Args:
        pressure_kpa: pressure on the glue line [kPa], 0 to 5000.
        area_m2: area of the largest glue line in the column [m2], 0 to 100.
        column_kn: force of the column [kN], 0.01 to 1000.

    Returns:
        True where its force reaches the pressure.

    Raises:
        Refused: naming the argument.

    Valid for:
        Pieces stacked in line with the force.

    Assumes:
        The same force goes through every joint, so the largest one rules.

    Source:
        Plain statics.

    Example:
        >>> bool(column_holds(1200, 0.0137, 50.0))
        True
    """
    column = within("column force", column_kn, 0.01, 1000, "kN")
    return np.asarray(press_force_kn(pressure_kpa, area_m2) <= column)
