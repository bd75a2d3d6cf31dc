"""Somebody says: these are all its joints."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions import find
from cureclock.actions.verb import Done, plain, verb
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class JointsDeclared:
    """Of which piece all joints are known."""

    piece: UUID


@verb("joints_declared", JointsDeclared)
def joints_declared(happening: Happening, said: JointsDeclared) -> Done:
    """Without it no piece is ever fit to spin: a joint nobody told of has no clock."""
    with transaction.atomic():
        piece = find.piece(happening.told_by.workshop, said.piece)
        event, new = append(happening, "joints_declared", plain(said), piece=piece)
    return Done(event.id, new)
