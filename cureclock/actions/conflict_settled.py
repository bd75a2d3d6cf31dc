"""Somebody settles a conflict between happenings, by name."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.set_aside import set_aside
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.models import Conflict, Event, Workshop
from cureclock.shop.record import append
from cureclock.shop.refusals import OtherBody, Refusal


@dataclass(frozen=True)
class ConflictSettled:
    """Which conflict, how it really was, and which of the two happenings counts."""

    conflict: UUID
    how: str = ""
    counts: UUID | None = None  # none named: both stand


@verb("conflict_settled", ConflictSettled)
def conflict_settled(happening: Happening, said: ConflictSettled) -> Done:
    """Both tellings stay in the log; the one that does not count is as if never told."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        about, loser = _asked(workshop, happening, said)
        target = find.happening(workshop, loser) if loser else None
        subject = find.subject(workshop, about)
        event, new = append(
            happening,
            "conflict_settled",
            {**plain(said), "about": str(about)},
            glue_up=target.glue_up if target else subject.glue_up,
            coat=target.coat if target else subject.coat,
            piece=target.piece if target else subject.piece,
            place=target.place if target else None,
            lot=target.lot if target else None,
            strikes=loser,
        )
        if new and target is not None:
            set_aside(workshop, target, happening.arrived_at)
        if new:
            follow(
                workshop,
                happening.arrived_at,
                pieces=[subject.piece.id] if subject.piece else [],
                glue_ups=[subject.glue_up] if subject.glue_up else [],
                coats=[subject.coat] if subject.coat else [],
            )
    return Done(event.id, new)


def _asked(
    workshop: Workshop, happening: Happening, said: ConflictSettled
) -> tuple[UUID, UUID | None]:
    """What it is about, and which happening does not count; of a repeat, as it was told first."""
    before = Event.objects.filter(workshop=workshop, id=happening.id).first()
    if before is not None:
        if before.kind != "conflict_settled":
            raise OtherBody
        return UUID(before.body["about"]), before.strikes
    conflict = find.conflict(workshop, said.conflict)
    return conflict.about, _loser(conflict, said.counts)


def _loser(conflict: Conflict, counts: UUID | None) -> UUID | None:
    """The happening that does not count, where one of the two was chosen."""
    if counts is None:
        return None
    if counts not in (conflict.first, conflict.second):
        raise Refusal("counts", "is neither of the two", "name one of them, or none")
    return conflict.second if counts == conflict.first else conflict.first
