"""What each kind of reminder is about: plain values, no words yet."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from cureclock.core.refusal import Refused
from cureclock.core.reminding.kinds import BARS, CLOSES, OPENS, Kind


@dataclass(frozen=True)
class Subject:
    """What an alert is about, as the maker calls it.

    Attributes:
        key: id of the group, or of the piece.
        called: "stems", "drums", "rim 3"; may be empty where the tags say it all.
        tags: tags of the pieces concerned; empty where all of it is.
        place: where it hangs or stands; may be empty.
        part: which alert of the group this is, where its ends are far apart.

    Raises:
        Refused: neither called nor tagged.
    """

    key: str
    called: str = ""
    tags: Sequence[str] = ()
    place: str = ""
    part: int = 0

    def __post_init__(self) -> None:
        if not self.called.strip() and not any(tag.strip() for tag in self.tags):
            raise Refused("subject", self.key, "called something, or with tags")


@dataclass(frozen=True)
class Forbidden:
    """What is still forbidden: a gate that is shut, and when it opens if that can be said.

    For a gate that can hurt the instant is that of its sure figure.
    """

    gate: str
    until_us: int | None = None

    def __post_init__(self) -> None:
        if self.gate not in BARS:
            raise Refused("gate that forbids", self.gate, ", ".join(sorted(BARS)))


@dataclass(frozen=True)
class Opens:
    """A gate opened. closes_us: when its window shuts again, if it does."""

    kind: ClassVar[Kind] = Kind.OPENS
    subject: Subject
    gate: str
    forbidden: Sequence[Forbidden] = ()
    closes_us: int | None = None
    cautions: Sequence[str] = ()

    def __post_init__(self) -> None:
        if self.gate not in OPENS:
            raise Refused("gate that opens", self.gate, ", ".join(sorted(OPENS)))


def _closes(gate: str) -> None:
    if gate not in CLOSES:
        raise Refused("gate that closes", gate, ", ".join(sorted(CLOSES)))


@dataclass(frozen=True)
class Closing:
    """A gate will close. start_by_us: when the act has to begin; before_home: and then home."""

    kind: ClassVar[Kind] = Kind.CLOSING
    subject: Subject
    gate: str
    closes_us: int
    start_by_us: int | None = None
    before_home: bool = False
    cautions: Sequence[str] = ()

    def __post_init__(self) -> None:
        _closes(self.gate)


@dataclass(frozen=True)
class Closed:
    """A gate has closed and its act was not done."""

    kind: ClassVar[Kind] = Kind.CLOSED
    subject: Subject
    gate: str
    closed_us: int
    cautions: Sequence[str] = ()

    def __post_init__(self) -> None:
        _closes(self.gate)


@dataclass(frozen=True)
class CheckFrom:
    """A try makes sense from now; the gate itself opens later."""

    kind: ClassVar[Kind] = Kind.CHECK
    subject: Subject
    gate: str
    not_before_us: int | None

    def __post_init__(self) -> None:
        Forbidden(self.gate)


@dataclass(frozen=True)
class SuspectFound:
    """Doubt with a cause. film: of a coat, else of a joint."""

    kind: ClassVar[Kind] = Kind.SUSPECT
    subject: Subject
    cause: str
    film: bool = False


@dataclass(frozen=True)
class ColdAhead:
    """The expected night spoils it before it sets.

    Attributes:
        cold_us: when it is too cold.
        latest_us: latest good time to press in this place; None where there is none.
        pressed: it is pressed already.
    """

    kind: ClassVar[Kind] = Kind.COLD
    subject: Subject
    cold_us: int
    latest_us: int | None = None
    pressed: bool = False


@dataclass(frozen=True)
class Asleep:
    """Too cold to go on. air and needs are temperatures in the reader's own unit."""

    kind: ClassVar[Kind] = Kind.ASLEEP
    subject: Subject
    air: str
    needs: str
    forbidden: Forbidden


@dataclass(frozen=True)
class Correction:
    """What was announced is not so: what was said, what is true now, and why.

    Attributes:
        was_us: what was said.
        now_us: what is true now; None where nobody can say.
        why: key of the reason.
    """

    kind: ClassVar[Kind] = Kind.CORRECTION
    subject: Subject
    gate: str
    was_us: int
    now_us: int | None
    why: str

    def __post_init__(self) -> None:
        if self.gate not in BARS | CLOSES:
            raise Refused("gate", self.gate, ", ".join(sorted(BARS | CLOSES)))


@dataclass(frozen=True)
class Unsure:
    """A place has had no temperature since an instant; None where it never had one."""

    kind: ClassVar[Kind] = Kind.UNSURE
    key: str
    place: str
    since_us: int | None


@dataclass(frozen=True)
class Sure:
    """One piece may go on the lathe: every joint of it is past.

    Raises:
        Refused: more than one piece; a yes is given piece by piece.
    """

    kind: ClassVar[Kind] = Kind.SURE
    subject: Subject
    joints: int
    slowest: str

    def __post_init__(self) -> None:
        if len(self.subject.tags) != 1 or self.joints < 1:
            raise Refused("pieces told to spin", list(self.subject.tags), "one, with its joints")


@dataclass(frozen=True)
class AskLathe:
    """Several pieces may have become fit for the lathe: ask for each."""

    kind: ClassVar[Kind] = Kind.ASK_LATHE
    subject: Subject


@dataclass(frozen=True)
class Rags:
    """Where are the rags? repeat: how often it was asked before."""

    kind: ClassVar[Kind] = Kind.RAGS
    subject: Subject
    material: str
    repeat: int = 0


@dataclass(frozen=True)
class FormFree:
    """A gate opened, and by it a form may be emptied; goes_in: what goes in next."""

    kind: ClassVar[Kind] = Kind.OPENS
    subject: Subject
    goes_in: str = ""
    forbidden: Sequence[Forbidden] = ()
    cautions: Sequence[str] = ()
    gate: str = "clamps_off_stressed"


@dataclass(frozen=True)
class HangOk:
    """What hangs is dry to handle, so that it may hang by that zone."""

    kind: ClassVar[Kind] = Kind.OPENS
    gate: ClassVar[str] = "handle"
    subject: Subject
    zone: str
    forbidden: Sequence[Forbidden] = ()
    cautions: Sequence[str] = ()


@dataclass(frozen=True)
class CoatLeft:
    """A group was coated in part: its tags are those left, start_by_us is for them."""

    kind: ClassVar[Kind] = Kind.COAT_LEFT
    subject: Subject
    start_by_us: int
    closes_us: int
