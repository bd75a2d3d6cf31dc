"""What was begun and waits for nothing yet: a coat going on, a glue-up whose label has no open time."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Prefetch, Q

from cureclock.shop.models import Coat, CoatedZone, Event, GlueUp, Joint, Piece, Workshop
from cureclock.shop.record import standing
from cureclock.waits.line import Line
from cureclock.waits.shown import GroupShown, MaterialShown, PieceTag, Thing

LOOKED_BACK = timedelta(days=2)  # longer nobody spreads or coats; our choice
STATES = {
    "spread_began": "spreading",
    "closed": "closed",
    "pressure_on": "pressed",
    "coat_began": "coating",
    "coat_paused": "paused",
    "coat_resumed": "coating",
}
ENDS = ("clamps_off", "joint_opened", "coat_ended", "coat_stripped", "piece_lost")


@dataclass(frozen=True)
class Begun:
    """A glue-up or coat with nothing waiting on it, its pieces, and what was last done."""

    subject: GlueUp | Coat
    pieces: Sequence[Piece]
    began_at: datetime
    state: str


def begun(workshop: Workshop, at: datetime) -> list[Begun]:
    """What was begun lately, is not ended, and has no gate that runs."""
    lately = Q(workshop=workshop, waits=None, made_at__gte=at - LOOKED_BACK)
    related = ("label__material", "place")
    glue_ups = GlueUp.objects.filter(lately).select_related(*related)
    coats = Coat.objects.filter(lately).select_related(*related)
    joints = Joint.objects.select_related("piece")
    coated = CoatedZone.objects.select_related("zone__piece")
    pieces: dict[UUID, list[Piece]] = {}
    subjects: list[GlueUp | Coat] = []
    for glue_up in glue_ups.prefetch_related(Prefetch("joints", joints)):
        subjects.append(glue_up)
        pieces[glue_up.id] = [joint.piece for joint in glue_up.joints.all()]
    for coat in coats.prefetch_related(Prefetch("coated", coated)):
        subjects.append(coat)
        pieces[coat.id] = [one.zone.piece for one in coat.coated.all()]
    told = _told(subjects)
    return [
        Begun(subject, pieces[subject.id], acts[0].happened_at, STATES[acts[-1].kind])
        for subject in subjects
        if (acts := told.get(subject.id))
    ]


def _told(subjects: Sequence[GlueUp | Coat]) -> dict[UUID, list[Event]]:
    """The acts told of each subject, in order of time; nothing of those that are ended."""
    ids = [subject.id for subject in subjects]
    kinds = (*STATES, *ENDS, "struck_out")
    rows = Event.objects.filter(Q(glue_up__in=ids) | Q(coat__in=ids), kind__in=kinds)
    found: dict[UUID, list[Event]] = {}
    ended = set()
    for event in standing(list(rows)):
        subject = event.glue_up_id or event.coat_id
        if subject is not None and event.kind in STATES:
            found.setdefault(subject, []).append(event)
        elif event.kind in ENDS:
            ended.add(subject)
    return {ident: acts for ident, acts in found.items() if ident not in ended}


def begun_shown(one: Begun) -> GroupShown:
    """It as a group, without a gate."""
    subject = one.subject
    material = subject.label.material
    pieces = {piece.id: PieceTag(piece.id, piece.tag) for piece in one.pieces}
    return GroupShown(
        id=subject.id,
        kind="coat" if isinstance(subject, Coat) else "glue_up",
        name=subject.name,
        material=MaterialShown(material.id, material.name, subject.label_id),
        place=Thing(subject.place.id, subject.place.name),
        pieces=tuple(pieces.values()),
        began_at=one.began_at,
        state=one.state,
        stays=(),
        gates=(),
        next=None,
        suspect=(),
        cleared=(),
        foretold=(),
        unsure=(),
    )


def going_on(shown: Iterable[GroupShown]) -> Iterable[Line]:
    """Coats to be ended, and glue-ups without a limit of their own to be pressed."""
    for group in shown:
        coat = group.state in ("coating", "paused")
        if coat or (group.state in ("spreading", "closed") and not group.gates):
            yield Line(
                act="end_coat" if coat else "press",
                group=group.id,
                name=group.name,
                pieces=tuple(piece.tag for piece in group.pieces),
                place=group.place.name,
                place_id=group.place.id,
                at=group.began_at,
                until=None,
                reason=group.state,
            )
