"""An earlier happening is struck out: within ten minutes as undo, later with a reason."""

from dataclasses import dataclass
from datetime import timedelta
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.set_aside import set_aside
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append
from cureclock.shop.refusals import Refusal

UNDO = timedelta(minutes=10)
SAID_ANEW = ("alert_answered", "shop_minded", "alerts_held")


@dataclass(frozen=True)
class StruckOut:
    """What is struck out, and why."""

    target: UUID
    reason: str = ""


@verb("struck_out", StruckOut)
def struck_out(happening: Happening, said: StruckOut) -> Done:
    """All is as if it had never been told; its line, and the alerts already sent, stay."""
    workshop = happening.told_by.workshop
    with transaction.atomic():
        target = find.happening(workshop, said.target)
        if target.event is not None and target.event.kind in SAID_ANEW:
            raise Refusal("target", "this is not struck out, it is said anew", "say what holds now")
        if not said.reason and happening.arrived_at - target.arrived_at > UNDO:
            raise Refusal(
                "reason", "it was told more than ten minutes ago", "say why, in a few words"
            )
        event, new = append(
            happening,
            "struck_out",
            plain(said),
            glue_up=target.glue_up,
            coat=target.coat,
            piece=target.piece,
            place=target.place,
            lot=target.lot,
            strikes=said.target,
        )
        if new:
            set_aside(workshop, target, happening.arrived_at)
    return Done(event.id, new)
