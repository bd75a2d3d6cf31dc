"""When joints are past sure, every assumed leg counted at the coldest plausible."""

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

import numpy as np
from django.db.models import Max
from django.db.models.functions import Coalesce

from cureclock.core.clock import NEVER
from cureclock.core.stance import Stance
from cureclock.core.units import instant_us, moment_of
from cureclock.shop.air import nights_measured
from cureclock.shop.models import Place, Reading
from cureclock.waits.ages import response_of
from cureclock.waits.coldest import ColdestAges
from cureclock.waits.may.carried import Carried, Footing, JointGate, as_kept
from cureclock.waits.models import Leg

LABEL_C = 20.0  # which air is assumed does not hang on it


@dataclass(frozen=True, slots=True)
class Surely:
    """When a joint is past sure, and how well the air of its place is known."""

    sure_us: int
    assumed: bool
    reading_us: int | None
    nights: int


@dataclass(frozen=True)
class Stay:
    """An earlier stay of a wait, as far as its gate ran in it."""

    place: Place
    from_us: int
    to_us: int


Where = tuple[Footing, Hashable | None]  # alike gates are one; of a moved wait its own


def surely(found: Carried, kind: str, at: datetime) -> "Sureties":
    """When the gates of a kind are past sure, and how well their air is known."""
    gates = [gate for own in found.gates.values() for gate in own if gate.on.kind == kind]
    began = {gate.wait: gate.on.began_us for gate in gates}
    stays = _earlier(found, began)
    where = {(gate.on, gate.wait if gate.wait in stays else None): None for gate in gates}
    since = min((moment_of(on.began_us) for on, _ in where), default=at)
    ages = ColdestAges(min(since, at), at)
    sure = _sure(found, list(where), stays, ages)
    places = {on.place for on, _ in where}
    newest = _newest(places)
    nights = {
        place: nights_measured(ages.air(found.places[place]), at, found.workshop.tz)
        for place in places
    }
    assumed = _assumed(found, sure, stays, ages, instant_us(at))
    return Sureties(
        {
            one: Surely(us, assumed[one], newest.get(one[0].place), nights[one[0].place])
            for one, us in sure.items()
        },
        frozenset(stays),
    )


@dataclass(frozen=True)
class Sureties:
    """What is known of each gate, alike ones once."""

    known: Mapping[Where, Surely]
    moved: frozenset[Hashable]

    def of(self, gate: JointGate) -> Surely:
        """What is known of one gate."""
        return self.known[gate.on, gate.wait if gate.wait in self.moved else None]


def flagged(places: Iterable[UUID]) -> set[UUID]:
    """Places with a low reading that looks wrong and counts until somebody rules."""
    rows = Reading.objects.filter(place__in=places, struck_by=None, flag="low")
    return set(rows.values_list("place_id", flat=True))


def _earlier(found: Carried, began: Mapping[Hashable, int]) -> dict[Hashable, list[Stay]]:
    """The stays before the present one, of waits that were moved."""
    rows = Leg.objects.filter(
        wait__joint__piece__in=found.every, wait__open=True, ended_at__isnull=False
    )
    stays: dict[Hashable, list[Stay]] = {}
    told = rows.values_list(as_kept("wait_id"), "place_id", "began_at", "ended_at")
    for wait, place, leg_began, ended in told:
        since = began.get(wait)
        if since is not None and ended is not None and instant_us(ended) > since:
            stay = Stay(found.places[place], max(instant_us(leg_began), since), instant_us(ended))
            stays.setdefault(wait, []).append(stay)
    return stays


def _sure(
    found: Carried,
    where: Sequence[Where],
    stays: Mapping[Hashable, Sequence[Stay]],
    ages: ColdestAges,
) -> dict[Where, int]:
    """When each is past sure, a clock at a time; out of reach where it has none."""
    groups: dict[int, list[Where]] = {}
    for one in where:
        if one[0].sure_clock is not None and one[0].sure_need_us is not None:
            groups.setdefault(one[0].sure_clock, []).append(one)
    sure = dict.fromkeys(where, NEVER)
    for pk, group in groups.items():
        row = found.clocks[pk]
        response = response_of(row.response)
        spent = [
            sum(
                ages.between(stay.place, response, Stance.STRICT_SURE, stay.from_us, stay.to_us)
                for stay in stays.get(wait, ())
            )
            for _, wait in group
        ]
        need = np.array([on.sure_need_us for on, _ in group], dtype=np.int64) - spent
        start = np.array([on.stay_us for on, _ in group], dtype=np.int64)
        clock = ages.clock(row.place, response, Stance.STRICT_SURE)
        reached = clock.earliest(clock.age_at(start) + need)
        sure.update(zip(group, reached.tolist(), strict=True))
    return sure


def _assumed(
    found: Carried,
    sure: Mapping[Where, int],
    stays: Mapping[Hashable, Sequence[Stay]],
    ages: ColdestAges,
    now_us: int,
) -> dict[Where, bool]:
    """Whether any air it ran on, up to its sure instant or now, is still assumed."""
    spans: dict[UUID, list[tuple[Where, int, int]]] = {}
    for one, us in sure.items():
        on, wait = one
        span = (one, on.stay_us, max(on.stay_us, min(us, now_us)))
        spans.setdefault(on.place, []).append(span)
        for stay in stays.get(wait, ()):
            spans.setdefault(stay.place.id, []).append((one, stay.from_us, stay.to_us))
    told = dict.fromkeys(sure, False)
    for place, own in spans.items():
        line = ages.line(found.places[place], LABEL_C, ages.until_us, Stance.STRICT_SURE)
        begun_us = np.array([begun for _, begun, _ in own], dtype=np.int64)
        ended_us = np.array([ended for _, _, ended in own], dtype=np.int64)
        for (one, *_), us in zip(own, line.assumed_us(begun_us, ended_us).tolist(), strict=True):
            told[one] |= us > 0
    return told


def _newest(places: Iterable[UUID]) -> dict[UUID, int]:
    """The newest reading or min-max entry of each place; an entry counts from when it was told."""
    rows = Reading.objects.filter(place__in=places, struck_by=None).exclude(flag="high")
    told = rows.values("place").annotate(newest=Max(Coalesce("told_at", "at")))
    return {row["place"]: instant_us(row["newest"]) for row in told}
