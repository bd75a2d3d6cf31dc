"""Who speaks for which kind of alert, lists left out."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from uuid import UUID

from cureclock.core.reminding.kinds import Kind
from cureclock.reminders.kinds import DATE, TEST
from cureclock.reminders.models import Alert
from cureclock.reminders.speech import doubts, gates
from cureclock.reminders.speech.corrections import correction
from cureclock.reminders.speech.dates import date_moved
from cureclock.reminders.speech.lathe import ask_lathe
from cureclock.reminders.speech.ring_test import ring_test
from cureclock.reminders.speech.spoken import Facts, Spoken
from cureclock.shop.models import Workshop
from cureclock.waits.current import load
from cureclock.waits.models import Wait

Speaker = Callable[[Alert, Facts], Spoken]

EACH: Mapping[str, Speaker] = {
    Kind.OPENS: gates.opened,
    Kind.CLOSING: gates.closing,
    Kind.CLOSED: gates.closed,
    Kind.CHECK: gates.check,
    Kind.ASK_LATHE: ask_lathe,
    Kind.CORRECTION: correction,
    Kind.SUSPECT: doubts.suspect,
    Kind.COLD: doubts.cold,
    Kind.ASLEEP: doubts.asleep,
    Kind.UNSURE: doubts.unsure,
    Kind.RAGS: doubts.rags,
    TEST: ring_test,
    DATE: date_moved,
}


def facts_of(workshop: Workshop, alerts: Sequence[Alert], at: datetime) -> Facts:
    """The waits of some alerts, loaded in a few queries."""
    ids = {wait for alert in alerts for wait in alert.waits}
    found = load(workshop, Wait.objects.filter(id__in=ids), at)
    return Facts(found, found.rungs)


def speak_each(workshop: Workshop, alerts: Sequence[Alert], at: datetime) -> dict[UUID, Spoken]:
    """What is to be said of each of some alerts, none of them a list; what is true of none left out."""
    facts = facts_of(workshop, alerts, at)
    spoken = {alert.id: EACH[alert.kind](alert, facts) for alert in alerts if alert.kind in EACH}
    return {ident: told for ident, told in spoken.items() if told.said is not None}
