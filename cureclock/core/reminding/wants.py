"""A wanted reminder: what it is, when it is due, whom it rings, and what was said before."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from cureclock.core.reminding.facts import Shop
from cureclock.core.reminding.kinds import Kind
from cureclock.core.reminding.names import in_order
from cureclock.core.reminding.quiet import breaks_quiet
from cureclock.core.reminding.wall import is_there
from cureclock.core.reminding.who import To, addressed, concerned


@dataclass(frozen=True)
class Wanted:
    """A reminder that is wanted.

    Attributes:
        key: what it is, for good: the same facts give the same key.
        kind: what kind it is.
        gate: the gate it is about; empty where it is about none.
        subject: id of the group, batch, coat, place or shop.
        tags: pieces it concerns, in order.
        at_us: when it is due [us].
        to: whom to tell, each from when their quiet hours are over.
        listed: nobody is there then: the next morning list says it, it does not ring.
        part: which of the alerts about one thing, 0 for the first.
        cause: what sets it apart from others of its kind: of a suspicion, of a silence.
        about_us: the instant it speaks of [us]; None where nobody can say.
        start_by_us: closing: when the act has to begin [us].
        before_home: closing: and that is before going home.
    """

    key: str
    kind: Kind
    gate: str
    subject: str
    tags: tuple[str, ...]
    at_us: int
    to: tuple[To, ...] = ()
    listed: bool = False
    part: int = 0
    cause: str = ""
    about_us: int | None = None
    start_by_us: int | None = None
    before_home: bool = False


@dataclass(frozen=True)
class Said:
    """A reminder that has gone out.

    Attributes:
        key: of the wanted one.
        kind, gate, subject, tags, part, cause, about_us: as in Wanted.
        people: who was told.
        at_us: when it went out [us].
        stands: it has not been corrected since.
    """

    key: str
    kind: Kind
    gate: str
    subject: str
    tags: Sequence[str] = ()
    part: int = 0
    cause: str = ""
    about_us: int | None = None
    people: Sequence[str] = ()
    at_us: int = 0
    stands: bool = True

    @classmethod
    def of(cls, one: Wanted, at_us: int) -> "Said":
        """A wanted reminder that has gone out to everybody it was for, at an instant."""
        people = tuple(to.person for to in one.to)
        return cls(
            key=one.key,
            kind=one.kind,
            gate=one.gate,
            subject=one.subject,
            tags=one.tags,
            part=one.part,
            cause=one.cause,
            about_us=one.about_us,
            people=people,
            at_us=at_us,
        )


@dataclass(frozen=True)
class Want:
    """What a reminder is about; its fields are those of Wanted."""

    kind: Kind
    subject: str
    gate: str = ""
    tags: Iterable[str] = ()
    part: int = 0
    cause: str = ""

    @property
    def key(self) -> str:
        """What it is, for good."""
        words = (self.subject, self.gate, self.cause, self.kind, str(self.part))
        return " ".join(word for word in words if word)


def untold(said: Iterable[Said], what: Want) -> tuple[set[str], int]:
    """Which pieces have not been told of something, and the number of the next alert about it.

    Args:
        said: what has gone out.
        what: kind, subject, gate and cause, and the tags of the pieces concerned now.

    Returns:
        Those of them that no standing alert named, and the part that comes after the highest.

    Source: none, a choice of set.

    >>> untold([Said("k", Kind.OPENS, "touch", "c", "1")], Want(Kind.OPENS, "c", "touch", "12"))
    ({'2'}, 1)
    """
    about = (what.kind, what.subject, what.gate, what.cause)
    same = [one for one in said if (one.kind, one.subject, one.gate, one.cause) == about]
    told = {tag for one in same if one.stands for tag in one.tags}
    return set(what.tags) - told, max((one.part + 1 for one in same), default=0)


def ring(shop: Shop, what: Want, at_us: int, about_us: int | None = None) -> Wanted:
    """A reminder with whom it rings.

    Args:
        shop: who can be told, and when somebody is there.
        what: what it is about.
        at_us: when it is due [us].
        about_us: the instant it speaks of [us].

    Returns:
        Wanted. It rings who minds the shop and who is there; where nobody is there it is listed
        for the morning instead, unless it breaks quiet hours.

    Source: our choice.
    """
    breaks = breaks_quiet(what.kind, what.gate)
    listed = not breaks and not is_there(shop.hours, at_us)
    keys = () if listed else concerned(shop.people, at_us)
    return Wanted(
        key=what.key,
        kind=what.kind,
        gate=what.gate,
        subject=what.subject,
        tags=tuple(in_order(what.tags)),
        at_us=at_us,
        to=addressed(shop.people, keys, at_us, breaks),
        listed=listed,
        part=what.part,
        cause=what.cause,
        about_us=about_us,
    )
