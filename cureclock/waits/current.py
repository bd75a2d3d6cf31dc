"""What a workshop is waiting for now, loaded in a few queries however much that is."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Exists, OuterRef, Q, QuerySet

from cureclock.core.gates import COAT_GATES, HOLD_GATES, JOINT_GATES
from cureclock.shop.models import Coat, Event, GlueUp, Hold, LabelVersion, Place, Workshop
from cureclock.shop.record import standing
from cureclock.waits.ages import Ages
from cureclock.waits.alike import Member, alike_in, one_of_each
from cureclock.waits.figures import Instants, figures_of
from cureclock.waits.models import Clock, Gate, Leg, Suspicion, Wait

SHOWN_BACK = timedelta(days=8)  # figures that came earlier than that are simply past
LEAST_BACK = timedelta(days=2)  # air behind now that is shown whatever is waiting
STILL_SHOWN = timedelta(days=7)  # a group with nothing more to come is shown so long
TO_BE_DONE = ("clamps_off", "clamps_off_stressed")  # reached, they still wait for hands
ACTS_TOLD = ("closed", "coat_paused", "coat_resumed", "struck_out")
RUNG = {kind.key: at for at, kind in enumerate((*JOINT_GATES, *COAT_GATES, *HOLD_GATES))}


@dataclass(frozen=True)
class Rung:
    """One gate of one wait, with the instants of its figures.

    Attributes:
        members: the waits it speaks for, by their pieces: its own, and those that are like it.
    """

    wait: Wait
    gate: Gate
    times: Instants
    members: Sequence[Member] = ()

    @property
    def over(self) -> bool:
        """The act it speaks of is done, or its joint or coat is gone."""
        return self.gate.state == Gate.State.OVER

    @property
    def acts(self) -> datetime | None:
        """The figure that acts: sure where it can hurt, else not before or not after."""
        return self.times.sure if self.gate.hurts else self.times.act

    def reached(self, at: datetime) -> bool:
        """Its acting figure is past, by the figures themselves: the tick may not have come yet."""
        return self.acts is not None and self.acts <= at


@dataclass
class Current:
    """Open waits of a workshop with their ladders, doubts and air.

    Attributes:
        ages: facts that span what is shown; air is loaded once a place.
        waits: those loaded; one stands for a large group of alike ones.
        members: the waits that each of them stands for, its own with them.
        rungs: the ladder of each wait, in the order of the trade.
        doubts: suspicions of each wait, cleared ones too.
        acts: what was told of glue-ups and coats that no gate shows.
    """

    workshop: Workshop
    at: datetime
    places: dict[UUID, Place]
    ages: Ages
    waits: list[Wait] = field(default_factory=list)
    members: dict[UUID, Sequence[Member]] = field(default_factory=dict)
    rungs: dict[UUID, list[Rung]] = field(default_factory=dict)
    legs: dict[UUID, list[Leg]] = field(default_factory=dict)
    doubts: dict[UUID, list[Suspicion]] = field(default_factory=dict)
    acts: dict[UUID, list[Event]] = field(default_factory=dict)

    def suspect(self, wait: Wait) -> bool:
        """Whether a doubt stands against this wait."""
        return any(doubt.cleared_by is None for doubt in self.doubts.get(wait.id, ()))


def current(workshop: Workshop, at: datetime) -> Current:
    """Everything that is waited for in a workshop, or was until a week ago."""
    shown = Wait.objects.filter(_shown(at), workshop=workshop, open=True)
    alike = alike_in(shown)
    every = {members[0].wait: members for members in alike.values()}
    return load(workshop, one_of_each(shown, alike), at, members=every)


def load(
    workshop: Workshop,
    chosen: QuerySet[Wait],
    at: datetime,
    back: timedelta = SHOWN_BACK,
    members: Mapping[UUID, Sequence[Member]] | None = None,
) -> Current:
    """Chosen waits of one workshop with all that is shown of them.

    Args:
        workshop: whose they are.
        chosen: the waits.
        at: now.
        back: how long past a figure is still shown.
        members: of a wait that stands for others like it, all of them.
    """
    # In this order, so that what is told meanwhile never points to what was not loaded.
    waits = list(
        chosen.select_related("joint", "zone", "piece").order_by("began_at", "piece__tag", "id")
    )
    _share_subjects(waits)
    gates = list(Gate.objects.filter(wait__in=waits))
    legs = list(Leg.objects.filter(wait__in=waits, before=False))
    clocks = list(Clock.objects.filter(workshop=workshop))
    places = _places(workshop)
    stand: list[Wait | Leg | Clock] = [*waits, *legs, *clocks]
    for row in stand:
        row.place = places[row.place_id]
    began = min((gate.began_at for gate in gates), default=at)
    since = max(min(began, at - LEAST_BACK), at - back)
    own = {wait.id: (Member.of(wait),) for wait in waits}
    found = Current(workshop, at, places, Ages(since, at), waits, {**own, **(members or {})})
    for leg in legs:
        found.legs.setdefault(leg.wait_id, []).append(leg)
    _fill(found, _with_clocks(gates, clocks))
    return found


def _share_subjects(waits: Sequence[Wait]) -> None:
    """The glue-up, coat, hold and label of each, read once for many.

    By hand: what the framework offers for it fails on SQLite beyond a thousand of a kind.
    """
    labels = LabelVersion.objects.select_related("material")
    subjects = {
        "glue_up": GlueUp.objects.all(),
        "coat": Coat.objects.all(),
        "hold": Hold.objects.all(),
        "label": labels,
    }
    for name, rows in subjects.items():
        known = rows.in_bulk({getattr(wait, f"{name}_id") for wait in waits} - {None})
        for wait in waits:
            if (ident := getattr(wait, f"{name}_id")) is not None:
                setattr(wait, name, known[ident])


def _shown(at: datetime) -> Exists | Q:
    """Something is still to come, was reached lately, waits for hands, or is in doubt."""
    own = Gate.objects.filter(wait=OuterRef("pk"))
    pending = Q(state__in=(Gate.State.WAITING, Gate.State.WARNED))
    lately = Q(state=Gate.State.REACHED, reached_at__gte=at - STILL_SHOWN)
    hands = Q(state=Gate.State.REACHED, kind__in=TO_BE_DONE)
    doubts = Suspicion.objects.filter(wait=OuterRef("pk"), cleared_by=None)
    return Q(Exists(own.filter(pending | lately | hands))) | Q(Exists(doubts))


def _places(workshop: Workshop) -> dict[UUID, Place]:
    places = {place.id: place for place in Place.objects.filter(workshop=workshop)}
    for place in places.values():
        place.workshop = workshop
    return places


def _with_clocks(gates: Sequence[Gate], clocks: Sequence[Clock]) -> list[Gate]:
    """Gates in the order of the trade, their clocks shared rather than loaded with each."""
    rows = {row.pk: row for row in clocks}
    for gate in gates:
        gate.bare_clock = rows.get(gate.bare_clock_id or 0)
        gate.act_clock = rows.get(gate.act_clock_id or 0)
        gate.sure_clock = rows.get(gate.sure_clock_id or 0)
    return sorted(gates, key=lambda gate: RUNG[gate.kind])


def _fill(found: Current, gates: Sequence[Gate]) -> None:
    waits = {wait.id: wait for wait in found.waits}
    times = figures_of(gates, found.ages)
    for gate in gates:
        wait = waits[gate.wait_id]
        rung = Rung(wait, gate, times[gate.id], found.members[wait.id])
        found.rungs.setdefault(gate.wait_id, []).append(rung)
    for doubt in Suspicion.objects.filter(wait__in=found.waits).order_by("at"):
        found.doubts.setdefault(doubt.wait_id, []).append(doubt)
    for event in standing(list(_acts(found.waits))):
        subject = event.glue_up_id or event.coat_id
        if subject is not None:
            found.acts.setdefault(subject, []).append(event)


def _acts(waits: Sequence[Wait]) -> Iterable[Event]:
    glue_ups = {wait.glue_up_id for wait in waits if wait.glue_up_id}
    coats = {wait.coat_id for wait in waits if wait.coat_id}
    subject = Q(glue_up__in=glue_ups) | Q(coat__in=coats)
    return Event.objects.filter(subject, kind__in=ACTS_TOLD)
