"""Rebuilding every estimate from the facts, and checking that nothing differs."""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Min

from cureclock.shop.models import Coat, Conflict, Event, GlueUp, Hold, MadeFrom, Workshop
from cureclock.waits.ages import Ages
from cureclock.waits.clocks import effective
from cureclock.waits.models import Clock, Gate, Leg, Seen, Suspicion, Wait
from cureclock.waits.subjects import (
    see_all,
    settle_coat,
    settle_glue_up,
    settle_hold,
    settle_pieces,
)

Row = tuple[Any, ...]


class _Undo(Exception):
    """Takes a trial rebuild back."""


def rebuild(workshop: Workshop, at: datetime) -> None:
    """Drop a workshop's estimates and make them anew from its facts, each place's air read once."""
    with transaction.atomic():
        first = Event.objects.filter(workshop=workshop).aggregate(at=Min("happened_at"))["at"]
        Wait.objects.filter(workshop=workshop).delete()
        Clock.objects.filter(workshop=workshop).delete()
        Seen.objects.filter(workshop=workshop).delete()
        Conflict.objects.filter(workshop=workshop).delete()
        ages = Ages(first or at, at)
        settle_pieces(workshop, set(workshop.pieces.values_list("id", flat=True)))
        related = ("workshop", "label", "place__workshop")
        glue_ups = GlueUp.objects.filter(workshop=workshop).select_related(*related)
        coats = Coat.objects.filter(workshop=workshop).select_related(*related)
        see_all(glue_ups, coats, ages)  # what is learned hangs on nothing that is settled
        for glue_up in glue_ups:
            settle_glue_up(glue_up, at, ages)
        for coat in coats:
            settle_coat(coat, at, ages)
        related = ("piece__workshop", "label__material", "place__workshop")
        for hold in Hold.objects.filter(piece__workshop=workshop).select_related(*related):
            settle_hold(hold, at, ages)


def differences(workshop: Workshop, at: datetime) -> list[str]:
    """What a rebuild from the facts would change, a line each; nothing is changed."""
    kept = set(estimates(workshop))
    fresh: set[Row] = set()
    try:
        with transaction.atomic():
            rebuild(workshop, at)
            fresh = set(estimates(workshop))
            raise _Undo
    except _Undo:
        pass
    lines = [f"kept, not in the facts: {row}" for row in kept - fresh]
    return sorted(lines + [f"in the facts, not kept: {row}" for row in fresh - kept])


def estimates(workshop: Workshop) -> Iterable[Row]:
    """Every estimate as plain values; ages count from the clock's last reading.

    Whether a gate that is due has been seen yet is the tick's business and not compared.
    """
    waits = Wait.objects.filter(workshop=workshop)
    for wait in waits:
        yield (
            "wait",
            wait.id,
            wait.place_id,
            wait.began_at,
            wait.open,
            wait.between,
            wait.label_id,
            wait.coat_number,
            wait.lag_s,
        )
    for leg in Leg.objects.filter(wait__workshop=workshop):
        yield ("leg", leg.wait_id, leg.place_id, leg.began_at, leg.ended_at, leg.before)
    for gate in Gate.objects.with_clocks().filter(workshop=workshop):
        yield from _gate_rows(gate)
    for row in Suspicion.objects.filter(workshop=workshop):
        yield ("suspicion", row.wait_id, row.cause, row.at, row.banked_us, row.cleared_by)
    for one in Seen.objects.filter(workshop=workshop):
        key = (one.material_id, one.place_id, one.coat_number, one.gate)
        yield ("seen", one.id, *key, one.at, one.arrived_at, one.age_us, one.ready)
    for clock in Clock.objects.filter(workshop=workshop):
        yield ("clock", *_clock_key(clock), clock.read_at)
    for link in MadeFrom.objects.filter(whole__workshop=workshop):
        yield ("link", link.whole_id, link.part_id, link.event, link.counts)
    for met in Conflict.objects.filter(workshop=workshop):
        yield ("conflict", met.kind, met.about, met.first, met.second, met.settled_by)


def _gate_rows(gate: Gate) -> Iterable[Row]:
    over = gate.state == Gate.State.OVER
    yield ("gate", gate.wait_id, gate.kind, gate.began_at, gate.stay_at, gate.need_us, over)
    yield ("margin", gate.id, gate.margin)
    for name in ("bare", "act", "sure", "warn"):
        row: Clock | None = getattr(gate, f"{'act' if name == 'warn' else name}_clock")
        threshold = getattr(gate, f"{name}_us")
        if row is not None and threshold is not None:
            left = effective(row, threshold, gate.placed, gate.stay_at) - row.age_us
            yield ("threshold", gate.id, name, *_clock_key(row), left)


def _clock_key(row: Clock) -> Row:
    return (row.place_id, row.response_hash, row.stance, row.lag_s, row.way_id)
