"""The view: everything a phone keeps, so that it stays useful without a signal."""

from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from cureclock.api.schema import documented
from cureclock.api.shop_told import (
    BatchTold,
    ConflictTold,
    MaterialTold,
    Me,
    WorkshopTold,
    batches_told,
    conflicts_told,
    material_told,
    me,
    newest_labels,
    open_conflicts,
    workshop_told,
)
from cureclock.api.told import as_told
from cureclock.api.who import teller_of
from cureclock.shop.happening import Teller
from cureclock.waits.air_shown import PlaceShown, place_shown
from cureclock.waits.begun import begun, begun_shown
from cureclock.waits.current import current
from cureclock.waits.foretold import Foresight
from cureclock.waits.groups import group_shown, groups_of
from cureclock.waits.learned import Lessons
from cureclock.waits.line import NowList
from cureclock.waits.now_list import now_list
from cureclock.waits.offsets import OffsetTable, offset_tables
from cureclock.waits.pieces import HoldShown, PieceShown, pieces_shown
from cureclock.waits.shown import GroupShown
from cureclock.waits.taught import learned_of, starts_learned
from cureclock.waits.wood_recorded import wood_recorded

FORM = "1"  # raised when a field comes to mean something else; new fields do not raise it


@dataclass(frozen=True)
class View:
    """Everything a phone keeps."""

    now: datetime
    version: str
    me: Me
    workshop: WorkshopTold
    places: tuple[PlaceShown, ...]
    materials: tuple[MaterialTold, ...]
    pieces: tuple[PieceShown, ...]
    batches: tuple[BatchTold, ...]
    groups: tuple[GroupShown, ...]
    now_list: NowList
    holds: tuple[HoldShown, ...]
    conflicts: tuple[ConflictTold, ...]
    offsets: tuple[OffsetTable, ...]


class ViewView(APIView):
    """What the phone shows, now and until it is heard of again."""

    @documented(View)
    def get(self, request: Request) -> Response:
        """The whole view, worked out for this instant."""
        return Response(as_told(view(teller_of(request), timezone.now())))


def view(teller: Teller, at: datetime) -> View:
    """The view of a workshop at an instant, by a number of queries that does not grow with it."""
    workshop = teller.workshop
    found = current(workshop, at)
    foresight = Foresight(found.ages)
    groups = groups_of(found)
    shown = {group.id: group_shown(found, foresight, group) for group in groups}
    shown |= {one.subject.id: begun_shown(one) for one in begun(workshop, at)}
    places = list(found.places.values())
    versions = newest_labels(workshop)
    labels = [(version.id, version.label) for version in versions]
    pieces = pieces_shown(workshop)
    lessons = Lessons.of_workshop(workshop.id)
    conflicts = open_conflicts(workshop)
    recorded = wood_recorded(workshop, at)
    return View(
        now=at,
        version=FORM,
        me=me(teller),
        workshop=workshop_told(workshop),
        places=tuple(place_shown(place, found.ages, at) for place in places),
        materials=tuple(
            material_told(version, label, learned_of(lessons, version, label, places, at))
            for version, (_, label) in zip(versions, labels, strict=True)
        ),
        pieces=pieces.pieces,
        batches=batches_told(workshop),
        groups=tuple(shown.values()),
        now_list=now_list(found, groups, shown, conflicts),
        holds=pieces.holds,
        conflicts=conflicts_told(conflicts),
        offsets=offset_tables(
            labels,
            places,
            found.ages,
            foresight,
            at,
            learned=starts_learned(lessons, versions, places, at),
            recorded={version.id: recorded.get(version.material_id, ()) for version in versions},
        ),
    )
