"""A temporary bond goes on: tape, hot-melt, a paper joint, a waste block."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.models import Hold
from cureclock.shop.record import append
from cureclock.shop.refusals import OtherBody


@dataclass(frozen=True)
class HoldOn:
    """What holds on which piece, and the act it must be off before."""

    hold: UUID
    piece: UUID
    what: str
    off_before: str = ""


@verb("hold_on", HoldOn)
def hold_on(happening: Happening, said: HoldOn) -> Done:
    """It stays on the piece's record until somebody says it is off."""
    with transaction.atomic():
        piece = find.piece(happening.told_by.workshop, said.piece)
        what = {"piece": piece, "what": said.what, "off_before": said.off_before}
        hold, _ = Hold.objects.get_or_create(id=said.hold, defaults=what)
        if hold.piece_id != piece.id:
            raise OtherBody
        event, new = append(happening, "hold_on", plain(said), piece=piece)
    return Done(event.id, new)
