"""I've got it, later, not me: who is still to be told of an alert once somebody has answered."""

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from uuid import UUID

from cureclock.core.reminding.who import Answer, Says, Told, told_now
from cureclock.core.units import instant_us
from cureclock.reminders.models import Alert, Answered
from cureclock.reminders.people import House


def answers_of(alerts: Collection[UUID]) -> dict[UUID, list[Answer]]:
    """What was answered to some alerts."""
    found: dict[UUID, list[Answer]] = {}
    for row in Answered.objects.filter(alert__in=alerts).order_by("id"):
        answer = Answer(str(row.person_id), Says(row.says), instant_us(row.at))
        found.setdefault(row.alert_id, []).append(answer)
    return found


def told_of(alert: Alert, home: House, answers: Sequence[Answer], at: datetime) -> Told:
    """Who is to hear of an alert at an instant."""
    return told_now(
        home.shop.people,
        answers,
        raised_us=instant_us(alert.told_at or alert.made_at),
        at_us=instant_us(at),
        urgent=alert.urgent,
    )


def still_told(
    alert: Alert, home: House, answers: Mapping[UUID, Sequence[Answer]], at: datetime
) -> set[UUID] | None:
    """Whom an alert may still go to; None while nobody has answered, which leaves all of them."""
    said = answers.get(alert.id)
    return {UUID(key) for key in told_of(alert, home, said, at).people} if said else None
