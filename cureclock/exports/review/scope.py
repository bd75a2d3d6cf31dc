"""What a review looks back on: the waits and happenings of a batch, or of a stretch of time."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from uuid import UUID

from django.db.models import Max, Min, QuerySet

from cureclock.exports.odd import Odd, odd_of, subject_of
from cureclock.exports.spoken import Spoken
from cureclock.exports.told import about_pieces, carried_by
from cureclock.exports.waited import Waited, ages_of, group_name, waited
from cureclock.shop.models import Batch, Event, Workshop
from cureclock.shop.record import stand
from cureclock.waits.ages import Ages
from cureclock.waits.models import Wait

WEEK = timedelta(days=7)


@dataclass(frozen=True)
class Group:
    """The waits of one glue-up, coat or hold."""

    id: UUID
    name: str
    kind: str
    waits: tuple[Waited, ...]

    @property
    def first(self) -> Wait:
        """One of its waits; those of a group share material and beginning."""
        return self.waits[0].wait

    @property
    def tags(self) -> tuple[str, ...]:
        """Its pieces."""
        return tuple(dict.fromkeys(one.wait.piece.tag for one in self.waits))


@dataclass
class Scope:
    """Everything that is looked back on.

    Attributes:
        at: now.
        since, until: what it spans.
        told: what was told of it and stands, in order of time.
    """

    workshop: Workshop
    at: datetime
    since: datetime
    until: datetime
    batch: Batch | None
    groups: tuple[Group, ...]
    told: tuple[Event, ...]
    ages: Ages

    @property
    def spoken(self) -> Spoken:
        """How its times are said."""
        return Spoken(self.at, self.workshop.tz)

    @cached_property
    def odd(self) -> list[Odd]:
        """Everything that went otherwise."""
        return odd_of([group.waits for group in self.groups], self.told, self.spoken)

    def group(self, ident: UUID | None) -> Group | None:
        """A group by its id."""
        return next((group for group in self.groups if group.id == ident), None)

    def of(self, *kinds: str) -> list[Event]:
        """What was told of these kinds."""
        return [event for event in self.told if event.kind in kinds]


def of_batch(batch: Batch, at: datetime) -> Scope:
    """All that was ever told of a batch and of what it is made of."""
    workshop = batch.workshop
    pieces = carried_by(workshop, batch)
    waits = Wait.objects.filter(workshop=workshop, piece__in=pieces)
    events = Event.objects.filter(about_pieces(pieces), workshop=workshop)
    ends = events.aggregate(first=Min("happened_at"), last=Max("happened_at"))
    span = (ends["first"] or batch.made_at, min(ends["last"] or at, at))
    return _scope(workshop, at, span, waits=waits, events=events, batch=batch)


def of_stretch(workshop: Workshop, at: datetime, since: datetime, until: datetime) -> Scope:
    """What began, and what was told, in a stretch of time; what began earlier belongs before it."""
    waits = Wait.objects.filter(workshop=workshop, began_at__gte=since, began_at__lt=until)
    events = Event.objects.filter(workshop=workshop, happened_at__range=(since, until))
    return _scope(workshop, at, (since, until), waits=waits, events=events)


def _scope(
    workshop: Workshop,
    at: datetime,
    span: tuple[datetime, datetime],
    *,
    waits: QuerySet[Wait],
    events: QuerySet[Event],
    batch: Batch | None = None,
) -> Scope:
    ages = ages_of(waits, at)
    told = stand(events.select_related("person", "glue_up", "coat", "piece", "place"))
    groups = tuple(_group(rows) for rows in waited(waits, ages))
    return Scope(workshop, at, *span, batch, groups, tuple(told), ages)


def _group(rows: list[Waited]) -> Group:
    wait = rows[0].wait
    ident = subject_of(wait)
    assert ident is not None
    kind = "glue_up" if wait.glue_up_id else "coat" if wait.coat_id else "hold"
    return Group(ident, group_name(wait), kind, tuple(rows))
