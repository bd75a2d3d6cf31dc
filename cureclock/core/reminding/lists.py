"""Several things in one message: before going home, in the morning, after an outage."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar

from cureclock.core.refusal import Refused
from cureclock.core.reminding.alerts import Forbidden, Subject
from cureclock.core.reminding.kinds import BARS, CLOSES, OPENS, Kind
from cureclock.core.reminding.message import FIRST_LINE, Message, bar, clean, named
from cureclock.core.wording.times import Day, Reader

MOST_LINES = 8  # lines of a list before it points to the app; our choice
IN_LINE = 48  # characters of a subject within a line; our choice


class Item(StrEnum):
    """What a line of a list is about, in the order in which lines are said."""

    RAGS = "rags"
    SUSPECT = "suspect"
    CORRECTION = "correction"
    COLD = "cold"
    ASLEEP = "asleep"
    UNSURE = "unsure"
    RECOAT_OR_SCUFF = "recoat_or_scuff"
    CLOSING = "closing"
    SCUFF = "scuff"
    CLOSED = "closed"
    HOLD = "hold"
    FORM = "form"
    OPENS_BY = "opens_by"
    OPENS = "opens"
    ASK_LATHE = "ask_lathe"
    LID = "lid"
    MOVED = "moved"


_RANK = {item: place for place, item in enumerate(Item)}
WAIT = frozenset({Item.CORRECTION, Item.MOVED})  # lines that say not before
SHUT = frozenset({Item.SCUFF, Item.CLOSED})  # lines of what has closed
_GATES = {
    **dict.fromkeys(WAIT, BARS),
    **dict.fromkeys(SHUT, CLOSES),
    **dict.fromkeys((Item.OPENS, Item.OPENS_BY, Item.CLOSING), OPENS | CLOSES),
}
BY = frozenset({Item.RECOAT_OR_SCUFF, Item.CLOSING, Item.OPENS_BY, Item.COLD})


@dataclass(frozen=True)
class Line:
    """One line of a list.

    Attributes:
        item: what it is about.
        subject: of which group, piece or place.
        gate: the gate it names, where it names one.
        at_us: the time it names; None where nobody can say.
        cause: key of a suspicion's cause.

    Raises:
        Refused: a gate that is none of those its item speaks of, or no time where it needs one.
    """

    item: Item
    subject: Subject
    gate: str = ""
    at_us: int | None = None
    cause: str = ""

    def __post_init__(self) -> None:
        gates = _GATES.get(self.item)
        if gates is not None and self.gate not in gates:
            raise Refused(f"gate of a line {self.item}", self.gate, ", ".join(sorted(gates)))
        if self.at_us is None and self.item in BY | SHUT:
            raise Refused(f"time of a line {self.item}", None, "an instant")


@dataclass(frozen=True)
class BeforeGo:
    """The last look before going home."""

    kind: ClassVar[Kind] = Kind.BEFORE_GO
    key: str
    lines: Sequence[Line]


@dataclass(frozen=True)
class Morning:
    """What the night left.

    Attributes:
        key: id of the shop and the day.
        low: the lowest of the night in the reader's own unit; empty where nobody knows.
        later: waits that are later than planned.
        suspects: groups that became suspect.
        lathe_out: nothing may go on the lathe for now.
        lines: the rest.
    """

    kind: ClassVar[Kind] = Kind.MORNING
    key: str
    low: str = ""
    later: int = 0
    suspects: int = 0
    lathe_out: bool = False
    lines: Sequence[Line] = ()


@dataclass(frozen=True)
class AfterOutage:
    """The one message after a time in which nothing could be sent."""

    kind: ClassVar[Kind] = Kind.AFTER_OUTAGE
    key: str
    since_us: int
    until_us: int
    lines: Sequence[Line]


def line(said: Line, reader: Reader) -> str:
    """One line of a list in words."""
    which = named(said.subject, reader, IN_LINE)
    at = reader.closes(said.at_us)
    if said.item in WAIT:
        bars = bar(Forbidden(said.gate, said.at_us), reader)
        key = "alert.correction" if said.item == Item.CORRECTION else "list.moved"
        return reader.say(key, which=which, bars=bars)
    if said.item in SHUT:
        return reader.say(f"gate.{said.gate}.closed", which=which, by=at)
    ever = said.item == Item.UNSURE and said.at_us is None
    return reader.say(
        "list.unsure_ever" if ever else f"list.{said.item}",
        which=which,
        act=reader.say(f"gate.{said.gate}.act") if said.gate else "",
        cause=reader.say(f"suspect.{said.cause}") if said.cause else "",
        place=clean(said.subject.place or said.subject.called),
        at=at,
    )


def body(lines: Sequence[Line], reader: Reader, first: str = "") -> str:
    """Lines in the order that matters, the rest counted; `first` above them."""
    ordered = sorted(lines, key=lambda one: (_RANK[one.item], one.at_us or 0, one.subject.key))
    said = [line(one, reader) for one in ordered[:MOST_LINES]]
    more = len(ordered) - MOST_LINES
    if more > 0:
        said.append(reader.say("join.more", count=more))
    return "\n".join([*([first] if first else []), *said])


def before_go(said: BeforeGo, reader: Reader) -> Message:
    """The last look before going home; rags first."""
    rags = any(one.item == Item.RAGS for one in said.lines)
    return Message(
        title=reader.say("list.before_go", count=len(said.lines)),
        body=body(said.lines, reader),
        tag=f"{said.key} before_go",
        urgent=False,
        cautions=("rags",) if rags else (),
    )


def morning(said: Morning, reader: Reader) -> Message:
    """What the night left: how cold, what is later, what is suspect, then what may be done."""
    parts = [
        *([reader.say("list.low", low=clean(said.low, 12))] if said.low.strip() else []),
        *([reader.say("list.later", count=said.later)] if said.later else []),
        *([reader.say("list.suspects", count=said.suspects)] if said.suspects else []),
    ]
    title = reader.say("list.morning", parts=", ".join(parts)) if parts else None
    out = said.lathe_out or said.suspects > 0
    return Message(
        title=title or reader.say("list.morning_plain"),
        body=body(said.lines, reader, reader.say("list.no_lathe") if out else ""),
        tag=f"{said.key} morning",
        urgent=False,
        cautions=("lathe",) if out else (),
    )


def after_outage(said: AfterOutage, reader: Reader) -> Message:
    """The one message after an outage: from when to when, and what passed in between."""
    since = reader.closes(said.since_us, Day.NAMED)
    until = reader.opens(said.until_us)
    title = reader.say("list.outage", since=since, until=until)
    return Message(
        title=clean(title, FIRST_LINE - 1),
        body=body(said.lines, reader, reader.say("list.outage_then")),
        tag=f"{said.key} outage",
        urgent=False,
        cautions=("limits",),
    )
