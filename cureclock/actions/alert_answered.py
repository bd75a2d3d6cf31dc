"""Somebody says what they do about an alert: mine, later, not me."""

from dataclasses import dataclass
from uuid import UUID

from django.db import transaction

from cureclock.actions.verb import Done, plain, verb
from cureclock.reminders import again, doorbell
from cureclock.shop.happening import Happening
from cureclock.shop.record import append
from cureclock.shop.refusals import Refusal


@dataclass(frozen=True)
class AlertAnswered:
    """Which alert, and one of mine, later, not_me."""

    alert: UUID
    says: str


@verb("alert_answered", AlertAnswered)
def alert_answered(happening: Happening, said: AlertAnswered) -> Done:
    """Mine: the others are quiet. Later, not me: somebody else is told."""
    teller = happening.told_by
    if teller.person is None:
        raise Refusal("who", "nobody says it", "answer on a paired phone")
    with transaction.atomic():
        event, new = append(happening, "alert_answered", plain(said))
        if new:
            again.answer(teller.workshop, said.alert, teller.person, said.says, happening.at)
            transaction.on_commit(doorbell.ring)
    return Done(event.id, new)
