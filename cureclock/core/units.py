"""Conversions between people's units and those used inside. Called at the edges only.

Inside: instants and ages in whole microseconds (int64), temperatures in degrees Celsius
(names end in `_c`), humidity in percent (`_pct`), lengths in metres unless the name says
otherwise.
"""

from datetime import UTC, datetime, timedelta

SECOND_US = 1_000_000
MINUTE_US = 60 * SECOND_US
HOUR_US = 60 * MINUTE_US
DAY_US = 24 * HOUR_US
KELVIN_OFFSET = 273.15  # 0 degC in kelvin, exact by definition (BIPM, SI Brochure, 9th ed.)
PSI_PA = 6894.757293168361  # exact: 0.45359237 kg x 9.80665 m/s2 / (0.0254 m)2

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def instant_us(moment: datetime) -> int:
    """Microseconds since 1970 UTC of an aware datetime; a naive one is refused.

    >>> instant_us(datetime(1970, 1, 2, tzinfo=UTC)) == DAY_US
    True
    """
    if moment.tzinfo is None:
        raise ValueError("a time without a zone was given; say which zone it is in")
    return (moment - _EPOCH) // timedelta(microseconds=1)


def moment_of(us: int) -> datetime:
    """The aware UTC datetime of an instant in microseconds.

    >>> moment_of(0).isoformat()
    '1970-01-01T00:00:00+00:00'
    """
    return _EPOCH + timedelta(microseconds=int(us))


def hours_us(hours: float) -> int:
    """Whole microseconds in a number of hours.

    >>> hours_us(0.75) == 45 * MINUTE_US
    True
    """
    return round(hours * HOUR_US)


def celsius_of_fahrenheit(temp_f: float) -> float:
    """Degrees Celsius of degrees Fahrenheit, exact.

    >>> celsius_of_fahrenheit(68)
    20.0
    """
    return (temp_f - 32) / 1.8
