"""An alert looked at again: nobody has it, the one who has it did not do it, later has come."""

from collections.abc import Sequence
from datetime import datetime
from uuid import UUID

from django.db.models import Max

from cureclock.core.reminding.who import Answer, Says
from cureclock.core.units import moment_of
from cureclock.reminders import promise
from cureclock.reminders.answers import answers_of, told_of
from cureclock.reminders.models import Alert, Answered, Delivery
from cureclock.reminders.people import House
from cureclock.reminders.speech.registry import speak
from cureclock.shop.models import Person, Workshop
from cureclock.shop.refusals import NotHere, Refusal

OUT = (Delivery.State.PENDING, Delivery.State.SENDING, Delivery.State.SENT)


def answer(workshop: Workshop, alert_id: UUID, person: Person, says: str, at: datetime) -> None:
    """I've got it, later, not me: kept, and looked at when it may change who is told."""
    if says not in list(Says):
        raise Refusal("says", f"{says!r} is no answer", f"one of {', '.join(Says)}")
    alert = Alert.objects.select_for_update().filter(workshop=workshop, id=alert_id).first()
    if alert is None:
        raise NotHere("alert")
    Answered.objects.create(alert=alert, person=person, says=says, at=at)
    if alert.settled_at is None:
        alert.look_at = at
        alert.save(update_fields=["look_at"])


def look(alert: Alert, home: House, at: datetime, houses: promise.Houses) -> None:
    """Ring whoever is to be told now and has not been since; inside a transaction."""
    spoken, _ = speak(home.workshop, [alert], at)
    answers = answers_of([alert.id]).get(alert.id, [])
    told = told_of(alert, home, answers, at)
    if spoken[alert.id].said is None:
        _settle(alert, at)
        return
    if not told.taken_by and _is_back(told.people, answers):
        _once_more(alert, told.people, home, at, houses)
        _settle(alert, at)
        return
    out = alert.deliveries.filter(state__in=OUT).values_list("person_id", flat=True)
    fresh = set(told.people) - {str(person) for person in out}
    promise.deliver(alert, home.told_of(alert.kind, alert.gate, at, sorted(fresh)), home)
    alert.look_at = None if told.look_us is None else moment_of(told.look_us)
    alert.save(update_fields=["look_at"])


def _is_back(people: Sequence[str], answers: Sequence[Answer]) -> bool:
    """Somebody had it, or asked for later, and that time is over."""
    newest = {one.person: one.says for one in answers}
    return any(newest.get(person) in (Says.MINE, Says.LATER) for person in people)


def _once_more(
    alert: Alert, people: Sequence[str], home: House, at: datetime, houses: promise.Houses
) -> None:
    """The same said again, on purpose: the next number, the same notice."""
    same = Alert.objects.filter(about=alert.about, gate=alert.gate, kind=alert.kind)
    last = same.aggregate(last=Max("seq"))["last"]
    again = promise.alert(
        workshop=alert.workshop_id,
        about=alert.about,
        subject=alert.subject,
        gate=alert.gate,
        kind=alert.kind,
        seq=last + 1,
        waits=[UUID(wait) for wait in alert.waits],
        said={**alert.said, "part": alert.said.get("part", alert.seq), "again": str(alert.id)},
        due_at=alert.due_at,
        at=at,
    )
    whens = home.told_of(alert.kind, alert.gate, at, people)
    promise.write([promise.Promise(again, at, whens)], at, houses)


def _settle(alert: Alert, at: datetime) -> None:
    alert.settled_at, alert.look_at = at, None
    alert.save(update_fields=["settled_at", "look_at"])
