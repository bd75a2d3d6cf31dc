"""One line of what may be done, must be done soon, has gone wrong, or may not be done yet."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from cureclock.waits.current import RUNG

# Acts that are no gates, before and after those that are, which go by the gate's own key.
FIRST = ("rags", "suspect", "cold", "asleep")
LAST = ("press", "end_coat", "read_temperature", "settle")
ORDER = {act: at for at, act in enumerate((*FIRST, *RUNG, *LAST))}


@dataclass(frozen=True)
class Forbidden:
    """What must still not be done, and until when; empty where no time can be told."""

    kind: str
    until: datetime | None


@dataclass(frozen=True)
class Line:
    """One line.

    Attributes:
        act: what is done, ought to be done, or may not be done yet: the key of a gate, or one of
            rags, suspect, cold, asleep, press, end_coat, read_temperature, settle.
        group: glue-up, coat or hold it belongs to; none where it is about a place.
        pieces: numbers of the pieces it speaks of.
        place, place_id: where they are.
        at: since when, or from when on.
        until: by when.
        forbidden: what is still forbidden.
        reason: why, by key, where it is not the time alone.
        cautions: what has to be said beside it, by key.
    """

    act: str
    group: UUID | None
    name: str
    pieces: tuple[str, ...]
    place: str
    place_id: UUID | None
    at: datetime | None
    until: datetime | None
    forbidden: Forbidden | None = None
    reason: str = ""
    cautions: tuple[str, ...] = ()

    @property
    def order(self) -> tuple[int, str, str, str]:
        """By act, then by where it hangs or stands, then by time."""
        return (ORDER[self.act], self.place, str(self.at or "9"), self.name)


@dataclass(frozen=True)
class NowList:
    """The four lists of what concerns anybody now."""

    soon: tuple[Line, ...]
    may: tuple[Line, ...]
    wrong: tuple[Line, ...]
    not_yet: tuple[Line, ...]
