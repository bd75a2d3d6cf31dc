"""Waits with all their figures, running or long over, counted again from the facts."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Min, QuerySet

from cureclock.waits.ages import Ages
from cureclock.waits.coating import coat_story, plan_zones
from cureclock.waits.current import RUNG
from cureclock.waits.figures import Instants
from cureclock.waits.held import plan_hold
from cureclock.waits.joints import glue_story, plan_joints
from cureclock.waits.models import Gate, Leg, Suspicion, Wait
from cureclock.waits.planned import PlannedWait
from cureclock.waits.recount import recount

SUBJECTS = ("glue_up", "coat", "hold")
RELATED = (
    *("glue_up__workshop", "glue_up__label", "glue_up__place__workshop"),
    *("coat__workshop", "coat__label", "coat__place__workshop"),
    *("hold__piece__workshop", "hold__label__material", "hold__place__workshop"),
    *("joint", "zone", "piece__batch", "place", "label__material", "label__read_by"),
)
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

    def gate(self, kind: str) -> tuple[Gate, Instants] | None:
        """One of its gates, if its label offers it and what it counts from was told."""
        return next((one for one in self.gates if one[0].kind == kind), None)


def ages_of(chosen: QuerySet[Wait], at: datetime) -> Ages:
    """What is known of the air from the first of these waits on."""
    first = chosen.aggregate(at=Min("began_at"))["at"]
    return Ages(min(first or at, at), at)


def waited(chosen: QuerySet[Wait], ages: Ages) -> Iterator[list[Waited]]:
    """Chosen waits, those of one glue-up, coat or hold at a time, the earliest first.

    Args:
        chosen: which.
        ages: facts that span them all.
    """
    groups = chosen.values(*SUBJECTS).annotate(first=Min("began_at")).order_by("first", *SUBJECTS)
    for group in groups:
        yield _told(chosen.filter(**{name: group[name] for name in SUBJECTS}), ages)


def _told(chosen: QuerySet[Wait], ages: Ages) -> list[Waited]:
    waits = list(chosen.select_related(*RELATED).order_by("piece__tag", "began_at", "id"))
    gates = list(Gate.objects.with_clocks().filter(wait__in=waits))
    gates.sort(key=lambda gate: RUNG[gate.kind])
    found = recount(_planned(waits[0]), ages)
    times = {gate.id: found.get(gate.id, NONE_TOLD) for gate in gates}
    legs = Leg.objects.filter(wait__in=waits, before=False).select_related("place__workshop")
    stays = list(legs.order_by("began_at"))
    doubts = list(Suspicion.objects.filter(wait__in=waits).order_by("at"))
    return [
        Waited(
            wait,
            tuple((gate, times[gate.id]) for gate in gates if gate.wait_id == wait.id),
            tuple(leg for leg in stays if leg.wait_id == wait.id),
            tuple(doubt for doubt in doubts if doubt.wait_id == wait.id),
        )
        for wait in waits
    ]


def _planned(wait: Wait) -> Sequence[PlannedWait]:
    """Every wait of the same glue-up, coat or hold, as the facts plan them."""
    if wait.glue_up is not None:
        return plan_joints(glue_story(wait.glue_up))
    if wait.coat is not None:
        return plan_zones(coat_story(wait.coat))
    return plan_hold(wait.hold) if wait.hold is not None else ()


def group_name(wait: Wait) -> str:
    """What the maker calls the glue-up, coat or hold that a wait is of."""
    return wait.hold.what if wait.hold else str(wait.glue_up or wait.coat or "")
