"""What has to follow when a happening is struck out, or set aside for another."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from datetime import datetime
from uuid import UUID

from django.db.models import Q

from cureclock.shop.air import Told, versions_of
from cureclock.shop.doubting import RULING, doubted_between
from cureclock.shop.models import (
    AirVersion,
    BelievedVersion,
    Coat,
    Container,
    Event,
    GlueUp,
    Hold,
    MadeFrom,
    OffsetVersion,
    Reading,
    Sensor,
)
from cureclock.shop.sensing import sensing_of
from cureclock.shop.striking import Struck
from cureclock.shop.swaps import swaps_of
from cureclock.waits.coating import coats_under
from cureclock.waits.reread import Change
from cureclock.waits.subjects import coats_on, glue_ups_in, holds_on

# Of what is told of a piece alone, what its waits hang on; the rest is only read.
MOVES = ("moved_place", "piece_lost", "records_swapped")
HOLDS = ("hold_on", "hold_off")
LINKS = ("pieces_made", "made_from", "records_swapped", "piece_lost")


@dataclass(frozen=True)
class Concerned:
    """Subjects to settle and places to read anew.

    Attributes:
        pieces: whose links and contradictions are looked at again.
        swapped: whose records change sides.
        opened: a material taken from another container, and when.
    """

    glue_ups: list[GlueUp] = field(default_factory=list)
    coats: list[Coat] = field(default_factory=list)
    holds: list[Hold] = field(default_factory=list)
    changes: list[Change] = field(default_factory=list)
    pieces: set[UUID] = field(default_factory=set)
    swapped: set[UUID] = field(default_factory=set)
    opened: tuple[UUID, datetime] | None = None


def concerned(target: Struck) -> Concerned:
    """Subjects and places that a happening concerned, asked before it is struck."""
    if target.reading is not None:
        read = target.reading.struck_by is None and target.place is not None
        changes = [Change(target.place, removed=[Told.of(target.reading)])] if read else []  # type: ignore[arg-type]
        return Concerned(changes=changes)
    assert target.event is not None
    first = _first(target.event)
    swaps = swaps_of(first.workshop_id)
    about = swaps.mixed(_pieces(first))
    moved = about if first.kind in (*MOVES, *LINKS) else set()
    coats = [target.coat, *coats_under(target.coat)] if target.coat else []
    coats += coats_on(about) if first.kind in (*MOVES, *LINKS, *HOLDS) else []
    holds = holds_on(about) if first.kind in (*MOVES, *LINKS, *HOLDS) else []
    return Concerned(
        glue_ups=[target.glue_up] if target.glue_up else glue_ups_in(moved),
        coats=list({coat.id: coat for coat in coats}.values()),
        holds=holds,
        changes=_air_changes(target) if target.place is not None else [],
        pieces=about,
        swapped=about if first.kind == "records_swapped" else set(),
        opened=_opened(first),
    )


def _opened(event: Event) -> tuple[UUID, datetime] | None:
    if event.kind == "label_read":
        return UUID(event.body["material"]), event.happened_at
    if event.kind == "container_opened":
        container = Container.objects.get(id=event.body["container"])
        return container.material_id, event.happened_at
    return None


def _first(event: Event) -> Event:
    """What a strike of a strike, and so on, comes down to."""
    while event.strikes is not None:
        struck = Event.objects.filter(id=event.strikes).first()
        if struck is None:
            break
        event = struck
    return event


def _pieces(event: Event) -> set[UUID]:
    """The pieces that a happening speaks of by themselves."""
    found = {event.piece_id} if event.piece_id else set()
    if event.kind == "records_swapped":
        found |= {UUID(event.body["first"]), UUID(event.body["second"])}
    return found | set(_linked(event))


def _linked(event: Event) -> Collection[UUID]:
    if event.kind not in ("pieces_made", "made_from"):
        return ()
    links = MadeFrom.objects.filter(event=event.id).values_list("whole_id", "part_id")
    made = [UUID(one["id"]) for one in event.body.get("pieces", ())]
    return {*made, *(end for pair in links for end in pair)}


def _air_changes(target: Struck) -> list[Change]:
    """The air a struck event spoke of: what it said, or what the strike it undoes took away."""
    assert target.place is not None
    restored = Reading.objects.filter(struck_by=target.id).select_related("place__workshop")
    if restored:
        return [Change(target.place, added=[Told.of(row) for row in restored])]
    return [*_said_of_air(target), *_said_of_sensors(target), *_ruled(target)]


def _said_of_air(target: Struck) -> Iterable[Change]:
    assert target.place is not None
    version = AirVersion.objects.filter(Q(id=target.id) | Q(struck_by=target.id)).first()
    if version is not None:
        yield Change(target.place, earlier=versions_of(target.place), since=version.since)


def _said_of_sensors(target: Struck) -> Iterable[Change]:
    """An offset, or which sensor is believed."""
    assert target.place is not None
    for versions in (OffsetVersion, BelievedVersion):
        rows = versions._default_manager.filter(Q(id=target.id) | Q(struck_by=target.id))
        since = rows.values_list("since", flat=True).first()
        if since is not None:
            yield Change(target.place, sensing=sensing_of(target.place), since=since)


def _ruled(target: Struck) -> Iterable[Change]:
    """A ruling on flagged readings, or what the strike it undoes took away."""
    assert target.event is not None
    assert target.place is not None
    ruling = _first(target.event)
    if ruling.kind != RULING:
        return
    sensor = Sensor.objects.get(id=ruling.body["sensor"])
    since, until = (datetime.fromisoformat(ruling.body[end]) for end in ("since", "until"))
    rows = doubted_between(sensor, since, until)
    if rows:
        yield Change(target.place, added=rows, removed=rows)
