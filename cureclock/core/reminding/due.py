"""Wanted reminders, worked out from facts, and what to change of those already pending."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from cureclock.core.reminding.due_gates import of_gates, of_pieces
from cureclock.core.reminding.facts import DoubtFact, Facts, PlaceFact, RagFact, Shop
from cureclock.core.reminding.kinds import Kind
from cureclock.core.reminding.rings import ended, next_ring
from cureclock.core.reminding.wants import Said, Want, Wanted, ring, untold
from cureclock.core.reminding.who import addressed, concerned
from cureclock.core.units import HOUR_US, MINUTE_US, SECOND_US, moment_of

SILENT_US = 4 * HOUR_US  # a place without a word for so long is told of; the lathe's own limit
BEFORE_HOME_US = 15 * MINUTE_US  # the last look comes so long before home; our choice
BEFORE_OPEN_US = 20 * MINUTE_US  # the morning list so long before the shop opens; our choice
STILL_US = SECOND_US  # a move by less is not written; our choice
GRACE = 0.25  # of its rhythm, a sensor may be late; our choice


def patience_us(rhythm_us: int, steps_us: Sequence[int] = ()) -> int:
    """How long a place may say nothing before somebody is asked to enter its temperature.

    Args:
        rhythm_us: how often its sensor should speak [us]; 0 where somebody reads by hand.
        steps_us: times between its last words [us]; their middle is its own rhythm where that is
            slower than what was said of it.

    Returns:
        Four hours, or a sensor's rhythm and a quarter where that is more [us].

    Valid for: one place, and the sensor that spoke there last.

    Source: our choice.

    >>> patience_us(0) // HOUR_US, patience_us(15 * MINUTE_US, [4 * HOUR_US] * 3) // HOUR_US
    (4, 5)
    """
    if not rhythm_us:
        return SILENT_US
    own_us = max(rhythm_us, int(np.median(steps_us)) if len(steps_us) else 0)
    return max(SILENT_US, int(own_us * (1 + GRACE)))


def wanted(facts: Facts, shop: Shop, at_us: int, said: Sequence[Said] = ()) -> tuple[Wanted, ...]:
    """Every reminder that these facts want: those due, and those to come.

    Args:
        facts: figures, states and labels as they stand.
        shop: who can be told, and when somebody is there.
        at_us: now [us].
        said: what has gone out; nothing of it is wanted again unless it was corrected.

    Returns:
        Wanted, in the order of time; of the rags question, the morning list and the last look the
        next one. The same facts in any order give the same.

    Valid for:
        Gates as `GateFact` has them; spin is told by pieces only, and never in bulk.

    Source: common practice, no source; the times before home and opening are our choice.

    >>> from cureclock.core.reminding.who import Hand
    >>> facts = Facts(rags=[RagFact("coat", 0)])
    >>> one = wanted(facts, Shop("shop", [Hand("a")], None), 0)[0]
    >>> one.key, one.at_us // MINUTE_US, [to.person for to in one.to]
    ('coat rags 0', 5, ['a'])
    """
    keys = {one.key for one in said}
    found = (
        *of_gates(facts.gates, shop, said, at_us),
        *of_pieces(facts.pieces, shop, said),
        *_of_rags(facts.rags, shop, said),
        *_of_doubts(facts.doubts, shop, said),
        *_of_places(facts.places, shop),
        *_of_days(shop, at_us),
    )
    return tuple(
        sorted((one for one in found if one.key not in keys), key=lambda one: (one.at_us, one.key))
    )


def _of_rags(rags: Sequence[RagFact], shop: Shop, said: Sequence[Said]) -> Iterator[Wanted]:
    """The next ring of each question that nobody has answered."""
    for one in rags:
        if ended(one.answer):
            continue
        rung = [old.at_us for old in said if (old.kind, old.subject) == (Kind.RAGS, one.coat)]
        asked = next_ring(shop.people, wiped_us=one.wiped_us, rung_us=rung)
        repeat = asked.repeat
        yield Wanted(
            key=f"{one.coat} {Kind.RAGS} {repeat}",
            kind=Kind.RAGS,
            gate="",
            subject=one.coat,
            tags=(),
            at_us=asked.at_us,
            to=addressed(shop.people, asked.people, asked.at_us, breaks=True),
            part=repeat,
            about_us=one.wiped_us,
        )


def _of_doubts(doubts: Sequence[DoubtFact], shop: Shop, said: Sequence[Said]) -> Iterator[Wanted]:
    """What was found, at once, and once for each piece and cause."""
    for one in doubts:
        what = Want(one.kind, one.subject, tags=one.tags, cause=one.cause)
        tags, part = untold(said, what)
        if tags:
            fresh = replace(what, tags=tags, part=part)
            yield ring(shop, fresh, one.found_us, about_us=one.found_us)


def _of_places(places: Sequence[PlaceFact], shop: Shop) -> Iterator[Wanted]:
    """Places where something waits and no temperature comes: once for each silence."""
    for one in places:
        if one.since_us is None:
            continue
        known_us = one.since_us if one.read_us is None else max(one.read_us, one.since_us)
        at_us = known_us if one.read_us is None else known_us + one.patience_us
        silence = "ever" if one.read_us is None else str(one.read_us)
        what = Want(Kind.UNSURE, one.place, cause=silence)
        yield ring(shop, what, at_us, about_us=one.read_us)


def _of_days(shop: Shop, at_us: int) -> Iterator[Wanted]:
    """The next morning list and the next last look."""
    if shop.hours is None:
        return
    for kind, edges, before_us in (
        (Kind.MORNING, np.asarray(shop.hours.open_us), BEFORE_OPEN_US),
        (Kind.BEFORE_GO, np.asarray(shop.hours.close_us), BEFORE_HOME_US),
    ):
        place = int(np.searchsorted(edges, at_us))
        if place == edges.size:
            continue
        edge = int(edges[place])
        day = moment_of(edge).astimezone(shop.zone).date().isoformat()
        keys = concerned(shop.people, edge)
        yield Wanted(
            key=f"{shop.key} {kind} {day}",
            kind=kind,
            gate="",
            subject=shop.key,
            tags=(),
            at_us=edge - before_us,
            to=addressed(shop.people, keys, edge - before_us, breaks=False),
            about_us=edge,
        )


@dataclass(frozen=True)
class Changes:
    """What to change of the pending reminders.

    Attributes:
        add: wanted and not pending.
        move: pending, and wanted at another time, to others or of other pieces.
        withdraw: pending and no longer wanted, by key.
    """

    add: tuple[Wanted, ...]
    move: tuple[Wanted, ...]
    withdraw: tuple[str, ...]


def changes(wants: Sequence[Wanted], pending: Sequence[Wanted], at_us: int) -> Changes:
    """What to change so that the wanted reminders, and no others, are pending.

    Args:
        wants: what is wanted now.
        pending: what is pending, as it was wanted then.
        at_us: now [us].

    Returns:
        Changes. One that is due and stays due is left alone, so is one that moves by under a
        second and changes in nothing else.

    Valid for: keys that are unique within each.

    Source: our choice.

    >>> one = Wanted("k", Kind.OPENS, "touch", "c", ("1",), 5)
    >>> changes([one], [], at_us=0).add == (one,)
    True
    """
    before = {one.key: one for one in pending}
    now = {one.key: one for one in wants}
    return Changes(
        add=tuple(one for one in wants if one.key not in before),
        move=tuple(
            one for one in wants if one.key in before and _moved(before[one.key], one, at_us)
        ),
        withdraw=tuple(one.key for one in pending if one.key not in now),
    )


def _moved(before: Wanted, now: Wanted, at_us: int) -> bool:
    """Whether a pending reminder has to be written anew."""
    due = before.at_us <= at_us and now.at_us <= at_us
    near = due or abs(before.at_us - now.at_us) < STILL_US
    if not near:
        return True
    said = ("tags", "listed", "start_by_us", "before_home")
    people = [one.person for one in before.to] != [one.person for one in now.to]
    return people or any(getattr(before, name) != getattr(now, name) for name in said)
