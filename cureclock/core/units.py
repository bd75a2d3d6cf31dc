"""Conversions between people's units and those used inside. Called at the edges only.

Inside: instants and ages in whole microseconds (int64), temperatures in degrees Celsius
(names end in `_c`), humidity in percent (`_pct`), lengths in metres unless the name says
otherwise.
"""

from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cureclock.core.refusal import Refused, within

SECOND_US = 1_000_000
MINUTE_US = 60 * SECOND_US
HOUR_US = 60 * MINUTE_US
DAY_US = 24 * HOUR_US
FURTHEST_US = (
    9_000_000_000_000_000  # year 2255: a float still tells every microsecond from the next
)
KELVIN_OFFSET = 273.15  # 0 degC in kelvin, exact by definition (BIPM, SI Brochure, 9th ed.)
PSI_PA = 6894.757293168361  # exact: 0.45359237 kg x 9.80665 m/s2 / (0.0254 m)2
POUND_G = 453.59237  # exact: the avoirdupois pound (yard and pound agreement, 1959)
FOOT_M = 0.3048  # exact: the international foot (the same)

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_WHOLE = 9.2e18  # what a 64-bit whole number holds
_LAST_MOMENT = 253_402_300_799_999_999  # the last microsecond of year 9999, where calendars end
_FIRST_MOMENT = -62_135_596_800_000_000  # the first of year 1


def instant_us(moment: datetime) -> int:
    """Microseconds since 1970 UTC of an aware datetime; a naive one is refused.

    Args:
        moment: a date and time with its zone. Two moments of one zone are as far apart as
            their instants, whatever its clocks did between.

    Returns:
        Whole microseconds [us].

    Raises:
        Refused: a time without a zone.

    Valid for:
        Years 1 to 9999.
    Source:
        Definition.

    Example:
        >>> instant_us(datetime(1970, 1, 2, tzinfo=UTC)) == DAY_US
        True
    """
    if moment.tzinfo is None:
        raise Refused("time", moment.isoformat(), "a time with its zone; say which it is in")
    return (moment - _EPOCH) // timedelta(microseconds=1)


def moment_of(us: int) -> datetime:
    """The aware UTC datetime of an instant in microseconds.

    Args:
        us: instant since 1970 UTC [us], years 1 to 9999.

    Returns:
        The moment, in UTC.

    Raises:
        Refused: beyond those years, or not a number.

    Valid for:
        Years 1 to 9999.
    Source:
        Definition.

    Example:
        >>> moment_of(0).isoformat()
        '1970-01-01T00:00:00+00:00'
    """
    whole = int(whole_us("instant", us))
    if not _FIRST_MOMENT <= whole <= _LAST_MOMENT:
        raise Refused("instant", f"{whole} us", "years 1 to 9999")
    return _EPOCH + timedelta(microseconds=whole)


def hours_us(hours: float) -> int:
    """Whole microseconds in a number of hours.

    Args:
        hours: duration [h], -1e6 to 1e6.

    Returns:
        The nearest whole microsecond [us].

    Raises:
        Refused: outside the range, or not a number.

    Valid for:
        A century either way.
    Source:
        Definition.

    Example:
        >>> hours_us(0.75) == 45 * MINUTE_US
        True
    """
    return round(float(within("duration", hours, -1e6, 1e6, "h")) * HOUR_US)


def celsius_of_fahrenheit(temp_f: float) -> float:
    """Degrees Celsius of degrees Fahrenheit, exact.

    Args:
        temp_f: temperature [degF], -459 to 2000.

    Returns:
        Temperature [degC].

    Raises:
        Refused: outside the range, or not a number.

    Valid for:
        Any temperature in a shop.
    Source:
        Definition.

    Example:
        >>> celsius_of_fahrenheit(68)
        20.0
    """
    return float((within("temperature", temp_f, -459, 2000, "degF") - 32) / 1.8)


def g_m2_of_lb_msf(spread_lb_msf: float) -> float:
    """Grams of glue to the square metre, of pounds to a thousand square feet.

    Args:
        spread_lb_msf: spread [lb/1000 ft2], 0 to 1000.

    Returns:
        Spread [g/m2]; one pound to a thousand square feet is 4.88 g/m2.

    Raises:
        Refused: outside the range, or not a number.

    Valid for:
        Any spread a label prints, for one glue line or one face.
    Source:
        Definition of the pound and the foot.

    Example:
        >>> round(g_m2_of_lb_msf(40), 1)
        195.3
    """
    spread = within("spread", spread_lb_msf, 0, 1000, "lb/1000 ft2")
    return float(spread * POUND_G / (1000 * FOOT_M**2))


def lb_msf_of_g_m2(spread_g_m2: float) -> float:
    """Pounds to a thousand square feet, of grams of glue to the square metre.

    Args:
        spread_g_m2: spread [g/m2], 0 to 5000.

    Returns:
        Spread [lb/1000 ft2].

    Raises:
        Refused: outside the range, or not a number.

    Valid for:
        As `g_m2_of_lb_msf`.
    Source:
        As `g_m2_of_lb_msf`.

    Example:
        >>> round(lb_msf_of_g_m2(200), 1)
        41.0
    """
    spread = within("spread", spread_g_m2, 0, 5000, "g/m2")
    return float(spread * (1000 * FOOT_M**2) / POUND_G)


def whole_us(quantity: str, value: Any) -> NDArray[np.int64]:
    """Return instants or ages as whole microseconds, or refuse them.

    Args:
        quantity: what they are, for the sentence.
        value: whole numbers, or floats that stand for them [us], -9.2e18 to 9.2e18.

    Returns:
        The same figures as 64-bit whole numbers; whole numbers stay exact.

    Raises:
        Refused: not a number, or beyond what 64 bits hold.

    Valid for:
        Any shape.
    Source:
        Our own guard.

    Example:
        >>> whole_us("age", [5, 7.2])
        array([5, 7])
    """
    try:
        array = np.asarray(value)
    except (TypeError, ValueError, OverflowError) as error:
        raise Refused(quantity, repr(value), "whole microseconds") from error
    if array.dtype.kind != "i":
        array = np.rint(within(quantity, value, -_WHOLE, _WHOLE, "us"))
    return array.astype(np.int64, copy=False)
