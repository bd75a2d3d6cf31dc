"""The topmost film on each zone of many pieces, loaded in a few queries."""

from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from cureclock.core.clock import NEVER
from cureclock.core.coat.may import Film, ZoneState
from cureclock.shop.models import Coat, CoatedZone, Event, LabelVersion, Place, Workshop, Zone
from cureclock.shop.record import stand
from cureclock.waits.may.instants import acting_us
from cureclock.waits.models import Clock, Gate, Suspicion

GOES_ON = timedelta(days=2)  # longer nobody coats; our choice
FIELDS = {
    "handle": "handle_us",
    "recoat_opens": "recoat_us",
    "recoat_closes": "shut_us",
    "sand": "sand_us",
    "wrap": "wrap_us",
    "full_cure": "cured_us",
}
DRIES = ("dust_free", "touch", *FIELDS)  # gates that run once a coat is done


@dataclass(frozen=True, slots=True)
class FilmGate:
    """One running gate of a coated zone."""

    wait: UUID
    zone: UUID
    kind: str
    label: UUID
    stay_at: datetime
    act_us: int | None
    act_clock: int | None
    placed: int
    over: bool


@dataclass
class Films:
    """Zones with their films.

    Attributes:
        zones: by piece, in the order of their names.
        labels: of which finish the topmost film on a zone is.
    """

    zones: dict[UUID, list[tuple[UUID, ZoneState]]] = field(default_factory=dict)
    labels: dict[UUID, UUID] = field(default_factory=dict)
    families: dict[UUID, str] = field(default_factory=dict)


def films_on(workshop: Workshop, pieces: Collection[UUID], at: datetime) -> Films:
    """The zones of these pieces with the topmost film on each."""
    found = Films()
    gates = _gates(workshop, pieces)
    times = acting_us(gates, _clocks(workshop), at)
    wet = _going_on(workshop, pieces, at)
    suspect = _suspect(pieces)
    films: dict[UUID, dict[str, Any]] = {}
    for gate, us in zip(gates, times, strict=True):
        told = films.setdefault(gate.zone, {"wet": True, "suspect": suspect.get(gate.wait, "")})
        found.labels[gate.zone] = gate.label
        if gate.kind in DRIES:
            told["wet"] = False
        if gate.kind == "recoat_closes" and gate.over:
            told["scuffed"] = True
        if gate.kind in FIELDS:
            told[FIELDS[gate.kind]] = max(us, told.get(FIELDS[gate.kind], -NEVER))
    for zone in Zone.objects.filter(piece__in=pieces, struck_by=None).order_by("name", "id"):
        told = films.get(zone.id, {"wet": True} if zone.id in wet else {})
        film = Film(**told) if told else None
        state = ZoneState(zone.name, zone.keep_bare, film)
        found.zones.setdefault(zone.piece_id, []).append((zone.id, state))
    rows = LabelVersion.objects.filter(id__in=set(found.labels.values()))
    found.families = dict(rows.values_list("id", "material__family"))
    return found


def _gates(workshop: Workshop, pieces: Collection[UUID]) -> list[FilmGate]:
    """The running gates of open coats on zones of these pieces."""
    rows = Gate.objects.filter(
        workshop=workshop, wait__open=True, wait__coat__isnull=False, wait__zone__piece__in=pieces
    )
    told = rows.values_list(
        "wait_id",
        "wait__zone_id",
        "kind",
        "wait__label_id",
        "stay_at",
        "act_us",
        "act_clock_id",
        "placed",
        "state",
    )
    return [FilmGate(*row[:-1], over=row[-1] == Gate.State.OVER) for row in told]


def _clocks(workshop: Workshop) -> dict[int, Clock]:
    places = {place.id: place for place in Place.objects.filter(workshop=workshop)}
    clocks = {row.pk: row for row in Clock.objects.filter(workshop=workshop)}
    for place in places.values():
        place.workshop = workshop
    for row in clocks.values():
        row.place = places[row.place_id]
    return clocks


def _suspect(pieces: Collection[UUID]) -> dict[UUID, str]:
    rows = Suspicion.objects.filter(cleared_by=None, wait__open=True, wait__zone__piece__in=pieces)
    return dict(rows.order_by("-at").values_list("wait_id", "cause"))


def _going_on(workshop: Workshop, pieces: Collection[UUID], at: datetime) -> set[UUID]:
    """Zones of these pieces in a coat that was begun and is not ended."""
    lately = Coat.objects.filter(workshop=workshop, made_at__gte=at - GOES_ON)
    kinds = ("coat_began", "coat_ended", "coat_stripped")
    told = stand(Event.objects.filter(coat__in=lately, kind__in=kinds))
    begun = {event.coat_id for event in told if event.kind == "coat_began"}
    ended = {e.coat_id for e in told if e.kind != "coat_began" and "zones" not in e.body}
    zones = CoatedZone.objects.filter(coat__in=begun - ended, zone__piece__in=pieces)
    return set(zones.values_list("zone_id", flat=True))
