"""What reminders are worked out from: figures, states and labels as plain values."""

from collections.abc import Sequence
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from cureclock.core.coat.shop_hours import ShopHours
from cureclock.core.refusal import Refused
from cureclock.core.reminding.kinds import CLOSES, OPENS, Kind
from cureclock.core.reminding.rings import ANSWERS
from cureclock.core.reminding.who import UTC, Hand
from cureclock.core.units import HOUR_US


@dataclass(frozen=True)
class GateFact:
    """One gate of one piece of a group.

    Attributes:
        subject: id of the group: glue-up, coat or hold.
        tag: tag of the piece.
        gate: its key.
        act_us: opens: not before, sure where it can hurt; closes: not after [us]. None where it
            is out of reach at this temperature.
        check_us: when a try makes sense [us]; None where none is offered.
        warn_us: closes: when it may close in the worst case [us].
        window_us: closes: when the act may first begin [us]; None where nothing opens it.
        hands_us: closes: how long the act takes for the whole group, also the pieces done [us].
        over: its act was done, or it was struck, stripped or lost.
        suspect: the joint or coat is suspect.

    Raises:
        Refused: a gate nobody is told of.
    """

    subject: str
    tag: str
    gate: str
    act_us: int | None
    check_us: int | None = None
    warn_us: int | None = None
    window_us: int | None = None
    hands_us: int = 0
    over: bool = False
    suspect: bool = False

    def __post_init__(self) -> None:
        if self.gate not in OPENS | CLOSES:
            raise Refused("gate", self.gate, ", ".join(sorted(OPENS | CLOSES)))


@dataclass(frozen=True)
class PieceFact:
    """One piece on its way to the lathe.

    Attributes:
        batch: id of the batch or kind it is told together with.
        tag: its tag.
        sure_us: when the slowest of all its joints is past sure [us]; None where none can say.
        barred: a joint is suspect, a hold is on, or its joints are not all declared.
        over: it has been on the lathe, or it is lost.
    """

    batch: str
    tag: str
    sure_us: int | None
    barred: bool = False
    over: bool = False


@dataclass(frozen=True)
class RagFact:
    """Rags of a coat of a finish that heats itself.

    Attributes:
        coat: id of the coat.
        wiped_us: when it ended or was wiped off [us].
        answer: where the rags are, once somebody has said so.
    """

    coat: str
    wiped_us: int
    answer: str = ""

    def __post_init__(self) -> None:
        if self.answer and self.answer not in ANSWERS:
            raise Refused("where the rags are", self.answer, ", ".join(ANSWERS))


@dataclass(frozen=True)
class DoubtFact:
    """Something found that is told once, at once.

    Attributes:
        subject: id of the group.
        kind: suspect, cold or asleep.
        tags: pieces it concerns.
        found_us: when it was found [us].
        cause: what of its kind, so that another cause is told anew.
    """

    subject: str
    kind: Kind
    tags: Sequence[str]
    found_us: int
    cause: str = ""

    def __post_init__(self) -> None:
        told = {Kind.SUSPECT, Kind.COLD, Kind.ASLEEP}
        if self.kind not in told:
            raise Refused("kind of doubt", self.kind, ", ".join(sorted(told)))


@dataclass(frozen=True)
class PlaceFact:
    """A place and when its temperature was last known.

    Attributes:
        place: id.
        read_us: last reading or entry [us]; None where there was never one.
        since_us: when the oldest open wait in it began [us]; None where nothing waits there.
        patience_us: how long it may say nothing [us].
    """

    place: str
    read_us: int | None
    since_us: int | None
    patience_us: int = 4 * HOUR_US


@dataclass(frozen=True)
class Facts:
    """Everything reminders are worked out from."""

    gates: Sequence[GateFact] = ()
    pieces: Sequence[PieceFact] = ()
    rags: Sequence[RagFact] = ()
    doubts: Sequence[DoubtFact] = ()
    places: Sequence[PlaceFact] = ()


@dataclass(frozen=True)
class Shop:
    """Who can be told, and when somebody is there.

    Attributes:
        key: id of the shop.
        people: everybody who can act.
        hours: spells in which somebody is there; None where nobody ever is.
        zone: where the shop is.
    """

    key: str
    people: Sequence[Hand]
    hours: ShopHours | None
    zone: ZoneInfo = UTC

    def __post_init__(self) -> None:
        if not self.people:
            raise Refused("people of the shop", "none", "at least one who can act")
