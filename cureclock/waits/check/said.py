"""A check in words: its lines, worst first, each with the sum that a pencil can redo."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from uuid import UUID


class Word(StrEnum):
    """What to do. A note rules nothing."""

    NOT_NOW = "not_now"
    CARE = "care"
    GO = "go"
    NOTE = "note"


ORDER = {str(word): at for at, word in enumerate(Word)}


@dataclass(frozen=True)
class CheckLine:
    """One reason.

    Attributes:
        key: what it is about.
        says: in words.
        sum: the steps behind it, each with its figures.
        at: until when it holds, or from when it would be otherwise; none where no time rules it.
        values: the figures by name and unit, for programs.
    """

    key: str
    word: str
    says: str
    sum: tuple[str, ...] = ()
    at: datetime | None = None
    values: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class GateAhead:
    """When a gate would come if it began as asked: the figure that acts, and a pencil's."""

    kind: str
    opens: bool
    acts: datetime | None
    bare: datetime | None


@dataclass(frozen=True)
class Instead:
    """What another place, adhesive or hour would change.

    Attributes:
        what: place, adhesive or hour.
        latest: until when it would be good there; none where it is good all night, or never.
    """

    what: str
    id: UUID | None
    name: str
    word: str
    says: str
    latest: datetime | None
    opens_at: datetime | None


@dataclass(frozen=True)
class TiedUp:
    """So many of a thing that it would tie up."""

    thing: UUID
    name: str
    count: int


@dataclass(frozen=True)
class CheckTold:
    """The answer to a check.

    Attributes:
        blame: key of the line that rules.
        largest_load: most pieces in one go; none where no dry run was timed.
        loads: goes that takes; none likewise.
        things: what it would tie up, to start it with one tap.
        cautions: keys of what has to be read before the act.
    """

    word: str
    says: str
    blame: str
    start: datetime
    answered_at: datetime
    lines: tuple[CheckLine, ...]
    gates: tuple[GateAhead, ...]
    instead: tuple[Instead, ...]
    largest_load: int | None
    loads: int | None
    things: tuple[TiedUp, ...]
    cautions: tuple[str, ...]


def worst(lines: Sequence[CheckLine]) -> CheckLine | None:
    """The line that rules: the first of the worst."""
    ruling = [line for line in lines if line.word in (Word.NOT_NOW, Word.CARE)]
    return min(ruling, key=lambda line: ORDER[line.word], default=None)


def in_order(lines: Sequence[CheckLine]) -> tuple[CheckLine, ...]:
    """Worst first; among like ones in the order of the work."""
    return tuple(sorted(lines, key=lambda line: ORDER[line.word]))


def clock_of(seconds: float) -> str:
    """Minutes and seconds; a part of a second is left off.

    >>> clock_of(413.5)
    '6:53'
    """
    whole = int(abs(seconds) + 1e-6)
    return f"{whole // 60}:{whole % 60:02d}"


def figure(value: float, digits: int = 1) -> str:
    """A number as it is said, without zeros at its end.

    >>> figure(12.0), figure(9.96), figure(0.01373, 5)
    ('12', '10', '0.01373')
    """
    text = f"{value:.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
