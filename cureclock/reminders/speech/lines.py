"""Alerts as lines of a list: what is still true of them, said once."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from cureclock.core.reminding.after_outage import Summed, sort_out
from cureclock.core.reminding.alerts import Subject
from cureclock.core.reminding.kinds import CLOSES, OPENS, Kind
from cureclock.core.reminding.lists import Item, Line
from cureclock.core.reminding.wants import Wanted
from cureclock.core.units import instant_us
from cureclock.reminders.models import Alert, Delivery
from cureclock.reminders.people import LIST
from cureclock.reminders.speech.each import speak_each
from cureclock.shop.models import Workshop

TIME_OF = ("closes_us", "closed_us", "cold_us", "now_us", "since_us")


@dataclass(frozen=True)
class Lines:
    """Lines of a list, and the alerts that need no message of their own any more."""

    lines: tuple[Line, ...] = ()
    alerts: tuple[UUID, ...] = ()


def held_lines(workshop: Workshop, at: datetime) -> Lines:
    """What waits for a list: nobody was there when it came, or nothing could be sent.

    What one person's list has told already still waits for the list of another.
    """
    waiting = Delivery.objects.filter(state=Delivery.State.PENDING, held=LIST)
    rows = Alert.objects.filter(
        workshop=workshop, settled_at=None, due_at__lte=at, deliveries__in=waiting
    )
    alerts = {alert.id: alert for alert in rows.distinct().order_by("due_at", "id")}
    if not alerts:
        return Lines()
    said = {ident: one.said for ident, one in speak_each(workshop, [*alerts.values()], at).items()}
    wants = [_want(alerts[ident], one) for ident, one in said.items()]
    found = sort_out(wants, instant_us(at))
    lines = tuple(_line(one, said[UUID(one.of.key)]) for one in found.summed)
    alone = {UUID(one.key) for one in found.alone}
    return Lines(lines, tuple(ident for ident in alerts if ident not in alone))


def _want(alert: Alert, said: Any) -> Wanted:
    """An alert as the core sorts them."""
    return Wanted(
        key=str(alert.id),
        kind=Kind(alert.kind),
        gate=alert.gate if alert.gate in OPENS | CLOSES else "",
        subject=str(alert.about),
        tags=tuple(_subject(said).tags),
        at_us=instant_us(alert.due_at),
        about_us=_time(said) or instant_us(alert.due_at),
    )


def _line(one: Summed, said: Any) -> Line:
    item = one.item
    if item == Item.OPENS and getattr(said, "closes_us", None) is not None:
        item = Item.OPENS_BY
    return Line(
        item=item,
        subject=_subject(said),
        gate=getattr(said, "gate", ""),
        at_us=_time(said),
        cause=getattr(said, "cause", ""),
    )


def _subject(said: Any) -> Subject:
    """What is spoken of; a place is spoken of by its name."""
    found = getattr(said, "subject", None)
    return found if found is not None else Subject(said.key, called=said.place, place=said.place)


def _time(said: Any) -> int | None:
    """The time that what is said names."""
    found = (getattr(said, name, None) for name in TIME_OF)
    return next((one for one in found if one is not None), None)
