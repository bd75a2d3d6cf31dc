"""After an outage: what of the past due goes into one summary, and what goes out by itself."""

from collections.abc import Sequence
from dataclasses import dataclass

from cureclock.core.reminding.kinds import CLOSES, OF_JOINTS, Kind
from cureclock.core.reminding.lists import Item
from cureclock.core.reminding.quiet import breaks_quiet
from cureclock.core.reminding.wants import Wanted
from cureclock.core.units import MINUTE_US

LATE_US = 10 * MINUTE_US  # what is later than this is summed up, not sent by itself; our choice
FREES_CLAMPS = frozenset({"clamps_off", "clamps_off_stressed"})

_ITEMS = {
    Kind.SUSPECT: Item.SUSPECT,
    Kind.COLD: Item.COLD,
    Kind.ASLEEP: Item.ASLEEP,
    Kind.CORRECTION: Item.CORRECTION,
    Kind.UNSURE: Item.UNSURE,
    Kind.SURE: Item.ASK_LATHE,
    Kind.ASK_LATHE: Item.ASK_LATHE,
    Kind.OPENS: Item.OPENS,
}


@dataclass(frozen=True)
class Summed:
    """One line of the summary: what it is about, and the reminder it stands for."""

    item: Item
    of: Wanted


@dataclass(frozen=True)
class Sorted:
    """What is past due, sorted.

    Attributes:
        alone: sent by themselves: not late, or rags, or a limit somebody can still keep.
        summed: lines of the one summary.
        passed_over: said by a line of the summary, or no longer worth a word.
    """

    alone: tuple[Wanted, ...]
    summed: tuple[Summed, ...]
    passed_over: tuple[Wanted, ...]


def sort_out(past_due: Sequence[Wanted], at_us: int) -> Sorted:
    """What of the past due goes out by itself, and what into one summary.

    Args:
        past_due: reminders that are due and have not gone out, each key once.
        at_us: now [us].

    Returns:
        Sorted; every one of them is in one of its three parts. What is due for less than ten
        minutes, the rags question, a correction of a gate that can hurt, and a limit of minutes or
        a cold night still ahead go out by themselves. Of the rest: a window that shuts takes the
        place of its opening, once shut of its warning too; a later gate of a coat that of the earlier ones; of a
        joint the clamps and the latest gate are said.

    Valid for: an outage, a restored backup, a holiday.

    Source: our choice.

    >>> sort_out([], 0).summed
    ()
    """
    alone = [one for one in past_due if _rings_alone(one, at_us)]
    late = [one for one in past_due if not _rings_alone(one, at_us)]
    items = [(one, item_of(one, at_us)) for one in late]
    kept = [
        Summed(item, one)
        for one, item in items
        if item is not None and not _said_by_another(one, item, items)
    ]
    said = [one.of for one in kept]
    return Sorted(tuple(alone), tuple(kept), tuple(one for one in late if one not in said))


def _rings_alone(one: Wanted, at_us: int) -> bool:
    """Whether a reminder goes out by itself though others wait."""
    held_us = min((to.not_before_us for to in one.to), default=one.at_us)
    if one.kind == Kind.RAGS or at_us - max(one.at_us, held_us) < LATE_US:
        return True
    if not breaks_quiet(one.kind, one.gate):
        return False
    return one.kind == Kind.CORRECTION or (one.about_us is not None and one.about_us > at_us)


def item_of(one: Wanted, at_us: int) -> Item | None:
    """The line a reminder becomes in a summary or a morning list.

    Args:
        one: the reminder.
        at_us: now [us].

    Returns:
        Item; None for what is no longer worth a word: a try, an old list.

    Source: our choice.
    """
    if one.gate in CLOSES:
        shut = one.kind == Kind.CLOSED or (one.about_us is not None and one.about_us <= at_us)
        if one.gate == "recoat_closes" and shut:
            return Item.SCUFF
        if one.gate == "remove_by":
            return Item.HOLD
        return Item.CLOSED if shut else Item.CLOSING
    return _ITEMS.get(one.kind)


def _said_by_another(one: Wanted, item: Item, items: Sequence[tuple[Wanted, Item | None]]) -> bool:
    """Whether a line of another reminder says it too, or makes it untrue."""
    others = [
        (other, its)
        for other, its in items
        if other is not one and other.subject == one.subject and set(one.tags) <= set(other.tags)
    ]
    if one.kind in {Kind.CLOSING, Kind.COAT_LEFT}:
        return any((o.kind, o.gate) == (Kind.CLOSED, one.gate) for o, _ in others)
    if item != Item.OPENS or one.gate in FREES_CLAMPS:
        return False
    if one.gate == "recoat_opens" and set(one.tags) <= _closing_tags(one.subject, items):
        return True
    return any(_later(other, one) for other, its in others if its == Item.OPENS)


def _closing_tags(subject: str, items: Sequence[tuple[Wanted, Item | None]]) -> set[str]:
    """Pieces of a group of which a line says by when to recoat, or that it is too late."""
    lines = [one for one, item in items if item is not None and one.gate == "recoat_closes"]
    return {tag for one in lines if one.subject == subject for tag in one.tags}


def _later(other: Wanted, one: Wanted) -> bool:
    """Whether a gate came after another of the same joint or coat and says more."""
    if other.gate in FREES_CLAMPS or (other.gate in OF_JOINTS) != (one.gate in OF_JOINTS):
        return False
    return (other.about_us or 0, other.key) > (one.about_us or 0, one.key)
