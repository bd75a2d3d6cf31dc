"""A temporary bond goes on: tape, hot-melt, a paper joint, a waste block."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.models import Hold
from cureclock.shop.reattribute import keep_straight
from cureclock.shop.record import append
from cureclock.shop.refusals import OtherBody, Refusal
from cureclock.shop.swaps import swaps_of
from cureclock.waits.subjects import coats_on


@dataclass(frozen=True)
class HoldOn:
    """What holds on which piece, and the act it must be off before."""

    hold: UUID
    piece: UUID
    what: str
    off_before: str = ""
    label: UUID | None = None  # what it is made with: it then has a clock of its own
    place: UUID | None = None
    zone: UUID | None = None  # the end it holds


@verb("hold_on", HoldOn)
def hold_on(happening: Happening, said: HoldOn) -> Done:
    """It stays on the piece's record until somebody says it is off."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        piece = find.piece(workshop, said.piece)
        label = find.label(workshop, said.label) if said.label else None
        if label is not None and label.label.role != "hold":
            raise Refusal("label", f"{label.material.name} is no hold", "tell it as a glue-up")
        what = {
            "piece": piece,
            "what": said.what,
            "off_before": said.off_before,
            "label": label,
            "place": find.place(workshop, said.place) if said.place else None,
            "zone": find.zones(workshop, [said.zone])[0] if said.zone else None,
        }
        hold, _ = Hold.objects.get_or_create(id=said.hold, defaults=what)
        if hold.piece_id not in swaps_of(workshop).mixed([piece.id]):
            raise OtherBody
        event, new = append(happening, "hold_on", plain(said), piece=piece)
        if new:
            keep_straight(workshop, [piece.id])
            held = find.hold(workshop, hold.id)
            follow(workshop, happening.arrived_at, holds=[held], coats=coats_on([held.piece_id]))
    return Done(event.id, new)
