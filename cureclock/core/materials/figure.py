"""One number of the library: never without its unit, its source and how far to trust it."""

from dataclasses import dataclass

from cureclock.core.refusal import Refused, within
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US, SECOND_US

PUBLISHED = "published"
COMMON_PRACTICE = "common practice"
FROM_MEMORY = "from memory"
STATUSES = (PUBLISHED, COMMON_PRACTICE, FROM_MEMORY)

# Units a figure may have, each with the range outside which it is a slip of the pen.
UNITS: dict[str, tuple[float, float]] = {
    "s": (0, 7200),
    "min": (0, 6000),
    "h": (0, 9600),
    "d": (0, 400),
    "degC": (-40, 120),
    "degF": (-40, 248),
    "%": (0, 100),
    "MPa": (0, 10),
    "g/m2": (0, 1000),
    "mm": (0, 10),
    "g": (1, 100_000),
    "months": (0, 240),
    "kJ/mol": (10, 250),
    "m2/L": (0.1, 100),
    "coats": (1, 50),
    "fraction": (0, 1),
    "ratio": (0.001, 1000),
    "factor": (0.1, 10),
    "kg/m3": (50, 1500),
    "specific gravity": (0.05, 1.5),
    "per % MC": (0, 0.02),
    "N": (0, 500_000),
    "% of force": (-90, 200),
}
_HOURS = {"s": SECOND_US / HOUR_US, "min": MINUTE_US / HOUR_US, "h": 1.0, "d": DAY_US / HOUR_US}


def number(quantity: str, value: object, low: float, high: float, unit: str = "") -> float:
    """Return `value` as a float if it is one number in [low, high], else refuse it.

    >>> number("open time", 5, 0, 60, "min")
    5.0
    """
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise Refused(quantity, repr(value), f"a number from {low:g} to {high:g} {unit}".strip())
    return float(within(quantity, value, low, high, unit))


@dataclass(frozen=True, kw_only=True)
class Source:
    """Where numbers come from.

    Args:
        key: its name in the sheets.
        title: what was read, or an honest "common practice, no source".
        status: the most that a number taken from it may claim.
        edition, page, address, remark: as far as known, else empty.
    """

    key: str
    title: str
    status: str
    edition: str = ""
    page: str = ""
    address: str = ""
    remark: str = ""

    def __post_init__(self) -> None:
        for name in ("key", "title"):
            if not getattr(self, name):
                raise Refused(f"source {self.key}, {name}", "nothing", "some words")
        _check_status(f"source {self.key}", self.status)


@dataclass(frozen=True, kw_only=True)
class Figure:
    """A number with its range, unit, source and status.

    Args:
        value: what is used [unit]. Of a bare range, its safe end.
        low, high: typical range [unit], where one is known.
        unit: one of UNITS.
        source: key of a Source.
        status: published, common practice or from memory.
        note: what has to be said beside it.

    Raises:
        Refused: naming what is missing or impossible.

    >>> Figure(value=45, unit="min", source="memory", status="from memory").hours
    0.75
    """

    value: float
    unit: str
    source: str
    status: str
    low: float | None = None
    high: float | None = None
    note: str = ""

    def __post_init__(self) -> None:
        _check_origin(self.unit, self.source, self.status)
        bounds = UNITS[self.unit]
        number("value", self.value, *bounds, self.unit)
        for name in ("low", "high"):
            if getattr(self, name) is not None:
                number(name, getattr(self, name), *bounds, self.unit)
        low, high = self.lowest, self.highest
        number("value within its own range", self.value, low, high, self.unit)

    @property
    def lowest(self) -> float:
        """Lower end of the range; the value where none is known."""
        return self.value if self.low is None else self.low

    @property
    def highest(self) -> float:
        """Upper end of the range; the value where none is known."""
        return self.value if self.high is None else self.high

    @property
    def hours(self) -> float:
        """The value in hours, for a figure that is a time."""
        return self.in_hours(self.value)

    def in_hours(self, amount: float) -> float:
        """An amount of this figure's unit in hours; refused where the unit is no time."""
        if self.unit not in _HOURS:
            raise Refused("unit of a time", self.unit, ", ".join(_HOURS))
        return amount * _HOURS[self.unit]


@dataclass(frozen=True, kw_only=True)
class Span:
    """A range of which no single value is the typical one; an end may be open.

    >>> Span(low=6, high=12, unit="%", source="memory", status="from memory").high
    12
    """

    unit: str
    source: str
    status: str
    low: float | None = None
    high: float | None = None
    note: str = ""

    def __post_init__(self) -> None:
        _check_origin(self.unit, self.source, self.status)
        low, high = UNITS[self.unit]
        if self.low is None and self.high is None:
            raise Refused("range", "nothing", "a low end, a high end, or both")
        if self.low is not None:
            low = number("low", self.low, low, high, self.unit)
        if self.high is not None:
            number("high", self.high, low, high, self.unit)


def _check_origin(unit: str, source: str, status: str) -> None:
    if unit not in UNITS:
        raise Refused("unit", repr(unit), f"one of {', '.join(UNITS)}")
    if not source:
        raise Refused("source", repr(source), "a key that sources.toml describes")
    _check_status("status", status)


def _check_status(quantity: str, status: str) -> None:
    if status not in STATUSES:
        raise Refused(quantity, repr(status), f"one of {', '.join(STATUSES)}")
