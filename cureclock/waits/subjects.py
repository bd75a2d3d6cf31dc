"""One subject's estimates, made anew from all its events, whatever their order of arrival."""

from collections.abc import Collection, Iterable, Sequence
from datetime import datetime
from typing import TypedDict
from uuid import UUID

from django.db.models import Q, QuerySet

from cureclock.shop.conflicts import keep_conflicts
from cureclock.shop.glue_history import JointHistory
from cureclock.shop.lineage import above, below, closure
from cureclock.shop.models import Coat, Event, GlueUp, Hold, Workshop
from cureclock.shop.piece_conflicts import piece_contradictions
from cureclock.waits.ages import Ages
from cureclock.waits.coating import coat_story, coats_under, plan_zones
from cureclock.waits.held import plan_hold
from cureclock.waits.joints import glue_story, plan_joints
from cureclock.waits.models import Seen, Wait
from cureclock.waits.planned import PlannedWait, begun_at
from cureclock.waits.questions import ask_about_coat
from cureclock.waits.reread import Change, Reread
from cureclock.waits.seen import Subject, Taught, keep_seen, leg_began
from cureclock.waits.settle import write
from cureclock.waits.suspect import assess


class Apart(TypedDict):
    """Subjects to settle."""

    glue_ups: list[GlueUp]
    coats: list[Coat]
    holds: list[Hold]


def settle_glue_up(glue_up: GlueUp, at: datetime, ages: Ages | None = None) -> None:
    """Waits, gates, suspicions and conflicts of a glue-up, in step with its events.

    Args:
        glue_up: the glue-up.
        at: now.
        ages: facts of its places over all its time, where they are at hand.
    """
    story = glue_story(glue_up)
    planned = plan_joints(story)
    joints = {joint.joint.id: joint for joint in story.joints}
    _settle(planned, Wait.objects.filter(glue_up=glue_up), joints, at, ages)
    keep_conflicts(glue_up.workshop, {glue_up.id: story.contradictions})
    _teach(Subject(glue_up, story.label, planned, story.told), at, ages)


def settle_coat(coat: Coat, at: datetime, ages: Ages | None = None) -> None:
    """Waits, gates, suspicions and conflicts of a coat, in step with its events."""
    story = coat_story(coat)
    planned = plan_zones(story)
    _settle(planned, Wait.objects.filter(coat=coat), {}, at, ages)
    ask_about_coat(story)
    for other in coats_under(coat):  # what was told of this one may answer what is asked of it
        ask_about_coat(coat_story(other))
    _teach(Subject(coat, story.label, planned, story.told), at, ages)


def _teach(subject: Subject, at: datetime, ages: Ages | None) -> None:
    """What was seen of a subject, and the waits begun since that it times anew."""
    began = begun_at(subject.planned)
    for change in keep_seen(subject, ages or Ages(began or at, at)):
        learn_again(change, at, but=subject.of.id)


def learn_again(change: Taught, at: datetime, but: UUID | None = None) -> None:
    """Settle what was begun in a place with a material since something else is learned of it.

    Args:
        change: of which material, where, from when on.
        at: now.
        but: a glue-up or coat that is settled already.
    """
    later = Wait.objects.filter(label__material=change.material, began_at__gt=change.since)
    later = later.exclude(Q(glue_up=but) | Q(coat=but)) if but else later
    glue_ups = later.filter(glue_up__place=change.place).values("glue_up")
    related = ("workshop", "label", "place__workshop")
    for glue_up in GlueUp.objects.filter(id__in=glue_ups).select_related(*related):
        settle_glue_up(glue_up, at)
    coats = later.filter(coat__place=change.place).values("coat")
    for coat in Coat.objects.filter(id__in=coats).select_related(*related):
        settle_coat(coat, at)


def see_again(change: Change, at: datetime) -> None:
    """Count anew what was seen of anything that stands on air that is known better now."""
    place = change.place
    seen = Seen.objects.filter(workshop=place.workshop_id)
    if not seen.exists():
        return
    seen = seen.filter(at__gt=leg_began(change))
    glue_ups = seen.filter(glue_up__waits__legs__place=place).values("glue_up")
    coats = seen.filter(coat__waits__legs__place=place).values("coat")
    related = ("workshop", "label", "place__workshop")
    for subject in _subjects(
        GlueUp.objects.filter(id__in=glue_ups).select_related(*related),
        Coat.objects.filter(id__in=coats).select_related(*related),
    ):
        _teach(subject, at, None)


def settle_turned(rereads: Iterable[Reread], at: datetime) -> None:
    """Settle the glue-ups whose wood goes on on other clocks since a place was read."""
    turned = {glue_up for one in rereads for glue_up in one.turned}
    if not turned:
        return
    related = ("workshop", "label", "place__workshop")
    for glue_up in GlueUp.objects.filter(id__in=turned).select_related(*related):
        settle_glue_up(glue_up, at)


def see_all(glue_ups: QuerySet[GlueUp], coats: QuerySet[Coat], ages: Ages) -> None:
    """Count all that was ever seen of these, before any of them is settled."""
    told = Event.objects.filter(kind__in=("checked", "witness"))
    for subject in _subjects(
        glue_ups.filter(id__in=told.values("glue_up")), coats.filter(id__in=told.values("coat"))
    ):
        keep_seen(subject, ages)


def _subjects(glue_ups: Iterable[GlueUp], coats: Iterable[Coat]) -> Iterable[Subject]:
    for glue_up in glue_ups:
        joints = glue_story(glue_up)
        yield Subject(glue_up, joints.label, plan_joints(joints), joints.told)
    for coat in coats:
        zones = coat_story(coat)
        yield Subject(coat, zones.label, plan_zones(zones), zones.told)


def opened_again(material: UUID, since: datetime, at: datetime) -> None:
    """A container was opened, or was not after all: what was begun since is trusted anew."""
    rows = Seen.objects.filter(material=material, at__lt=at).order_by()
    for place in set(rows.values_list("place", flat=True)):
        learn_again(Taught(material, place, since), at)


def settle_hold(hold: Hold, at: datetime, ages: Ages | None = None) -> None:
    """The wait and gates of a hold, in step with its events."""
    _settle(plan_hold(hold), Wait.objects.filter(hold=hold), {}, at, ages)


def settle_pieces(workshop: Workshop, pieces: Collection[UUID]) -> None:
    """Which links of these pieces count, and what contradicts in what was told of them."""
    keep_conflicts(workshop, piece_contradictions(workshop, pieces))


def _settle(
    planned: Sequence[PlannedWait],
    own: QuerySet[Wait],
    stories: dict[UUID, JointHistory],
    at: datetime,
    ages: Ages | None,
) -> None:
    """Write the waits of one subject and find what is suspect about them."""
    stale = list(own.all())
    began = [wait.began for wait in planned] + [wait.began_at for wait in stale]
    if not began:
        return
    ages = ages or Ages(min(began), at)
    write(planned, stale, ages)
    assess(list(own.all().select_related("label")), stories, ages)


def glue_ups_in(pieces: Collection[UUID]) -> list[GlueUp]:
    """Glue-ups with a joint on one of these pieces, or on any part of one."""
    parts = closure(pieces, below(pieces))
    rows = GlueUp.objects.filter(joints__piece__in=parts).distinct()
    return list(rows.select_related("workshop", "place__workshop", "label"))


def went_apart(workshop: Workshop, parts: Collection[UUID]) -> Apart:
    """What has to be settled anew when these were made into more: where any of their joints or
    coats went with a carrier of its own."""
    every = closure(parts, below(parts))
    carriers = closure(every, above(every))
    moves = Event.objects.filter(
        workshop=workshop, kind__in=("moved_place", "piece_lost"), piece__in=carriers
    )
    if not parts or not moves.exists():
        return Apart(glue_ups=[], coats=[], holds=[])
    return Apart(glue_ups=glue_ups_in(parts), coats=coats_on(parts), holds=holds_on(parts))


def coats_on(pieces: Collection[UUID]) -> list[Coat]:
    """Coats with a zone on one of these pieces, or on any part of one."""
    parts = closure(pieces, below(pieces))
    rows = Coat.objects.filter(coated__zone__piece__in=parts).distinct()
    return list(rows.select_related("workshop", "place__workshop", "label"))


def holds_on(pieces: Collection[UUID]) -> list[Hold]:
    """Holds on one of these pieces, or on any part of one."""
    parts = closure(pieces, below(pieces))
    rows = Hold.objects.filter(piece__in=parts)
    return list(rows.select_related("piece__workshop", "label", "place__workshop"))
