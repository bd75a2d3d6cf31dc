"""What is shown of groups of waits: plain values, times already on the safe side of the minute."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID


@dataclass(frozen=True)
class Thing:
    """Something with a name."""

    id: UUID
    name: str


@dataclass(frozen=True)
class MaterialShown(Thing):
    """A material, and the reading of its label that counts."""

    label: UUID


@dataclass(frozen=True)
class PieceTag:
    """A piece by its number."""

    id: UUID
    tag: str


@dataclass(frozen=True)
class StayShown:
    """From when to when it stood in which place; the last has no end."""

    place: Thing
    from_: datetime
    to: datetime | None


@dataclass(frozen=True)
class Span:
    """The earliest and latest of a figure over a group."""

    first: datetime | None
    last: datetime | None


@dataclass(frozen=True)
class GateShown:
    """One gate of a group.

    What opens counts from the last piece, what closes from the first. A figure that is empty is
    out of reach, or, once the state says reached, longer past than is worth showing.

    Attributes:
        state: what opens: waiting, partly, reached, over; where it can hurt, ask in the place of
            reached: each piece is asked for by itself. What closes: running, warned, shut,
            act_now (the label says nothing of this air), over.
        acts: not before for what opens, not after for what closes.
        reached, of: for how many of how many pieces it is reached.
    """

    kind: str
    opens: bool
    hurts: bool
    over: bool
    state: str
    bare: datetime | None
    check_from: datetime | None
    acts: Span
    sure: datetime | None
    warn: datetime | None
    between: bool
    reached: int
    of: int


@dataclass(frozen=True)
class NextGate:
    """The next instant at which something opens or closes."""

    kind: str
    at: datetime


@dataclass(frozen=True)
class DoubtShown:
    """A cause of suspicion, and the pieces it stands against."""

    cause: str
    at: datetime
    temp_c: float | None
    banked_h: float | None
    need_h: float | None
    pieces: tuple[str, ...]
    cleared_by: UUID | None


@dataclass(frozen=True)
class ForetoldShown:
    """What the expected air will do: too cold while it forms, or asleep; and until when to act."""

    cause: str
    at: datetime
    latest_good: datetime | None


@dataclass(frozen=True)
class GroupShown:
    """One glue-up, coat or hold with everything that waits on it.

    Attributes:
        state: spreading, closed, pressed, resting; coating, paused, drying; held.
        suspect: doubts that stand; `cleared` those that a witness took away.
        unsure: why its figures are less than certain, by key.
    """

    id: UUID
    kind: str
    name: str
    material: MaterialShown
    place: Thing
    pieces: tuple[PieceTag, ...]
    began_at: datetime
    state: str
    stays: tuple[StayShown, ...]
    gates: tuple[GateShown, ...]
    next: NextGate | None
    suspect: tuple[DoubtShown, ...]
    cleared: tuple[DoubtShown, ...]
    foretold: tuple[ForetoldShown, ...]
    unsure: tuple[str, ...]
