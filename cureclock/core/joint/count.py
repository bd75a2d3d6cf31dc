"""Whole numbers: boards, plies, segments, clamps, instants. A part of one is refused."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused, within

Ints = NDArray[np.int64]


def whole(quantity: str, value: ArrayLike, low: int, high: int) -> Ints:
    """Return `value` as whole numbers, or refuse it.

    Args:
        quantity: the name a maker would use, for the message.
        value: any shape, each element whole and in [low, high].
        low: lowest valid value, inclusive.
        high: highest valid value, inclusive; at most 2^53 (nine thousand million million).

    Returns:
        The same numbers as 64-bit integers.

    Raises:
        Refused: naming the quantity, the first value that is out or not whole, and the range.

    Source:
        Our own guard.

    Example:
        >>> whole("segments", [8, 12], 3, 360)
        array([ 8, 12])
        >>> whole("segments", 7.5, 3, 360)
        Traceback (most recent call last):
        cureclock.core.refusal.Refused: segments 7.5 is outside the valid range: whole, 3 to 360
    """
    numbers = within(quantity, value, low, high)
    parts = numbers != np.floor(numbers)
    if parts.any():
        raise Refused(quantity, f"{numbers[parts].flat[0]:g}", f"whole, {low} to {high}")
    return numbers.astype(np.int64)


def round_up(number: ArrayLike) -> Ints:
    """Round a number up to whole things, at least one.

    Args:
        number: how many would do if parts of one existed [-], 0 to 1000000000000000.

    Returns:
        Whole number, 1 or more. A part of one in a thousand million is not counted: it is the
        last digit of a division, not a clamp.

    Raises:
        Refused: naming the number.

    Source:
        Arithmetic.

    Example:
        >>> round_up([8.93, 9.0, 0.0]).tolist()
        [9, 9, 1]
    """
    exact = within("number", number, 0, 1e15)
    return np.maximum(np.ceil(exact * (1 - 1e-9)), 1).astype(np.int64)
