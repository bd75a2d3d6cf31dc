"""When joints are past sure, every assumed leg counted at the coldest plausible."""

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

import numpy as np
from django.db.models import F, Max, Q
from django.db.models.functions import Coalesce

from cureclock.core.clock import NEVER
from cureclock.core.stance import Stance
from cureclock.core.units import SECOND_US, instant_us, moment_of
from cureclock.shop.air import nights_measured
from cureclock.shop.models import Place, Reading
from cureclock.waits.ages import response_of
from cureclock.waits.coldest import ColdestAges
from cureclock.waits.may.carried import Carried, Footing, JointGate, as_kept
from cureclock.waits.models import Leg
from cureclock.waits.wood import Stood, Trail, Wood, end_us

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
    """An earlier stretch of a wait, as far as its gate ran in it."""

    place: Place
    from_us: int
    to_us: int
    wood: Wood


Where = tuple[Footing, Hashable | None]  # alike gates are one; of a moved wait its own


def surely(found: Carried, kind: str, at: datetime) -> "Sureties":
    """When the gates of a kind are past sure, and how well their air is known."""
    gates = [gate for own in found.gates.values() for gate in own if gate.on.kind == kind]
    spans = {gate.wait: (gate.on.began_us, gate.on.stay_us) for gate in gates}
    since = min((moment_of(gate.on.began_us) for gate in gates), default=at)
    ages = ColdestAges(min(since, at), at)
    stays = _earlier(found, spans, ages)
    where = {(gate.on, gate.wait if gate.wait in stays else None): None for gate in gates}
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
    low = Reading.objects.filter(place__in=places, struck_by=None, flag="low", ruled_right=None)
    return set(low.values_list("place_id", flat=True))


def _earlier(
    found: Carried, spans: Mapping[Hashable, tuple[int, int]], ages: ColdestAges
) -> dict[Hashable, list[Stay]]:
    """What went before the present stretch, of waits that were moved, or begun on wood that was."""
    open_here = Leg.objects.filter(wait__joint__piece__in=found.every, wait__open=True)
    moved = Q(ended_at__isnull=False) | Q(began_at__gt=F("wait__began_at"))
    first = Q(wait__lag_s__gt=0, ended_at=None)  # the stay that wood carried in began in
    told = open_here.filter(moved | first).values_list(
        as_kept("wait_id"), "wait__lag_s", "place_id", "began_at", "ended_at"
    )
    stood: dict[tuple[Hashable, int], list[Stood]] = {}
    for wait, lag_s, place, began, ended in told.order_by("began_at"):
        if wait in spans:
            one = (found.places[place], instant_us(began), end_us(ended))
            stood.setdefault((wait, lag_s), []).append(one)
    stays: dict[Hashable, list[Stay]] = {}
    for (wait, lag_s), own in stood.items():
        for on in Trail(own, lag_s * SECOND_US).stretches(ages.last_us):
            if part := on.within(*spans[wait]):
                stays.setdefault(wait, []).append(Stay(on.place, *part, on.wood))
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
                ages.between(
                    stay.place,
                    response,
                    Stance.STRICT_SURE,
                    stay.from_us,
                    stay.to_us,
                    wood=stay.wood,
                )
                for stay in stays.get(wait, ())
            )
            for _, wait in group
        ]
        need = np.array([on.sure_need_us for on, _ in group], dtype=np.int64) - spent
        start = np.array([on.stay_us for on, _ in group], dtype=np.int64)
        clock = ages.of_row(row)
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
