"""The rags question: it repeats, rings the second person, and only its answer ends it."""

from collections.abc import Sequence
from dataclasses import dataclass

from cureclock.core.refusal import Refused
from cureclock.core.reminding.who import Hand, concerned, second_of
from cureclock.core.units import MINUTE_US

FIRST_US = 5 * MINUTE_US  # after the coat ended or was wiped; our choice
EVERY_US = 10 * MINUTE_US  # then again and again; our choice
SECOND_FROM = 2  # from the second repeat on the second person is rung too; our choice
ANSWERS = ("flat_outside", "under_water")  # the only two that end it


@dataclass(frozen=True)
class Ring:
    """One ring of the question.

    Attributes:
        at_us: when [us].
        repeat: 0 for the first, then 1, 2, ...
        people: whom it rings.
    """

    at_us: int
    repeat: int
    people: tuple[str, ...]


def next_ring(people: Sequence[Hand], *, wiped_us: int, rung_us: Sequence[int] = ()) -> Ring:
    """The next ring of the rags question.

    Args:
        people: everybody of the shop who can act.
        wiped_us: when the coat ended or was wiped off [us].
        rung_us: when it has rung before [us], in any order.

    Returns:
        Ring: the first five minutes after the wiping, then ten minutes after the last one, without
        end; after an outage that is one ring, not those it missed. It calls whoever minds the
        shop or is there, and from the second repeat on the second person too.

    Raises:
        Refused: nobody to ask.

    Valid for: any hour; quiet hours, "later", "not me" and holds do not touch it.

    Source: our choice of the minutes.

    >>> ring = next_ring([Hand("a")], wiped_us=0, rung_us=[5 * MINUTE_US])
    >>> ring.at_us // MINUTE_US, ring.repeat
    (15, 1)
    """
    if not people:
        raise Refused("people of the shop", "none", "at least one to ask")
    repeat = len(rung_us)
    at_us = max(rung_us) + EVERY_US if rung_us else wiped_us + FIRST_US
    called = concerned(people, at_us)
    if repeat >= SECOND_FROM:
        called += second_of(people, called)
    return Ring(at_us, repeat, called)


def ended(answer: str) -> bool:
    """Whether an answer ends the question.

    Args:
        answer: where somebody says the rags are; empty for none.

    Returns:
        True for flat outside and under water, and for nothing else.

    Source: common practice, no source.

    >>> ended("under_water"), ended(""), ended("in the bin")
    (True, False, False)
    """
    return answer in ANSWERS
