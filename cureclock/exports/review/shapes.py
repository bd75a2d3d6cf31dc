"""What a review tells: plain values, each figure with the terms it is the sum of."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from cureclock.waits.shown import PieceTag, Thing
from cureclock.waits.strip import Strip


@dataclass(frozen=True)
class Term:
    """One line of the sum behind a figure: what, when, how much, and what it is about."""

    name: str
    at: datetime | None
    value: float
    about: UUID | None


@dataclass(frozen=True)
class Figure:
    """A number of the review; its terms add up to it.

    key: glue_ups, bends, suspect, joints_lost, early, coats, coated_pieces, late, hours_lost.
    """

    key: str
    value: float
    terms: tuple[Term, ...]


@dataclass(frozen=True)
class OddLine:
    """One thing that went otherwise, in words, and by whom."""

    at: datetime
    kind: str
    words: str
    who: str
    why: str


@dataclass(frozen=True)
class Mistake:
    """What went wrong with one glue-up, one coat, or two numbers, as one story.

    Attributes:
        about: the group, or nothing where it is of pieces alone.
        began_at: when the first of it happened.
        announced_at: when it was said before it happened; none where it was not.
        announced_by: alert (somebody was told), shown (the screen said so to whoever looked), or
            override (whoever acts against the times has seen them).
    """

    about: Thing | None
    pieces: tuple[str, ...]
    began_at: datetime
    announced_at: datetime | None
    announced_by: str
    hours_lost: float
    lines: tuple[OddLine, ...]


@dataclass(frozen=True)
class Coldest:
    """The coldest air of a film while it formed, and the floor it must not have fallen below."""

    group: Thing
    temp_c: float
    at: datetime
    floor_c: float
    below: bool


@dataclass(frozen=True)
class Against:
    """What was planned against what came: of one gate of one group.

    Attributes:
        label_h: what the label says.
        took_h: how long it took in this air, by the bare figure.
        opened_at: when the gate opened.
        done_at: when somebody did it; none where nobody has.
        spare_h: hours it stood ready before; less than nothing where it was done too early.
    """

    group: Thing
    kind: str
    label_h: float
    took_h: float | None
    opened_at: datetime | None
    done_at: datetime | None
    spare_h: float | None


@dataclass(frozen=True)
class Change:
    """What to do otherwise next time, in words, out of what.

    key: press_earlier, glue_earlier, watch_place, surfacing_stays, oldest_first.
    """

    key: str
    words: str
    terms: tuple[Term, ...]


@dataclass(frozen=True)
class Act:
    """One happening on a line: what, when, who, and whether it stands for the whole group."""

    at: datetime
    kind: str
    about: str
    who: str


@dataclass(frozen=True)
class GroupLine:
    """One glue-up, coat or hold on a line of its own, with the air under it."""

    id: UUID
    kind: str
    name: str
    material: str
    place: str
    pieces: tuple[PieceTag, ...]
    suspect: bool
    acts: tuple[Act, ...]
    strip: Strip


@dataclass(frozen=True)
class PieceLine:
    """One piece on a line of its own: what was done to it and to what it is made of."""

    id: UUID
    tag: str
    what: str
    acts: tuple[Act, ...]


@dataclass(frozen=True)
class Waiting:
    """What is waited for now: a word about the lathe, and the pieces it is true of."""

    word: str
    pieces: tuple[PieceTag, ...]


@dataclass(frozen=True)
class Review:
    """A batch, or a stretch of time, looked back on."""

    batch: Thing | None
    since: datetime
    until: datetime
    figures: tuple[Figure, ...]
    mistakes: tuple[Mistake, ...]
    coldest: tuple[Coldest, ...]
    against: tuple[Against, ...]
    changes: tuple[Change, ...]
    odd: tuple[OddLine, ...]
    groups: tuple[GroupLine, ...]
    pieces: tuple[PieceLine, ...]
    waiting: tuple[Waiting, ...]
