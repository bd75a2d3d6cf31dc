"""Placing again the few gates that a change of air displaces, and what follows from it."""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from django.db import connection
from django.db.models import Exists, OuterRef, Q

from cureclock.core.clock import NEVER
from cureclock.core.stance import Stance
from cureclock.core.units import instant_us, moment_of
from cureclock.shop.models import Event, GlueUp, Place
from cureclock.waits.ages import Ages, response_of
from cureclock.waits.clocks import effective
from cureclock.waits.joints import glue_story
from cureclock.waits.models import Clock, Gate, Leg, Suspicion, Wait
from cureclock.waits.placing import place_gates
from cureclock.waits.suspect import assess


def displaced(
    place: Place, rows: Sequence[Clock], runs: Sequence[tuple[int, int]], cut_us: int
) -> list[Gate]:
    """Open gates whose thresholds a change of air displaces, on the clocks as they stand now.

    Those whose present stay in the place began inside a changed run, or after the cut (on air
    that is still assumed); and those of waits that spent an earlier stay there meanwhile.
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
    gone = Leg.objects.filter(moved, place=place, wait__open=True, ended_at__isnull=False)
    chosen = Gate.objects.filter(
        Q(here, act_clock__place=place) | Q(wait__in=gone.values("wait")), wait__open=True
    )
    now = {row.pk: row for row in rows}
    gates = list(chosen.with_clocks())
    for gate in gates:
        gate.bare_clock = now.get(gate.bare_clock_id or 0, gate.bare_clock)
        gate.act_clock = now.get(gate.act_clock_id or 0, gate.act_clock)
        gate.sure_clock = now.get(gate.sure_clock_id or 0, gate.sure_clock)
    return gates


def place_again(gates: Sequence[Gate], ages: Ages, at: datetime) -> None:
    """Place gates anew on their clocks and write their thresholds."""
    if not gates:
        return
    legs: dict[UUID, list[Leg]] = {}
    waits = {gate.wait_id for gate in gates}
    for leg in Leg.objects.filter(wait__in=waits).select_related("place__workshop"):
        legs.setdefault(leg.wait_id, []).append(leg)
    earliest = min(leg.began_at for own in legs.values() for leg in own)
    reach = ages if earliest >= ages.since else Ages(earliest, at)
    place_gates(gates, legs, reach)
    for gate in gates:
        gate.placed = gate.act_clock.corrected if gate.act_clock else 0
    _write(gates)


def _write(gates: Sequence[Gate]) -> None:
    """One statement for many rows: ten times quicker than an update for each batch of cases."""
    columns = ("bare_us", "act_us", "warn_us", "sure_us", "placed")
    pk = Gate._meta.pk
    rows = [
        (*(getattr(gate, column) for column in columns), pk.get_db_prep_value(gate.pk, connection))
        for gate in gates
    ]
    sets = ", ".join(f"{column} = %s" for column in columns)
    with connection.cursor() as cursor:
        cursor.executemany(f"UPDATE {Gate._meta.db_table} SET {sets} WHERE id = %s", rows)


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
    clock = ages.clock(row.place, response_of(row.response), Stance(row.stance))
    gained = clock.age_at(instant_us(at)) - clock.age_at(instant_us(row.read_at))
    return row.age_us + int(gained)


def chilled(place: Place, ages: Ages, changed_us: int) -> list[Wait]:
    """Waits whose suspicions a change of air from an instant on may have altered.

    Films that were still forming when the changed legs began, if those legs are below their
    floor or a suspicion already stands; joints pressed or unclamped since.
    """
    known = ages.air(place).cautious
    since = moment_of(changed_us) if changed_us > -NEVER else None
    later = Q() if since is None else Q(ended_at__isnull=True) | Q(ended_at__gt=since)
    here = Exists(Leg.objects.filter(later, wait=OuterRef("pk"), place=place))
    lowest = float(known.temp_c[known.at_us >= changed_us].min(initial=1e9))
    forming = Gate.objects.filter(wait=OuterRef("pk"), kind="keep_warm").exclude(state="reached")
    cold = Q(Exists(forming), floor_c__gt=lowest) | Q(suspicions__isnull=False)
    acts = Event.objects.filter(
        glue_up=OuterRef("glue_up"), kind__in=("pressure_on", "clamps_off"), strikes=None
    )
    acted = Exists(acts if since is None else acts.filter(happened_at__gt=since))
    waits = Wait.objects.filter(here, cold | Q(acted), open=True)
    return list(waits.select_related("label").distinct())


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
