"""The waits of a coat, read from its events: one for each coated zone."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID, uuid5

from django.db.models import Q

from cureclock.core.gates import Gate, GateKind, Since
from cureclock.core.ladder import floor_c, ladder
from cureclock.shop.coat_history import ZoneHistory, fold_coat
from cureclock.shop.glue_history import Contradiction
from cureclock.shop.models import Coat, CoatedZone, Event, LabelVersion, Place
from cureclock.shop.record import label_of, standing
from cureclock.waits.planned import PlannedGate, PlannedWait, stays_of


@dataclass(frozen=True)
class CoatStory:
    """A coat as its events tell it: each zone's story, what contradicts, its label."""

    coat: Coat
    zones: Sequence[ZoneHistory]
    contradictions: Sequence[Contradiction]
    label: LabelVersion


def coat_story(coat: Coat) -> CoatStory:
    """What happened to a coat, by all its events that stand."""
    coated = list(coat.coated.select_related("zone__piece"))
    pieces = {one.zone.piece_id for one in coated}
    of_pieces = Q(glue_up=None, coat=None, piece__in=pieces)
    told = standing(list(Event.objects.filter(Q(coat=coat) | of_pieces)))
    stories, found = fold_coat(coated, told)
    return CoatStory(coat, stories, found, label_of(coat, told))


def plan_zones(story: CoatStory) -> list[PlannedWait]:
    """The waits that a coat's zones should have."""
    gates = ladder(story.label.label)
    moved_to = {place_id for zone in story.zones for _, place_id in zone.moves}
    places = Place.objects.select_related("workshop").in_bulk(moved_to)
    later = recoated(story.coat, [zone.coated for zone in story.zones])
    planned = [_plan_zone(story, zone, gates, places, later) for zone in story.zones]
    return [wait for wait in planned if wait is not None]


def coats_under(coat: Coat) -> list[Coat]:
    """Earlier coats on the zones of this one: what waits on them is over."""
    zones = coat.coated.values("zone")
    others = Coat.objects.filter(coated__zone__in=zones).exclude(pk=coat.pk).distinct()
    return list(others.select_related("workshop", "place__workshop", "label"))


def recoated(coat: Coat, coated: Sequence[CoatedZone]) -> dict[UUID, datetime]:
    """When each zone got its next coat, for those that did."""
    began = _began_at(coat)
    if began is None:
        return {}
    others = CoatedZone.objects.filter(zone__in=[one.zone_id for one in coated]).exclude(coat=coat)
    found: dict[UUID, datetime] = {}
    for other in others.select_related("coat"):
        at = _began_at(other.coat)
        if at is not None and at > began:
            found[other.zone_id] = min(at, found.get(other.zone_id, at))
    return found


def _began_at(coat: Coat) -> datetime | None:
    struck = Event.objects.filter(strikes__isnull=False, coat=coat).values("strikes")
    kinds = ("coat_began", "coat_ended")
    told = Event.objects.filter(coat=coat, kind__in=kinds).exclude(id__in=struck)
    return told.order_by("happened_at").values_list("happened_at", flat=True).first()


def _plan_zone(
    story: CoatStory,
    one: ZoneHistory,
    gates: Sequence[Gate],
    places: dict[UUID, Place],
    later: dict[UUID, datetime],
) -> PlannedWait | None:
    zone = one.coated.zone
    ends = [end for end in (one.over_at, later.get(zone.id)) if end is not None]
    over_at = min(ends, default=None)
    over = over_at is not None
    planned = [
        PlannedGate(gate, began, over or (gate.kind.key == "wipe_off" and one.wiped_at is not None))
        for gate in gates
        if (began := _began(gate.kind, one)) is not None
    ]
    if not planned:
        return None
    first = min(gate.began for gate in planned)
    moves = [(moved_at, places[place_id]) for moved_at, place_id in one.moves]
    return PlannedWait(
        id=uuid5(story.coat.id, f"{zone.id} wait"),
        piece=zone.piece,
        label=story.label,
        stays=stays_of(story.coat.place, first, moves, over_at),
        gates=planned,
        floor_c=floor_c(story.label.label),
        open=not over,
        between=one.between,
        coat=story.coat,
        zone=zone,
    )


def _began(kind: GateKind, story: ZoneHistory) -> datetime | None:
    """The happening a gate counts from, None while it has not been told."""
    return {Since.BEGAN: story.began_at, Since.ENDED: story.last_act_at}.get(kind.since)
