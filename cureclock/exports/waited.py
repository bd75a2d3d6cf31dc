"""Waits with all their figures, running or long over, counted again from the facts."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Min, QuerySet

from cureclock.shop.models import Coat, GlueUp
from cureclock.waits.ages import Ages
from cureclock.waits.coating import coat_story, plan_zones
from cureclock.waits.current import RUNG
from cureclock.waits.figures import Instants, figures_of
from cureclock.waits.joints import glue_story, plan_joints
from cureclock.waits.models import Gate, Leg, Suspicion, Wait
from cureclock.waits.recount import recount

SUBJECTS = ("glue_up", "coat", "hold")
NONE_TOLD = Instants(None, None, None, None, None)


@dataclass(frozen=True)
class Waited:
    """One wait in full.

    Attributes:
        gates: its ladder, each gate with the instants of its figures.
        stays: where it stood, in order.
        doubts: suspicions, cleared ones too, in order.
    """

    wait: Wait
    gates: tuple[tuple[Gate, Instants], ...]
    stays: tuple[Leg, ...]
    doubts: tuple[Suspicion, ...]


def waited(chosen: QuerySet[Wait], at: datetime) -> Iterator[list[Waited]]:
    """Chosen waits, those of one glue-up, coat or hold at a time, the earliest first."""
    first = chosen.aggregate(at=Min("began_at"))["at"]
    ages = Ages(first or at, at)
    groups = chosen.values(*SUBJECTS).annotate(first=Min("began_at")).order_by("first", *SUBJECTS)
    for group in groups:
        own = chosen.filter(**{name: group[name] for name in SUBJECTS})
        yield _told(own, ages)


def _told(chosen: QuerySet[Wait], ages: Ages) -> list[Waited]:
    related = (
        *("glue_up__workshop", "glue_up__label", "glue_up__place__workshop"),
        *("coat__workshop", "coat__label", "coat__place__workshop"),
        *("hold", "joint", "zone", "piece__batch", "place"),
        *("label__material", "label__read_by"),
    )
    waits = list(chosen.select_related(*related).order_by("piece__tag", "began_at", "id"))
    gates = list(Gate.objects.with_clocks().filter(wait__in=waits))
    gates.sort(key=lambda gate: RUNG[gate.kind])
    times = _instants(waits, gates, ages)
    legs = Leg.objects.filter(wait__in=waits).select_related("place").order_by("began_at")
    stays, doubts = list(legs), list(Suspicion.objects.filter(wait__in=waits).order_by("at"))
    return [
        Waited(
            wait,
            tuple((gate, times[gate.id]) for gate in gates if gate.wait_id == wait.id),
            tuple(leg for leg in stays if leg.wait_id == wait.id),
            tuple(doubt for doubt in doubts if doubt.wait_id == wait.id),
        )
        for wait in waits
    ]


def _instants(waits: Sequence[Wait], gates: Sequence[Gate], ages: Ages) -> Mapping[UUID, Instants]:
    """From the facts of the glue-up or coat; what has neither stands on its clocks while it runs."""
    subject = waits[0].glue_up or waits[0].coat
    if isinstance(subject, GlueUp):
        found = recount(plan_joints(glue_story(subject)), ages)
    elif isinstance(subject, Coat):
        found = recount(plan_zones(coat_story(subject)), ages)
    else:
        found = figures_of(gates, ages)
    return {gate.id: found.get(gate.id, NONE_TOLD) for gate in gates}
