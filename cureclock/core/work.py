"""May this piece be worked on? Joints and holds decide for machines; nobody is hurt by a wrong
yes here, so that the ordinary figure counts. The lathe and the load have rules of their own."""

from collections.abc import Sequence
from dataclasses import dataclass

from cureclock.core.clock import NEVER
from cureclock.core.lathe import Answer, Reason, Word
from cureclock.core.units import whole_us


@dataclass(frozen=True)
class GlueLine:
    """What is known of one joint, for one kind of work.

    Attributes:
        name: how the maker calls it.
        opens_us: not before [us]; NEVER if out of reach.
        offered: its label says when this work may be done.
        pressed: pressure has been on.
        clamped: by what was told, the clamps are still on.
        suspect: cause of suspicion, empty if none.
    """

    name: str
    opens_us: int
    offered: bool
    pressed: bool
    clamped: bool
    suspect: str

    def __post_init__(self) -> None:
        whole_us("not before", self.opens_us)


@dataclass(frozen=True)
class HoldOn:
    """A temporary bond that is on.

    Attributes:
        what: how the maker calls it.
        in_the_way: it has to be off before this work.
        holds_us: when it holds [us]; NEVER if out of reach, 0 where nobody said what it is
            made with.
    """

    what: str
    in_the_way: bool
    holds_us: int = 0

    def __post_init__(self) -> None:
        whole_us("holds from", self.holds_us)


def may_work(
    lines: Sequence[GlueLine], holds: Sequence[HoldOn], at_us: int, cautions: tuple[str, ...] = ()
) -> Answer:
    """Whether a piece may be worked on at an instant, as far as its joints and holds go.

    Args:
        lines: every joint it carries; none: it is of one piece.
        holds: every hold that is on it.
        at_us: the instant of the question [us].
        cautions: keys of what is said with the answer.

    Returns:
        Answer. No while a joint is suspect or a hold is in the way; not yet while a joint is
        short, was never pressed or is in its clamps, or a hold that is needed does not hold yet;
        unknown where a label says nothing of this work.

    Raises:
        Refused: an instant that is none.

    Valid for:
        Work that hurts nobody if it comes too soon.
    Source:
        Our rules; the figures are those of the gates.

    Example:
        >>> line = GlueLine("face", 100, True, True, False, "")
        >>> may_work([line], [], 50).word.value, may_work([line], [], 100).word.value
        ('not_yet', 'yes')
        >>> may_work([line], [HoldOn("tape", True)], 100).blame
        'tape'
    """
    whole_us("instant of the question", at_us)
    found = (*_forbids(lines, holds), *_waits(lines, holds, at_us), *_unknowns(lines))
    if not found:
        slowest = max(lines, key=lambda line: line.opens_us, default=None)
        reason = Reason("no_joints") if slowest is None else Reason("all_past", slowest.name)
        return Answer(Word.YES, None, reason.name, (reason,), cautions)
    word, ruling = found[0]
    until = ruling.at_us if word == Word.NOT_YET and ruling.at_us != NEVER else None
    return Answer(word, until, ruling.name, tuple(reason for _, reason in found), cautions)


def _forbids(lines: Sequence[GlueLine], holds: Sequence[HoldOn]) -> list[tuple[Word, Reason]]:
    suspects = [Reason(f"suspect_{line.suspect}", line.name) for line in lines if line.suspect]
    on = [Reason("hold_on", hold.what) for hold in holds if hold.in_the_way]
    return [(Word.NO, reason) for reason in (*suspects, *on)]


def _waits(
    lines: Sequence[GlueLine], holds: Sequence[HoldOn], at_us: int
) -> list[tuple[Word, Reason]]:
    """Joints never pressed, then what is short, the slowest first, then what is in its clamps."""
    unpressed = [Reason("not_pressed", line.name, NEVER) for line in lines if not line.pressed]
    short = [
        Reason("short", line.name, line.opens_us)
        for line in lines
        if line.offered and line.pressed and line.opens_us > at_us
    ]
    needed = [
        Reason("hold_short", hold.what, hold.holds_us)
        for hold in holds
        if not hold.in_the_way and hold.holds_us > at_us
    ]
    timed = sorted([*short, *needed], key=lambda reason: -(reason.at_us or 0))
    clamped = [Reason("in_clamps", line.name, NEVER) for line in lines if line.clamped]
    return [(Word.NOT_YET, reason) for reason in (*unpressed, *timed, *clamped)]


def _unknowns(lines: Sequence[GlueLine]) -> list[tuple[Word, Reason]]:
    silent = [line for line in lines if line.pressed and not line.offered]
    return [(Word.UNKNOWN, Reason("label_says_nothing", line.name)) for line in silent]
