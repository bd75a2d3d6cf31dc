"""Guards for figures people type: each names the slip it can recognise."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from cureclock.core.refusal import Refused, within

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

COLDEST_C = -40.0  # below this no shop air was ever read; our choice
SHOP_HOTTEST_C = 50.0  # shop air above this is a slip of the thermometer scale; our choice
FURTHEST_US = 4e18  # microseconds, some 127 000 years; sums of two still fit 64 bits
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


def rising_us(at_us: ArrayLike, quantity: str = "moments") -> Ints:
    """Return moments as whole microseconds, or refuse them where they do not rise.

    Args:
        at_us: moments since 1970 UTC [us], each later than the one before.
        quantity: what they are, for the sentence.

    Returns:
        The same moments as a one-dimensional integer array [us].

    Raises:
        Refused: no moment, one that is not a number, or one not later than the one before.

    Valid for:
        127 000 years either way.
    Assumes:
        Nothing.
    Source:
        Our own guard.

    Example:
        >>> rising_us([5, 7])
        array([5, 7])
    """
    array = np.atleast_1d(np.asarray(at_us))
    checked = within(quantity, array, -FURTHEST_US, FURTHEST_US, "us")
    whole = (array if array.dtype.kind == "i" else np.rint(checked)).astype(np.int64)
    if whole.ndim != 1 or len(whole) == 0 or np.any(whole[1:] <= whole[:-1]):
        raise Refused(quantity, f"{array.size} of them", "one or more, each later than the last")
    return whole


def moment_us(at_us: float, quantity: str = "moment") -> int:
    """Return one moment as whole microseconds, or refuse it.

    Args:
        at_us: moment since 1970 UTC [us].
        quantity: what it is, for the sentence.

    Returns:
        The moment [us]; a whole number stays exact.

    Raises:
        Refused: not a number, or further than 127 000 years.

    Valid for:
        127 000 years either way.
    Assumes:
        Nothing.
    Source:
        Our own guard.

    Example:
        >>> moment_us(5)
        5
    """
    checked = within(quantity, at_us, -FURTHEST_US, FURTHEST_US, "us")
    return int(at_us) if isinstance(at_us, int | np.integer) else round(float(checked))
