"""What was told, line by line: of a workshop or of one batch, as a table."""

import json
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass
from uuid import UUID

from django.db.models import Q, QuerySet

from cureclock.core.wording.say import say
from cureclock.exports.cells import Cell, csv_bytes
from cureclock.shop.lineage import closure, parts_of
from cureclock.shop.models import Batch, CoatedZone, Event, Joint, Piece, Workshop
from cureclock.shop.record import standing

LOADED = 2000  # lines in memory at a time


@dataclass(frozen=True)
class Line:
    """One happening, and whether it was struck out."""

    event: Event
    struck: bool

    @property
    def local(self) -> str:
        """When it happened by the shop's own clock."""
        moment = self.event.happened_at.astimezone(self.event.workshop.tz)
        return moment.isoformat(timespec="seconds")


# Heading, and what stands below it.
COLUMNS: tuple[tuple[str, Callable[[Line], Cell]], ...] = (
    ("export.told.id", lambda line: line.event.id),
    ("export.told.what", lambda line: line.event.kind),
    ("export.told.happened", lambda line: line.event.happened_at),
    ("export.told.happened_local", lambda line: line.local),
    ("export.told.arrived", lambda line: line.event.arrived_at),
    ("export.told.by_phone", lambda line: line.event.said_at),
    ("export.told.person", lambda line: _name(line.event.person)),
    ("export.told.phone", lambda line: _name(line.event.phone)),
    ("export.told.number", lambda line: line.event.number),
    ("export.told.glue_up", lambda line: _name(line.event.glue_up)),
    ("export.told.coat", lambda line: _name(line.event.coat)),
    ("export.told.piece", lambda line: _name(line.event.piece)),
    ("export.told.place", lambda line: _name(line.event.place)),
    ("export.told.strikes", lambda line: line.event.strikes),
    ("export.told.struck", lambda line: line.struck),
    ("export.told.said", lambda line: json.dumps(line.event.body, ensure_ascii=False)),
)


def told_csv(
    workshop: Workshop, batch: Batch | None = None, *, bom: bool = False
) -> Iterator[bytes]:
    """Everything that was told, in order of time, struck lines too; of one batch where one is given."""
    events = Event.objects.filter(workshop=workshop)
    if batch is not None:
        events = events.filter(about_pieces(carried_by(workshop, batch)))
    rows = ([cell(line) for _, cell in COLUMNS] for line in lines(workshop, events))
    return csv_bytes([say(heading) for heading, _ in COLUMNS], rows, bom=bom)


def lines(workshop: Workshop, events: QuerySet[Event]) -> Iterator[Line]:
    """Happenings in order of time; few are in memory at once."""
    strikers = list(Event.objects.filter(workshop=workshop, strikes__isnull=False))
    standing_now = {event.id for event in standing(strikers)}
    struck = {event.strikes for event in strikers if event.id in standing_now}
    related = ("workshop", "person", "phone", "glue_up", "coat", "piece", "place")
    ordered = events.select_related(*related).order_by("happened_at", "id")
    for event in ordered.iterator(LOADED):
        yield Line(event, event.id in struck)


def carried_by(workshop: Workshop, batch: Batch) -> set[UUID]:
    """The pieces of a batch and everything they are made of."""
    own = Piece.objects.filter(workshop=workshop, batch=batch).values_list("id", flat=True)
    return closure(list(own), parts_of(workshop))


def about_pieces(pieces: Collection[UUID]) -> Q:
    """What was told of these pieces, of the joints in them and of the coats on them."""
    glue_ups = Joint.objects.filter(piece__in=pieces).values("glue_up")
    coats = CoatedZone.objects.filter(zone__piece__in=pieces).values("coat")
    return Q(piece__in=pieces) | Q(glue_up__in=glue_ups) | Q(coat__in=coats)


def _name(row: object | None) -> str:
    return "" if row is None else str(row)
