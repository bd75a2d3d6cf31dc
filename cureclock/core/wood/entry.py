"""Guards for figures people type: each names the slip it can recognise."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused, within

Floats = NDArray[np.float64]

COLDEST_C = -40.0  # below this no shop air was ever read; our choice
SHOP_HOTTEST_C = 50.0  # shop air above this is a slip of the thermometer scale; our choice
KILN_HOTTEST_C = 95.0  # just above the 200 degF row, the last that was read; see moisture.py


def humidity_pct(rh_pct: ArrayLike) -> Floats:
    """Return relative humidity, or refuse it; a fraction typed for a percentage is refused.

    Args:
        rh_pct: relative humidity [%], 0 or 1 to 100.

    Returns:
        The same figures as a float array [%].

    Raises:
        Refused: humidity outside 0 to 100 %, or between 0 and 1 (0.50 typed for 50).

    Valid for:
        Air. No shop is drier than 1 % without being exactly 0 in a test.
    Assumes:
        Nothing.
    Source:
        Our own guard.

    Example:
        >>> humidity_pct([50, 60])
        array([50., 60.])
        >>> humidity_pct(0.5)
        Traceback (most recent call last):
        cureclock.core.refusal.Refused: humidity 0.5 % is outside the valid range: \
1 to 100 %, or 0; 50 % is written 50, not 0.50
    """
    rh = within("humidity", rh_pct, 0, 100, "%")
    fraction = (rh > 0) & (rh < 1)
    if fraction.any():
        first = rh[fraction].flat[0]
        raise Refused("humidity", f"{first:g} %", "1 to 100 %, or 0; 50 % is written 50, not 0.50")
    return rh


def shop_temp_c(temp_c: ArrayLike, quantity: str = "air temperature", kiln: bool = False) -> Floats:
    """Return a shop temperature, or refuse it; one that looks like Fahrenheit is refused.

    Args:
        temp_c: temperature [degC], -40 to 50, or to 95 with `kiln`.
        quantity: what it is the temperature of, for the sentence.
        kiln: the figure is of a kiln or hot box.

    Returns:
        The same figures as a float array [degC].

    Raises:
        Refused: outside the range; the sentence says how Fahrenheit is written.

    Valid for:
        Shop air and wood. A Fahrenheit figure of 50 or less cannot be told from Celsius.
    Assumes:
        No shop air is above 50 degC.
    Source:
        Our own guard.

    Example:
        >>> float(shop_temp_c(18))
        18.0
        >>> shop_temp_c(68)
        Traceback (most recent call last):
        cureclock.core.refusal.Refused: air temperature 68 degC is outside the valid range: \
-40 to 50 degC (68 degF is written 20)
    """
    hottest = KILN_HOTTEST_C if kiln else SHOP_HOTTEST_C
    try:
        return within(quantity, temp_c, COLDEST_C, hottest, "degC")
    except Refused as refused:
        hint = f"{refused.valid} (68 degF is written 20)"
        raise Refused(quantity, refused.value, hint) from refused
