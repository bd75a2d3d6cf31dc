"""What was said of gates against what is true now: a move, a label, a strike may have changed it.

A reading that takes back what was reached is corrected in its own transaction (corrections.py);
this finds the rest, at the look that follows every change.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from uuid import UUID

from cureclock.core.reminding.corrections import Corrected
from cureclock.core.reminding.corrections import corrections as compared
from cureclock.core.reminding.facts import Facts, GateFact
from cureclock.core.reminding.kinds import Kind
from cureclock.core.reminding.wants import Said
from cureclock.core.units import instant_us
from cureclock.reminders import corrections, promise
from cureclock.reminders.models import Alert
from cureclock.reminders.people import House
from cureclock.reminders.speech.spoken import Facts as SpokenFacts
from cureclock.reminders.wants import whens
from cureclock.shop.models import Workshop
from cureclock.waits.current import Current, Rung

LATELY = timedelta(days=3)  # what was said before that is no longer acted on; our choice
MOST = 200  # alerts of one look, the newest

Untrue = tuple[Corrected, Alert, list[UUID]]


def told(workshop: Workshop, at: datetime) -> Sequence[Alert]:
    """Alerts that were told of gates lately, and may have become untrue."""
    rows = Alert.objects.filter(
        workshop=workshop,
        kind__in=(Kind.OPENS, Kind.ASK_LATHE, Kind.CLOSING),
        settled_at=None,
        told_at__gte=at - LATELY,
    )
    return [alert for alert in rows.order_by("-told_at")[:MOST] if alert.waits]


def untrue(home: House, told: Sequence[Alert], loaded: Current) -> Sequence[Untrue]:
    """Alerts that were told and are not so, each with the waits it is not true of.

    Args:
        home: whose they are.
        told: the alerts.
        loaded: their waits among others.
    """
    alerts = {str(alert.id): alert for alert in told}
    if not alerts:
        return []
    facts = SpokenFacts(loaded, loaded.rungs)
    rungs = {key: facts.rungs(alert, alert.gate) for key, alert in alerts.items()}
    said = [_said(alert, rungs[key]) for key, alert in alerts.items()]
    gates = [_fact(alert, rung, loaded) for key, alert in alerts.items() for rung in rungs[key]]
    found = compared(
        said, Facts(gates=list(dict.fromkeys(gates))), home.shop, instant_us(loaded.at)
    )
    # A doubt is told as a doubt, which says all that a correction would.
    return [
        (one, alerts[one.of], _waits(rungs[one.of], one.wanted.tags))
        for one in found
        if not one.suspect
    ]


def _said(alert: Alert, rungs: Sequence[Rung]) -> Said:
    kept: Mapping[str, Any] = alert.said
    people = alert.deliveries.filter(state__in=corrections.OUT).values_list("person_id", flat=True)
    return Said(
        key=str(alert.id),
        kind=Kind.OPENS if alert.kind == Kind.ASK_LATHE else Kind(alert.kind),
        gate=alert.gate,
        subject=str(alert.about),
        tags=tuple(sorted({rung.wait.piece.tag for rung in rungs})),
        part=alert.seq,
        about_us=kept.get("about_us") or instant_us(alert.due_at),
        people=tuple(str(person) for person in set(people)),
        at_us=instant_us(alert.told_at or alert.made_at),
    )


def _fact(alert: Alert, rung: Rung, found: Current) -> GateFact:
    acts = rung.acts
    return GateFact(
        subject=str(alert.about),
        tag=rung.wait.piece.tag,
        gate=alert.gate,
        act_us=None if acts is None else instant_us(acts),
        over=rung.over,
        suspect=found.suspect(rung.wait),
    )


def _waits(rungs: Sequence[Rung], tags: Sequence[str]) -> list[UUID]:
    return [rung.wait.id for rung in rungs if rung.wait.piece.tag in tags]


@dataclass(frozen=True)
class Revising:
    """Takes back what is not so, inside a transaction."""

    home: House
    at: datetime
    houses: promise.Houses
    why: str

    def write(self, one: Corrected, ident: UUID, waits: Sequence[UUID]) -> None:
        """Take one alert back, under a lock, from whoever was told."""
        alert = Alert.objects.select_for_update().get(id=ident)
        if not corrections.take_off(alert, waits, self.at):
            return
        correction = corrections.of(alert, waits, one.was_us, self.why, self.at)
        told = promise.Promise(correction, self.at, whens(one.wanted, self.home))
        promise.write([told], self.at, self.houses)
