"""Who is told: who minds the shop, who is there, and who once somebody has it."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import time
from enum import StrEnum
from zoneinfo import ZoneInfo

from cureclock.core.coat.shop_hours import ShopHours
from cureclock.core.refusal import Refused
from cureclock.core.reminding.quiet import not_before
from cureclock.core.reminding.wall import is_there
from cureclock.core.units import HOUR_US, MINUTE_US

BACK_US = 15 * MINUTE_US  # without the act, back to everybody
LATER_US = 15 * MINUTE_US  # "later" holds one person's quiet so long; our choice
SECOND_US = 10 * MINUTE_US  # nobody has it after so long: the second person is rung; our choice
UTC = ZoneInfo("UTC")
LONGEST_HOLD_US = HOUR_US  # what is not urgent is held for an hour at most; our choice


class Says(StrEnum):
    """What somebody may answer to an alert."""

    MINE = "mine"
    LATER = "later"
    NOT_ME = "not_me"


@dataclass(frozen=True)
class Hand:
    """Somebody of the shop who can act.

    Attributes:
        key: who.
        hours: spells in which they are there; None where they never are.
        minds_shop: they mind the shop today: told also when they are not there.
        second: rung when nobody has it.
        zone: where they are.
        quiet_from: when their quiet hours begin there; None for none.
        quiet_until: when those end.
    """

    key: str
    hours: ShopHours | None = None
    minds_shop: bool = False
    second: bool = False
    zone: ZoneInfo = UTC
    quiet_from: time | None = None
    quiet_until: time | None = None


@dataclass(frozen=True)
class Answer:
    """What somebody answered to an alert, and when."""

    person: str
    says: Says
    at_us: int


@dataclass(frozen=True)
class To:
    """Whom to tell, and from when: their quiet hours are over by then."""

    person: str
    not_before_us: int


@dataclass(frozen=True)
class Told:
    """Who is told now.

    Attributes:
        people: their keys, in the order given.
        taken_by: who has it; empty where nobody does.
        look_us: when this answer may change by itself [us]; None where it does not.
    """

    people: tuple[str, ...]
    taken_by: str = ""
    look_us: int | None = None


def concerned(people: Sequence[Hand], at_us: int) -> tuple[str, ...]:
    """Whom something concerns at an instant.

    Args:
        people: everybody of the shop who can act.
        at_us: the instant [us].

    Returns:
        Who minds the shop and who is there; where there is nobody of that kind, everybody.

    Source: our choice: an alert never goes to nobody.

    >>> concerned([Hand("a", minds_shop=True), Hand("b")], 0)
    ('a',)
    """
    found = tuple(one.key for one in people if one.minds_shop or is_there(one.hours, at_us))
    return found or tuple(one.key for one in people)


def addressed(
    people: Sequence[Hand], keys: Collection[str], at_us: int, breaks: bool
) -> tuple[To, ...]:
    """Each of some people with the moment from which they may be told.

    Args:
        people: everybody of the shop who can act.
        keys: whom to tell.
        at_us: when it came up [us].
        breaks: it breaks quiet hours.

    Returns:
        To, in the order of people.
    """
    return tuple(
        To(
            one.key,
            not_before(at_us, one.zone, one.quiet_from, one.quiet_until, breaks),
        )
        for one in people
        if one.key in keys
    )


def second_of(people: Sequence[Hand], told: Collection[str]) -> tuple[str, ...]:
    """The second person, rung when nobody has it.

    Args:
        people: everybody of the shop who can act.
        told: who was told already.

    Returns:
        Those named as second who were not told; where nobody is named, the others who mind the
        shop, else everybody else.

    Source: our choice.

    >>> second_of([Hand("a", minds_shop=True), Hand("b")], ["a"])
    ('b',)
    """
    others = [one for one in people if one.key not in told]
    named = [one for one in others if one.second] or [one for one in others if one.minds_shop]
    return tuple(one.key for one in named or others)


def told_now(
    people: Sequence[Hand],
    answers: Sequence[Answer],
    *,
    raised_us: int,
    at_us: int,
    urgent: bool = False,
    held_until_us: int | None = None,
) -> Told:
    """Who is to hear of an alert at an instant, its answers so far considered.

    Args:
        people: everybody of the shop who can act.
        answers: what was answered, in any order; those after `at_us` do not count yet.
        raised_us: when it first went out [us].
        at_us: now [us].
        urgent: it is not held, and the second person is rung when nobody has it.
        held_until_us: until when what is not urgent is held [us]; more than an hour from now does
            not count.

    Returns:
        Told. Held: nobody until the hold ends. Somebody has it: only they, for 15 minutes; then
        back to all. Who said "not me" is passed over, who said "later" for 15 minutes; where that
        leaves nobody, the second person, then everybody again who did not say "later", whom only
        an urgent one calls back. An urgent one that nobody has after 10 minutes rings the second
        person too.

    Raises:
        Refused: nobody to tell.

    Valid for: everything but the rags question, which only its own answer ends.

    Source: common practice, no source; the minutes are our choice.

    >>> two = [Hand("a", minds_shop=True), Hand("b", minds_shop=True)]
    >>> told_now(two, [Answer("b", Says.MINE, 5)], raised_us=0, at_us=6).people
    ('b',)
    """
    if not people:
        raise Refused("people of the shop", "none", "at least one who can act")
    hold_us = 0 if held_until_us is None else held_until_us
    if not urgent and at_us < hold_us <= at_us + LONGEST_HOLD_US:
        return Told((), look_us=hold_us)
    said = _newest(answers, at_us)
    mine = [one for one in said if one.says == Says.MINE and at_us < one.at_us + BACK_US]
    if mine:
        holder = max(mine, key=lambda one: (one.at_us, one.person))
        return Told((holder.person,), holder.person, holder.at_us + BACK_US)
    return _open(people, said, raised_us, at_us, urgent)


def _newest(answers: Sequence[Answer], at_us: int) -> list[Answer]:
    """The last thing each person has said by now."""
    heard = [one for one in answers if one.at_us <= at_us]
    heard.sort(key=lambda one: (one.at_us, one.says))
    return list({one.person: one for one in heard}.values())


def _open(
    people: Sequence[Hand], said: Sequence[Answer], raised_us: int, at_us: int, urgent: bool
) -> Told:
    """Who is told while nobody has it."""
    until = {one.person: one.at_us + LATER_US for one in said if one.says == Says.LATER}
    later = {person for person, then in until.items() if at_us < then}
    not_me = {one.person for one in said if one.says == Says.NOT_ME}
    first = concerned(people, at_us)
    called = set(first) - later - not_me
    second_due = raised_us + SECOND_US
    rung = second_of(people, first)
    if not called or (urgent and at_us >= second_due):
        called |= set(rung) - later - not_me
    if not called:
        called = {one.key for one in people if urgent or one.key not in later}
    looks = [until[person] for person in later]
    if urgent and at_us < second_due:
        looks.append(second_due)
    order = tuple(one.key for one in people if one.key in called)
    return Told(order, look_us=min(looks, default=None))
