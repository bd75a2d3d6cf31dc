"""Somebody tries a joint or a film: still tacky, ready, soft or bad."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.follow import follow
from cureclock.actions.verb import Done, plain, verb
from cureclock.core.gates import COAT_GATES, JOINT_GATES
from cureclock.shop.happening import Happening
from cureclock.shop.models import Coat
from cureclock.shop.record import append
from cureclock.shop.refusals import Refusal

RESULTS = ("tacky", "ready", "soft", "bad")


@dataclass(frozen=True)
class Checked:
    """What was tried, for which gate, and how it was."""

    gate: str
    result: str
    glue_up: UUID | None = None
    coat: UUID | None = None


@verb("checked", Checked)
def checked(happening: Happening, said: Checked) -> Done:
    """The answer brackets what this material really needs here, for waits begun later."""
    workshop = happening.told_by.workshop
    if said.result not in RESULTS:
        raise Refusal("result", f"{said.result!r} is no result", f"one of {', '.join(RESULTS)}")
    with transaction.atomic():
        glue_up = find.glue_up(workshop, said.glue_up) if said.glue_up else None
        coat = find.coat(workshop, said.coat) if said.coat else None
        _must_be_a_gate(said.gate, coat)
        event, new = append(happening, "checked", plain(said), glue_up=glue_up, coat=coat)
        if new:
            follow(
                workshop,
                happening.arrived_at,
                glue_ups=[glue_up] if glue_up else [],
                coats=[coat] if coat else [],
                why="learned",
            )
    return Done(event.id, new)


def _must_be_a_gate(name: str, coat: Coat | None) -> None:
    kinds = [kind.key for kind in (JOINT_GATES if coat is None else COAT_GATES) if kind.opens]
    if name not in kinds:
        raise Refusal("gate", f"{name[:40]!r} is nothing that opens", f"one of {', '.join(kinds)}")
