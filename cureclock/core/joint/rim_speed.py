"""How fast the rim of a turning piece goes. Information only."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import within

MINUTE_S = 60.0


def rim_speed_m_s(diameter_m: ArrayLike, turns_per_min: ArrayLike) -> NDArray[np.float64]:
    """How fast the outside of a piece moves on the lathe. It never says what speed is safe.

    Args:
        diameter_m: largest diameter of the piece [m], 0 to 5.
        turns_per_min: speed of the lathe [1/min], 0 to 20000.

    Returns:
        Rim speed [m/s], pi D n / 60.

    Raises:
        Refused: naming the argument.

    Valid for:
        Any turning piece.

    Assumes:
        Nothing of its strength: catches, not speed, break green joints, and no figure of
        strength is made from this one. Slowest speed first, out of line, face shield.

    Source:
        Plain geometry.

    Example:
        >>> rim_speed_m_s(0.172, 900).round(1).tolist()
        8.1
    """
    diameter = within("diameter", diameter_m, 0, 5, "m")
    return np.pi * diameter * within("lathe speed", turns_per_min, 0, 20_000, "1/min") / MINUTE_S
