"""Placing again the few gates that a change of air displaces, and what follows from it."""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from django.db.models import Q, QuerySet

from cureclock.core.clock import NEVER
from cureclock.core.felt import REACH
from cureclock.core.rates import COLDEST_C
from cureclock.core.stance import Stance
from cureclock.core.units import SECOND_US, instant_us, moment_of
from cureclock.shop.models import Event, GlueUp, Place
from cureclock.waits.ages import Ages
from cureclock.waits.clocks import effective
from cureclock.waits.joints import glue_story
from cureclock.waits.models import Clock, Gate, Leg, Suspicion, Wait
from cureclock.waits.placing import place_gates
from cureclock.waits.rows import write
from cureclock.waits.suspect import assess
from cureclock.waits.wood import OWN_PARTS, Trail


def displaced(
    place: Place,
    rows: Sequence[Clock],
    runs: Sequence[tuple[int, int]],
    cut_us: int,
    since: datetime,
) -> list[Gate]:
    """Open gates whose thresholds a change of air displaces, on the clocks as they stand now.

    Those whose present stay in the place began inside a changed run, or after the cut (on air
    that is still assumed); and those of waits that spent an earlier stay there meanwhile. Wood
    that lags took its warmth along, if it left after what changed at the earliest, `since`.
    """
    here = Q(pk__in=[])
    moved = Q(pk__in=[])
    for from_us, to_us in runs:
        began, ended = moment_of(from_us), moment_of(to_us)
        here |= Q(stay_at__gt=began, stay_at__lt=ended)
        moved |= Q(began_at__lt=ended, ended_at__gt=began)
    if cut_us == -NEVER:
        here, moved = Q(), Q()
    else:
        here |= Q(stay_at__gt=moment_of(cut_us))
        moved |= Q(ended_at__gt=moment_of(cut_us))
        moved |= Q(ended_at__gt=since, wait__lag_s__gt=0)
    gone = Leg.objects.filter(moved, place=place, wait__open=True, ended_at__isnull=False)
    own = Gate.objects.filter(here, act_clock__in=rows)  # a wait that is over has left them
    found = {gate.id: gate for gate in own}
    waits = list(gone.values_list("wait_id", flat=True))
    if waits:
        found |= {gate.id: gate for gate in Gate.objects.filter(wait__in=waits)}
    gates = list(found.values())
    now = {row.pk: row for row in rows}
    elsewhere = set().union(*(gate.clock_ids for gate in gates)) - now.keys()
    now |= Clock.objects.select_related("place__workshop").in_bulk(elsewhere)
    for gate in gates:
        gate.bare_clock = now.get(gate.bare_clock_id or 0)
        gate.act_clock = now.get(gate.act_clock_id or 0)
        gate.sure_clock = now.get(gate.sure_clock_id or 0)
    return gates


def place_again(gates: Sequence[Gate], ages: Ages, at: datetime) -> None:
    """Place gates anew on their clocks and write their thresholds."""
    if not gates:
        return
    legs: dict[UUID, list[Leg]] = {}
    waits = {gate.wait_id for gate in gates}
    for leg in Leg.objects.filter(wait__in=waits).select_related("place__workshop", "wait"):
        legs.setdefault(leg.wait_id, []).append(leg)
    earliest = min(leg.began_at for own in legs.values() for leg in own if not leg.before)
    reach = ages if earliest >= ages.since else Ages(earliest, at)
    place_gates(gates, {wait: Trail.of(own[0].wait, own) for wait, own in legs.items()}, reach)
    for gate in gates:
        gate.placed = gate.act_clock.corrected if gate.act_clock else 0
    write(gates, ("bare_us", "act_us", "warn_us", "sure_us", "placed"))


def undo_reached(rows: Sequence[Clock], ages: Ages, at: datetime) -> list[Gate]:
    """Gates that had been reached and, by what is known now, are not; they wait again."""
    undone: list[Gate] = []
    for row in rows:
        column, hurts = ("sure_us", True) if Stance(row.stance).sure else ("act_us", False)
        if row.stance == Stance.LIKELY:
            continue
        age_us = age_now(row, ages, at)
        slack = sum(max(constant, 0) for _, _, constant in row.corrections)
        clock = {"sure_clock" if hurts else "act_clock": row}
        reached = Gate.objects.filter(hurts=hurts, state=Gate.State.REACHED, **clock)
        for gate in reached.filter(**{f"{column}__gt": age_us - slack}).select_related("wait"):
            if effective(row, getattr(gate, column), gate.placed, gate.stay_at) > age_us:
                gate.state, gate.reached_at = Gate.State.WAITING, None
                undone.append(gate)
    Gate.objects.bulk_update(undone, ["state", "reached_at"])
    return undone


def age_now(row: Clock, ages: Ages, at: datetime) -> int:
    """A clock's age at an instant, by its age at the last reading and the air since."""
    clock = ages.of_row(row)
    gained = clock.age_at(instant_us(at)) - clock.age_at(instant_us(row.read_at))
    return row.age_us + int(gained)


def chilled(place: Place, rows: Sequence[Clock], ages: Ages, changed_us: int) -> list[Wait]:
    """Waits whose suspicions a change of air from an instant on may have altered.

    Films that were still forming when the changed legs began, if those legs are below their
    floor; whatever is suspect already; joints pressed or unclamped since.
    """
    known = ages.air(place).cautious
    felt_us = changed_us - REACH * max((row.lag_s * SECOND_US for row in rows), default=0)
    lowest = float(known.temp_c[known.at_us >= felt_us].min(initial=1e9))
    if any(row.way for row in rows):  # wood carried in may be colder than any air here
        lowest = COLDEST_C
    asked = {*_acted(place, changed_us), *_doubted(place, changed_us)}
    open_here = Wait.objects.filter(place=place, open=True, floor_c__gt=lowest)
    if open_here.exists():
        asked |= _forming(rows, ages, changed_us, lowest)
    asked |= set(_moved_on(place, changed_us).filter(wait__floor_c__gt=lowest))
    return list(Wait.objects.filter(id__in=asked).select_related("label"))


def _forming(rows: Sequence[Clock], ages: Ages, changed_us: int, lowest_c: float) -> set[UUID]:
    """Waits in the place whose keep-warm had not been reached when the changed legs began."""
    unreached = Q(pk__in=[])
    for row in rows:
        if row.stance == Stance.STRICT:
            age_us = age_now(row, ages, moment_of(max(changed_us, ages.from_us)))
            slack = sum(max(-constant, 0) for _, _, constant in row.corrections)
            unreached |= Q(act_clock=row, act_us__gt=age_us - slack)
    keep_warm = Gate.objects.filter(unreached, kind="keep_warm", wait__open=True)
    return set(keep_warm.filter(wait__floor_c__gt=lowest_c).values_list("wait_id", flat=True))


def _moved_on(place: Place, changed_us: int) -> QuerySet[Leg, UUID]:
    """Waits that stood in the place after an instant and stand elsewhere now."""
    gone = Leg.objects.filter(place=place, ended_at__isnull=False, wait__open=True)
    if changed_us > -NEVER:
        gone = gone.filter(ended_at__gt=moment_of(changed_us))
    return gone.values_list("wait_id", flat=True)


def _doubted(place: Place, changed_us: int) -> QuerySet[Suspicion, UUID]:
    """Waits whose suspicion arose after an instant."""
    doubts = Suspicion.objects.filter(workshop=place.workshop_id, wait__open=True)
    if changed_us > -NEVER:
        doubts = doubts.filter(at__gte=moment_of(changed_us))
    return doubts.values_list("wait_id", flat=True)


def _acted(place: Place, changed_us: int) -> QuerySet[Wait, UUID]:
    """Waits in the place whose joints were pressed or unclamped after an instant."""
    acts = Event.objects.filter(
        workshop=place.workshop_id, kind__in=("pressure_on", "clamps_off"), glue_up__isnull=False
    )
    if changed_us > -NEVER:
        acts = acts.filter(happened_at__gt=moment_of(changed_us))
    glue_ups = set(acts.values_list("glue_up_id", flat=True))
    waits = Wait.objects.filter(glue_up__in=glue_ups, open=True, legs__place=place)
    return waits.values_list("id", flat=True)


def rested(place: Place, lag_us: int, lasts_us: Sequence[int]) -> list[UUID]:
    """Glue-ups whose wood, carried in, now stands on the clocks of wood that always lay there; or
    does no more, where the last reading is another.

    Args:
        place: where.
        lag_us: the longest lag of wood there [us].
        lasts_us: the last reading before the change and after it [us].
    """
    earliest = moment_of(min(lasts_us) - OWN_PARTS * lag_us)
    here = Leg.objects.filter(place=place, ended_at=None, wait__open=True, wait__lag_s__gt=0)
    lately = here.filter(began_at__gt=earliest).values("wait")
    legs: dict[UUID, list[Leg]] = {}
    for leg in Leg.objects.filter(wait__in=lately).select_related("place", "wait"):
        legs.setdefault(leg.wait_id, []).append(leg)
    found = set()
    for own in legs.values():
        trail, wait = Trail.of(own[0].wait, own), own[0].wait
        was, now = (trail.stretches(lambda _, last=last: last) for last in lasts_us)  # type: ignore[misc]
        if was[-1] != now[-1] and wait.glue_up_id is not None:
            found.add(wait.glue_up_id)
    return sorted(found)


def reassess(waits: Sequence[Wait], at: datetime) -> tuple[list[Suspicion], list[Suspicion]]:
    """Walk waits anew; suspicions found, and those a warmer correction withdrew."""
    if not waits:
        return [], []
    glue_ups = GlueUp.objects.filter(id__in={w.glue_up_id for w in waits if w.glue_up_id})
    stories = {
        story.joint.id: story
        for glue_up in glue_ups.select_related("workshop", "place__workshop", "label")
        for story in glue_story(glue_up).joints
    }
    return assess(waits, stories, Ages(min(wait.began_at for wait in waits), at))
