"""What is to be said of alerts now, whatever their kind."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from uuid import UUID

from cureclock.core.reminding.kinds import Kind
from cureclock.reminders.models import Alert
from cureclock.reminders.speech import lists
from cureclock.reminders.speech.each import EACH, Speaker, facts_of
from cureclock.reminders.speech.spoken import Facts, Spoken
from cureclock.shop.models import Workshop

SPEAKERS: Mapping[str, Speaker] = {
    **EACH,
    Kind.MORNING: lists.morning,
    Kind.BEFORE_GO: lists.before_go,
    Kind.AFTER_OUTAGE: lists.after_outage,
}


def speak(
    workshop: Workshop, alerts: Sequence[Alert], at: datetime
) -> tuple[dict[UUID, Spoken], Facts]:
    """What is to be said of alerts of one workshop at an instant, and what it was looked up in."""
    facts = facts_of(workshop, alerts, at)
    return {alert.id: SPEAKERS[alert.kind](alert, facts) for alert in alerts}, facts
