"""What is not urgent is held back for a while: lunch."""

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from cureclock.actions.verb import Done, verb
from cureclock.reminders import doorbell, minding
from cureclock.shop.happening import Happening
from cureclock.shop.record import append


@dataclass(frozen=True)
class AlertsHeld:
    """Until when, an hour ahead at most; no time: the hold is over. For everybody, or the teller."""

    until: datetime | None = None
    only_me: bool = False


@verb("alerts_held", AlertsHeld)
def alerts_held(happening: Happening, said: AlertsHeld) -> Done:
    """Rags, wiping off, open time and what the cold will spoil ring all the same."""
    teller = happening.told_by
    person = teller.person if said.only_me else None
    body = {"only_me": said.only_me, "until": said.until and said.until.isoformat()}
    with transaction.atomic():
        event, new = append(happening, "alerts_held", body)
        if new and said.until is None:
            minding.end_hold(teller.workshop, happening.at, person)
        elif new and said.until is not None:
            minding.hold(teller.workshop, happening.at, said.until, person)
        if new:
            transaction.on_commit(doorbell.ring)
    return Done(event.id, new)
