"""May this piece spin? One answer from nine rules; no number here ever turns doubt into yes."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from cureclock.core.clock import NEVER
from cureclock.core.refusal import within
from cureclock.core.units import HOUR_US, whole_us

READ_WITHIN_US = 4 * HOUR_US  # a yes needs a reading or min-max entry at most so old; our choice
NIGHTS_KNOWN = 3  # measured nights before an assumed leg may count at all; our choice


class Word(StrEnum):
    """The one word of the answer."""

    YES = "yes"
    NOT_YET = "not_yet"
    NO = "no"
    UNSURE = "unsure"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class JointState:
    """What is known of one joint of the piece.

    Attributes:
        name: how the maker calls it.
        sure_us: when it is past sure [us], assumed legs counted at the coldest plausible;
            NEVER if out of reach.
        offered: its label offers a spin gate at all.
        pressed: pressure has been on; a joint without a start has no clock.
        suspect: cause of suspicion, empty if none.
        unread_label: nobody read its material's label.
        assumed: a leg between its start and its sure instant is still assumed.
        reading_us: newest reading or min-max entry of the place it stands in; None if none.
        nights_known: measured nights in that place's history.
    """

    name: str
    sure_us: int
    offered: bool
    pressed: bool
    suspect: str
    unread_label: bool
    assumed: bool
    reading_us: int | None
    nights_known: int

    def __post_init__(self) -> None:
        whole_us("sure", self.sure_us)
        if self.reading_us is not None:
            whole_us("newest reading", self.reading_us)
        within("nights known", self.nights_known, 0, 100_000)


@dataclass(frozen=True)
class PieceState:
    """What is known of the piece as a whole."""

    joints: Sequence[JointState]
    all_declared: bool
    holds_on: Sequence[str]
    flagged_low: bool
    unsent_phones: Sequence[str]


@dataclass(frozen=True)
class Reason:
    """One line of the answer: a message key and what it names."""

    key: str
    name: str = ""
    at_us: int | None = None


@dataclass(frozen=True)
class Answer:
    """The word, when it may change, which joint or hold is to blame, and every reason.

    Attributes:
        word: yes, not yet, no, unsure, unknown.
        until_us: for "not yet", when the slowest joint is sure [us]; None where no time helps.
        blame: the joint or hold that rules.
        reasons: what was found, the ruling reason first.
        cautions: what always goes with it.
    """

    word: Word
    until_us: int | None
    blame: str
    reasons: tuple[Reason, ...]
    cautions: tuple[str, ...] = ("lathe",)


def may_spin(piece: PieceState, at_us: int) -> Answer:
    """Whether a piece may be spun on a lathe at an instant.

    Args:
        piece: what is known of it.
        at_us: the instant of the question [us].

    Returns:
        Answer. Yes only if every joint is declared, pressed, past sure and beyond suspicion,
        the place was read within four hours, no assumed leg stands on too short a history, and
        every hold is off. It always carries the lathe caution: time past is not proof.

    Raises:
        Refused: an instant that is none.

    Valid for:
        One piece; never for many at once.
    Source:
        Our rules; a test by hand and safe practice stand above the answer.

    Example:
        >>> may_spin(PieceState((), False, (), False, ()), 0).word.value
        'unknown'
    """
    whole_us("instant of the question", at_us)
    reasons = (*_forbids(piece), *_waits(piece, at_us), *_unknowns(piece), *_doubts(piece, at_us))
    notes = tuple(Reason("phone_unsent", phone) for phone in piece.unsent_phones)
    notes += tuple(Reason("unread_label", j.name) for j in piece.joints if j.unread_label)
    if piece.flagged_low:
        notes += (Reason("flagged_low"),)
    if not reasons:
        slowest = max(piece.joints, key=lambda joint: joint.sure_us)
        return Answer(Word.YES, None, slowest.name, (Reason("all_past", slowest.name), *notes))
    word, ruling = reasons[0]
    until = ruling.at_us if word == Word.NOT_YET and ruling.at_us != NEVER else None
    return Answer(word, until, ruling.name, (*(reason for _, reason in reasons), *notes))


def _forbids(piece: PieceState) -> list[tuple[Word, Reason]]:
    """What waiting never clears: a suspect joint, one that may never spin, a hold that is on."""
    suspects = [Reason(f"suspect_{one.suspect}", one.name) for one in piece.joints if one.suspect]
    never = [Reason("not_offered", one.name) for one in piece.joints if not one.offered]
    holds = [Reason("hold_on", hold) for hold in piece.holds_on]
    return [(Word.NO, reason) for reason in (*suspects, *never, *holds)]


def _waits(piece: PieceState, at_us: int) -> list[tuple[Word, Reason]]:
    """Joints never pressed, then those not yet sure, the slowest first."""
    clocked = [joint for joint in piece.joints if joint.offered]
    unpressed = [joint for joint in clocked if not joint.pressed]
    short = [joint for joint in clocked if joint.pressed and joint.sure_us > at_us]
    short.sort(key=lambda joint: -joint.sure_us)
    return [(Word.NOT_YET, Reason("not_pressed", joint.name, NEVER)) for joint in unpressed] + [
        (Word.NOT_YET, Reason("short", joint.name, joint.sure_us)) for joint in short
    ]


def _unknowns(piece: PieceState) -> list[tuple[Word, Reason]]:
    """What nobody has said yet."""
    if piece.all_declared and piece.joints:
        return []
    return [(Word.UNKNOWN, Reason("joints_not_declared"))]


def _doubts(piece: PieceState, at_us: int) -> list[tuple[Word, Reason]]:
    """Joints whose air is not known well enough for a yes."""
    found = []
    for joint in piece.joints:
        if joint.reading_us is None or at_us - joint.reading_us > READ_WITHIN_US:
            found.append((Word.UNSURE, Reason("no_recent_reading", joint.name, joint.reading_us)))
        elif joint.assumed and joint.nights_known < NIGHTS_KNOWN:
            found.append((Word.UNSURE, Reason("short_history", joint.name)))
    return found
