"""The one error of the core: an input outside the range a formula holds for."""

import numpy as np
from numpy.typing import ArrayLike, NDArray


class Refused(ValueError):
    """An input was outside its valid range. Names the quantity, the value and the range."""

    def __init__(self, quantity: str, value: object, valid: str) -> None:
        self.quantity = quantity
        self.value = value
        self.valid = valid
        super().__init__(f"{quantity} {value} is outside the valid range: {valid}")


def within(
    quantity: str, value: ArrayLike, low: float, high: float, unit: str = ""
) -> NDArray[np.float64]:
    """Return `value` as a float array, or refuse it.

    Args:
        quantity: the name a maker would use, for the message.
        value: any shape. Every element must be finite and in [low, high].
        low: lowest valid value, inclusive.
        high: highest valid value, inclusive.
        unit: unit of value, low and high, for the message.

    Raises:
        Refused: naming the quantity, the first value that is out, and the range.

    >>> within("humidity", [50, 60], 0, 100, "%")
    array([50., 60.])
    >>> within("humidity", 130, 0, 100, "%")
    Traceback (most recent call last):
    cureclock.core.refusal.Refused: humidity 130 % is outside the valid range: 0 to 100 %
    """
    try:
        array = np.asarray(value, dtype=np.float64)
    except (TypeError, ValueError) as error:
        raise Refused(
            quantity, value, f"a number from {low:g} to {high:g} {unit}".strip()
        ) from error
    outside = ~((array >= low) & (array <= high))
    if outside.any():
        first = array[outside].flat[0]
        raise Refused(quantity, f"{first:g} {unit}".strip(), f"{low:g} to {high:g} {unit}".strip())
    return array
