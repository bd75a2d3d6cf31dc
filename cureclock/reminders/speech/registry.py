"""Who speaks for which kind of alert, and the words for a reader."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from uuid import UUID

from cureclock.core.reminding.kinds import Kind
from cureclock.reminders.kinds import TEST
from cureclock.reminders.models import Alert
from cureclock.reminders.speech.corrections import correction
from cureclock.reminders.speech.gates import check, closed, closing, opened
from cureclock.reminders.speech.lathe import ask_lathe
from cureclock.reminders.speech.ring_test import ring_test
from cureclock.reminders.speech.spoken import Facts, Spoken
from cureclock.shop.models import Workshop
from cureclock.waits.current import load
from cureclock.waits.models import Wait

Speaker = Callable[[Alert, Facts], Spoken]

SPEAKERS: Mapping[str, Speaker] = {
    Kind.OPENS: opened,
    Kind.CLOSING: closing,
    Kind.CLOSED: closed,
    Kind.CHECK: check,
    Kind.ASK_LATHE: ask_lathe,
    Kind.CORRECTION: correction,
    TEST: ring_test,
}


def speak(
    workshop: Workshop, alerts: Sequence[Alert], at: datetime
) -> tuple[dict[UUID, Spoken], Facts]:
    """What is to be said of alerts of one workshop at an instant, and what it was looked up in."""
    facts = facts_of(workshop, alerts, at)
    return {alert.id: SPEAKERS[alert.kind](alert, facts) for alert in alerts}, facts


def facts_of(workshop: Workshop, alerts: Sequence[Alert], at: datetime) -> Facts:
    """The waits of some alerts, loaded in a few queries."""
    ids = {wait for alert in alerts for wait in alert.waits}
    found = load(workshop, Wait.objects.filter(id__in=ids), at)
    return Facts(found, found.rungs)
