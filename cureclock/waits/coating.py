"""The waits of a coat, read from its events: one for each coated zone."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID, uuid5

from django.db.models import Q

from cureclock.core.gates import Gate, GateKind, Since
from cureclock.core.ladder import floor_c, ladder
from cureclock.shop.coat_history import ZoneHistory, fold_coat
from cureclock.shop.glue_history import Contradiction, members_of
from cureclock.shop.lineage import above, closure
from cureclock.shop.models import Coat, CoatedZone, Event, LabelVersion, Piece, Place
from cureclock.shop.record import label_of, stand, standing
from cureclock.shop.swaps import swaps_of
from cureclock.waits.carriers import Course, courses
from cureclock.waits.learned import Key, Lessons, margins, needs
from cureclock.waits.planned import PlannedGate, PlannedWait, begun_at, stays_of


@dataclass(frozen=True)
class CoatStory:
    """A coat as its events tell it: each zone's story, what contradicts, its label."""

    coat: Coat
    zones: Sequence[ZoneHistory]
    contradictions: Sequence[Contradiction]
    label: LabelVersion
    courses: Mapping[UUID, Sequence[Course]]
    told: Sequence[Event]


def coat_story(coat: Coat) -> CoatStory:
    """What happened to a coat, by all its events that stand."""
    coated = list(coat.coated.select_related("zone__piece"))
    pieces = {one.zone.piece_id for one in coated}
    wholes = above(pieces)
    swaps = swaps_of(coat.workshop)
    of_pieces = Q(glue_up=None, coat=None, piece__in=swaps.mixed(closure(pieces, wholes)))
    told = swaps.counted(standing(list(Event.objects.filter(Q(coat=coat) | of_pieces))))
    stories, found = fold_coat(coated, told)
    ways = {
        one.coated.zone_id: courses(
            one.coated.zone.piece_id, Course(None, tuple(one.moves), one.over_at), wholes, told
        )
        for one in stories
    }
    own = [event for event in told if event.coat_id == coat.id]
    return CoatStory(coat, stories, found, label_of(coat, told), ways, own)


def plan_zones(story: CoatStory) -> list[PlannedWait]:
    """The waits that a coat's zones should have."""
    label, on = story.label, _on(story)
    plain = _plan_all(story, on, dict.fromkeys(_numbers(story, on), ladder(label.label)))
    began = begun_at(plain)
    if began is None:
        return plain
    known = Lessons.of_key(label.material_id, story.coat.place_id)
    taught = {}
    for number in _numbers(story, on):
        key = Key(label.material_id, story.coat.place_id, number)
        lessons = known.before(key, label.label, began)
        taught[number] = ladder(label.label, margins=margins(lessons), learned_h=needs(lessons))
    return _plan_all(story, on, taught) if known.rows else plain


Laid = Mapping[UUID, Mapping[UUID, datetime]]  # when each coat was begun, by zone and coat


def _on(story: CoatStory) -> Laid:
    return lain_on(story.coat.workshop_id, [zone.coated.zone_id for zone in story.zones])


def _numbers(story: CoatStory, on: Laid) -> set[int]:
    return {_number(story.coat, zone.coated.zone_id, on) for zone in story.zones}


def _number(coat: Coat, zone: UUID, on: Laid) -> int:
    """Which coat on its zone this is: 1 for the first."""
    laid = on.get(zone, {})
    began = laid.get(coat.id)
    if began is None:
        return 1
    return 1 + sum((at, str(other)) < (began, str(coat.id)) for other, at in laid.items())


def _plan_all(story: CoatStory, on: Laid, gates: Mapping[int, Sequence[Gate]]) -> list[PlannedWait]:
    every = [course for own in story.courses.values() for course in own]
    moved_to = {place_id for course in every for _, place_id in course.moves}
    places = Place.objects.select_related("workshop").in_bulk(moved_to)
    carriers = Piece.objects.in_bulk({one.carrier for one in every if one.carrier is not None})
    later = recoated(story.coat, on)
    planned = [
        _plan_zone(
            story,
            zone,
            course,
            number=(number := _number(story.coat, zone.coated.zone_id, on)),
            gates=gates[number],
            places=places,
            carriers=carriers,
            later=later.get(zone.coated.zone_id),
        )
        for zone in story.zones
        for course in story.courses[zone.coated.zone_id]
    ]
    return [wait for wait in planned if wait is not None]


def coats_under(coat: Coat) -> list[Coat]:
    """Earlier coats on the zones of this one: what waits on them is over."""
    zones = coat.coated.values("zone")
    others = Coat.objects.filter(coated__zone__in=zones).exclude(pk=coat.pk).distinct()
    return list(others.select_related("workshop", "place__workshop", "label"))


def recoated(coat: Coat, on: Laid) -> dict[UUID, datetime]:
    """When each zone got its next coat, for those that did."""
    found: dict[UUID, datetime] = {}
    for zone, coats in on.items():
        began = coats.get(coat.id)
        if began is not None:
            after = [at for other, at in coats.items() if other != coat.id and at > began]
            if after:
                found[zone] = min(after)
    return found


def lain_on(workshop: UUID, zones: Sequence[UUID]) -> dict[UUID, dict[UUID, datetime]]:
    """When each coat was begun on each of these zones, by zone and coat, as it stands."""
    rows = CoatedZone.objects.filter(zone__in=zones, coat__workshop=workshop)
    pairs = list(rows.values_list("coat_id", "zone_id"))
    kinds = ("coat_began", "coat_ended", "added_late", "taken_out")
    events = Event.objects.filter(coat__in={coat for coat, _ in pairs}, kind__in=kinds)
    told: dict[UUID, list[Event]] = {}
    for event in swaps_of(workshop).counted(stand(events)):
        if event.coat_id is not None:
            told.setdefault(event.coat_id, []).append(event)
    members = {coat: members_of(own, "zones", "coat_began") for coat, own in told.items()}
    found: dict[UUID, dict[UUID, datetime]] = {}
    for coat, zone in pairs:
        if coat in told and str(zone) not in members[coat].out:
            since = members[coat].since(str(zone)) or told[coat][0].happened_at
            found.setdefault(zone, {})[coat] = since
    return found


def _plan_zone(
    story: CoatStory,
    one: ZoneHistory,
    course: Course,
    *,
    number: int,
    gates: Sequence[Gate],
    places: Mapping[UUID, Place],
    carriers: Mapping[UUID, Piece],
    later: datetime | None,
) -> PlannedWait | None:
    zone = one.coated.zone
    over_at = min((end for end in (course.over_at, later) if end is not None), default=None)
    over = over_at is not None
    planned = [
        PlannedGate(gate, began, over or _answered(gate.kind, one))
        for gate in gates
        if (began := _began(gate.kind, one)) is not None
    ]
    if not planned:
        return None
    first = min(gate.began for gate in planned)
    moves = [(moved_at, places[place_id]) for moved_at, place_id in course.moves]
    apart = "" if course.carrier is None else f"{course.carrier} "
    return PlannedWait(
        id=uuid5(story.coat.id, f"{zone.id} {apart}wait"),
        piece=zone.piece if course.carrier is None else carriers[course.carrier],
        label=story.label,
        stays=stays_of(story.coat.place, first, moves, over_at),
        gates=planned,
        floor_c=floor_c(story.label.label),
        open=not over,
        between=one.between,
        coat_number=number,
        coat=story.coat,
        zone=zone,
    )


def _answered(kind: GateKind, story: ZoneHistory) -> bool:
    """Whether the act a closing gate asks for is done: wiped off, or scuffed once it is shut."""
    if kind.key == "recoat_closes":
        return story.scuffed_at is not None
    return kind.key == "wipe_off" and story.wiped_at is not None


def _began(kind: GateKind, story: ZoneHistory) -> datetime | None:
    """The happening a gate counts from, None while it has not been told."""
    return {Since.BEGAN: story.began_at, Since.ENDED: story.last_act_at}.get(kind.since)
