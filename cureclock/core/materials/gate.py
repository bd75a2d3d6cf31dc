"""One gate of the library: how long until it opens or closes, by whom and how sure."""

from dataclasses import dataclass

from cureclock.core.confidence import UNREAD_LABEL
from cureclock.core.materials import vocabulary as words
from cureclock.core.materials.figure import Figure
from cureclock.core.refusal import Refused


@dataclass(frozen=True, kw_only=True)
class Row:
    """One printed row of a gate: at this temperature this time."""

    temp_c: float
    time: Figure


@dataclass(frozen=True, kw_only=True)
class Gate:
    """How long until one gate opens or closes, by the library.

    Args:
        name: one of the gate names of the role.
        time: the figure at the label temperature.
        by_wall: counted in hours of the clock on the wall, not in label-hours.
        rows: the printed time-temperature rows, coldest first; empty where none are printed.
        again: later calls of the same gate (the second and third re-wipe).
    """

    name: str
    time: Figure
    by_wall: bool = False
    rows: tuple[Row, ...] = ()
    again: tuple[Figure, ...] = ()

    def __post_init__(self) -> None:
        temps = [row.temp_c for row in self.rows]
        if temps != sorted(set(temps)):
            raise Refused(f"rows of {self.name}", temps, "temperatures rising, each once")
        for time in (self.time, *self.again, *(row.time for row in self.rows)):
            if time.hours <= 0:
                raise Refused(self.name, f"{time.value:g} {time.unit}", "more than nothing")

    @property
    def hours(self) -> float:
        """The figure in hours."""
        return self.time.hours

    @property
    def unread_hours(self) -> float:
        """What counts where nobody read the label [h]: the upper end of the range, or 1.5 times
        the figure where no range is given; a limit that closes is never stretched."""
        if self.name in words.CLOSING:
            return self.hours
        if self.time.high is None:
            return self.hours * UNREAD_LABEL
        return self.time.in_hours(self.time.high)
