"""The alerts that stand: told, still true, and waiting for somebody of the shop to take them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from cureclock.core.reminding.compose import alert as composed
from cureclock.core.reminding.kinds import Kind
from cureclock.core.units import instant_us
from cureclock.core.wording.times import Reader
from cureclock.reminders.answers import answers_of, told_of
from cureclock.reminders.links import NOT_ANSWERED
from cureclock.reminders.models import Alert
from cureclock.reminders.people import House, house
from cureclock.reminders.speech.registry import speak
from cureclock.shop.models import Person, Workshop

SHOWN_FOR = timedelta(hours=12)  # what was told longer ago is on the Now list; our choice
MOST = 20  # the newest; our choice


@dataclass(frozen=True)
class AlertShown:
    """An alert as a page shows it, with who has it.

    Attributes:
        link: path of the page it opens.
        mine: it waits for an answer of the one who asks.
        taken_by: who has it; empty where nobody does.
    """

    id: UUID
    kind: str
    title: str
    body: str
    link: str
    urgent: bool
    told_at: datetime
    mine: bool
    taken_by: str


def standing(workshop: Workshop, person: Person, at: datetime) -> Sequence[AlertShown]:
    """What was told lately and still holds, newest first, as one person reads it."""
    rows = Alert.objects.filter(
        workshop=workshop,
        settled_at=None,
        told_at__gt=at - SHOWN_FOR,
        expires_at__gt=at,
    )
    passing = (*NOT_ANSWERED, Kind.RAGS)  # lists and tests; rags stand on the Now list themselves
    alerts = list(rows.exclude(kind__in=passing).order_by("-told_at", "id")[:MOST])
    home = house(workshop.id, at) if alerts else None
    if home is None or person.id not in home.people:
        return ()
    spoken, _ = speak(workshop, alerts, at)
    answers = answers_of({alert.id for alert in alerts})
    reader = Reader(instant_us(at), home.zone(person.id))
    found = []
    for alert in alerts:
        told = spoken[alert.id]
        if told.said is None:
            continue
        message = composed(told.said, reader)
        now = told_of(alert, home, answers.get(alert.id, ()), at)
        assert alert.told_at is not None
        found.append(
            AlertShown(
                id=alert.id,
                kind=alert.kind,
                title=message.title,
                body=message.body,
                link=told.link,
                urgent=alert.urgent,
                told_at=alert.told_at,
                mine=str(person.id) in now.people and not now.taken_by,
                taken_by=_name(home, now.taken_by),
            )
        )
    return found


def _name(home: House, key: str) -> str:
    return home.people[UUID(key)].name if key else ""
