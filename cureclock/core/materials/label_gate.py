"""One gate of a label: the hours that count, and whether anybody read them."""

from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields
from typing import Any

from cureclock.core.materials.figure import number
from cureclock.core.refusal import Refused

LONGEST_H = 9600.0  # 400 days: longer than anything in a shop waits
SHORTEST_H = 1 / 3600
TEMPS_C = (-40.0, 120.0)


@dataclass(frozen=True, kw_only=True)
class LabelGate:
    """One gate of a label.

    Args:
        name: gate name.
        hours: the figure at the label temperature [h], one second to 400 days.
        by_wall: counted by the clock on the wall, not in label-hours.
        read: somebody read it from a container.
        upper_hours: what counts where nobody did [h], not below hours; hours itself when read.
        rows: printed (temperature [degC], time [h]) pairs, coldest first; at least two, or none.
        then_hours: later calls of the same gate [h].

    Raises:
        Refused: naming the gate and the field.

    Source: the label itself; who read it is kept with it, elsewhere.

    >>> LabelGate(name="spin", hours=24, read=True, upper_hours=24).hours
    24
    """

    name: str
    hours: float
    upper_hours: float
    by_wall: bool = False
    read: bool = False
    rows: tuple[tuple[float, float], ...] = ()
    then_hours: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        if not isinstance(self.name, str):
            raise Refused("gate", repr(self.name), "a name")
        flag(f"{self.name} by_wall", self.by_wall)
        flag(f"{self.name} read", self.read)
        number(self.name, self.hours, SHORTEST_H, LONGEST_H, "h")
        number(f"{self.name}, upper", self.upper_hours, self.hours, 2 * LONGEST_H, "h")
        if self.read and self.upper_hours != self.hours:
            raise Refused(f"{self.name}, upper", self.upper_hours, "the figure itself, once read")
        for later in self.then_hours:
            number(f"{self.name}, again", later, SHORTEST_H, LONGEST_H, "h")
        if len(self.rows) == 1:
            raise Refused(f"{self.name}, rows", self.rows, "two rows or more, or none")
        for temp, hours in self.rows:
            number(f"{self.name}, row temperature", temp, *TEMPS_C, "degC")
            number(f"{self.name}, row", hours, SHORTEST_H, LONGEST_H, "h")
        temps = [temp for temp, _ in self.rows]
        if temps != sorted(set(temps)):
            raise Refused(f"{self.name}, rows", temps, "temperatures rising, each once")

    @classmethod
    def from_json(cls, kept: Any) -> "LabelGate":
        """The gate out of its plain values; anything else is refused by field."""
        table = kept_fields(cls, kept, "gate")
        rows, later = table.get("rows", ()), table.get("then_hours", ())
        for name, part in (("rows", rows), ("then_hours", later)):
            if not isinstance(part, list | tuple):
                raise Refused(name, repr(part), "a list")
        if any(not isinstance(row, list | tuple) or len(row) != 2 for row in rows):
            raise Refused("rows", repr(rows), "pairs of temperature and time")
        pairs = tuple((row[0], row[1]) for row in rows)
        return cls(**{**table, "rows": pairs, "then_hours": tuple(later)})


def kept_fields(cls: type, kept: Any, what: str) -> dict[str, Any]:
    """A table with only fields of the class, and with those that have no default."""
    if not isinstance(kept, Mapping):
        raise Refused(what, repr(kept), "a table of fields")
    known = {item.name: item for item in fields(cls)}
    for name in kept:
        if name not in known:
            raise Refused(f"{what}, {name}", "an unknown field", f"one of {', '.join(known)}")
    for name, item in known.items():
        if item.default is MISSING and name not in kept:
            raise Refused(f"{what}, {name}", "nothing", "needed")
    return dict(kept)


def flag(quantity: str, value: object) -> None:
    """Refuse what is neither True nor False."""
    if not isinstance(value, bool):
        raise Refused(quantity, repr(value), "yes or no")
