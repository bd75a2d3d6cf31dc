"""Looks: what thresholds cannot find, looked for when it is time to."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, time, timedelta
from uuid import UUID

from django.db import DatabaseError, InterfaceError

from cureclock.core.reminding.wall import wall_us
from cureclock.core.units import moment_of
from cureclock.reminders import again, promise, rags, revise, trouble, wants
from cureclock.reminders.models import Alert, Look, RagsQuestion
from cureclock.reminders.people import House
from cureclock.reminders.scan import Seen, near, scan
from cureclock.reminders.writing import writing
from cureclock.shop.models import Workshop
from cureclock.waits.current import load
from cureclock.waits.models import Wait

CHANGED = "changed"  # something was told, read or expected
READING = "reading"  # what changed where nobody said; key of a reason
NOON = "noon"
HOME = "home"
BEFORE_HOME = timedelta(hours=2)  # so that an act of an hour can still be fitted in; our choice
MOST = 50  # of a kind in one turn


@dataclass
class Looking:
    """Looks that are due, each in a transaction of its own; one that raises holds up no other."""

    houses: promise.Houses = field(default_factory=promise.Houses)

    def look(self, at: datetime) -> int:
        """Every look that is due; how many there were."""
        kinds: tuple[tuple[type[Look | RagsQuestion | Alert], str, Callable[..., None]], ...] = (
            (Look, "next_at", self._over),
            (RagsQuestion, "ask_at", self._ask),
            (Alert, "look_at", self._again),
        )
        done = 0
        for model, column, do in kinds:
            due = model._default_manager.filter(**{f"{column}__lte": at}).order_by(column)
            for row in due[:MOST]:
                done += 1
                try:
                    do(row, at)
                except (DatabaseError, InterfaceError):
                    raise  # the records are away: nobody's fault
                except Exception as raised:  # noqa: BLE001  whatever it is, the others are due
                    then = trouble.note(model.__name__.lower()[:12], row.pk, raised, at)
                    model._default_manager.filter(pk=row.pk).update(  # type: ignore[misc]
                        **{column: then}
                    )
        return done

    def _over(self, row: Look, at: datetime) -> None:
        """One look over a workshop: seen without a lock, written under one."""
        workshop = row.workshop
        home = self.houses.of(workshop.id, at)
        found = None if home is None else _found(home, at)
        with writing():
            if home is not None and found is not None:
                seen, untrue = found
                wants.follow(home, seen, at, self.houses)
                revising = revise.Revising(home, at, self.houses, row.why or READING)
                for one, alert, waits in untrue:
                    revising.write(one, alert.id, waits)
            same = Look.objects.filter(pk=row.pk, next_at=row.next_at)
            same.update(next_at=next_look(row.name, workshop, at))

    def _ask(self, row: RagsQuestion, at: datetime) -> None:
        home = self.houses.of(row.workshop_id, at)
        with writing():
            question = RagsQuestion.objects.select_for_update().get(pk=row.pk)
            if home is not None and question.ask_at is not None:
                rags.ring(question, home, at, self.houses)

    def _again(self, row: Alert, at: datetime) -> None:
        home = self.houses.of(row.workshop_id, at)
        with writing():
            alert = Alert.objects.select_for_update().get(pk=row.pk)
            if home is not None and alert.look_at is not None and alert.settled_at is None:
                again.look(alert, home, at, self.houses)
            else:
                Alert.objects.filter(pk=row.pk).update(look_at=None)


def _found(home: House, at: datetime) -> tuple[Seen, Sequence[revise.Untrue]]:
    """What is near in a workshop, and what was told there and is not so; its waits loaded once."""
    waits = near(home.workshop, at)
    told = revise.told(home.workshop, at)
    named = {UUID(wait) for alert in told for wait in alert.waits}
    loaded = load(home.workshop, Wait.objects.filter(id__in=waits | named), at)
    return scan(loaded, waits), revise.untrue(home, told, loaded)


def next_look(name: str, workshop: Workshop, at: datetime) -> datetime | None:
    """When a look is due next; None for one that waits for something to change."""
    if name == CHANGED:
        return None
    clock = time(12) if name == NOON else workshop.home_time
    early = timedelta() if name == NOON else BEFORE_HOME
    today = at.astimezone(workshop.tz).date()
    for ahead in range(3):
        then = moment_of(wall_us(today + timedelta(days=ahead), clock, workshop.tz)) - early
        if then > at:
            return then
    return None


def mark(workshop: Workshop, at: datetime, why: str = READING) -> None:
    """Something changed: look at once; and from now on at noon and before home."""
    values = {"next_at": at, "why": why}
    Look.objects.update_or_create(workshop=workshop, name=CHANGED, defaults=values)
    known = set(Look.objects.filter(workshop=workshop).values_list("name", flat=True))
    for name in {NOON, HOME} - known:
        values = {"next_at": next_look(name, workshop, at)}
        Look.objects.get_or_create(workshop=workshop, name=name, defaults=values)


def hours_changed(workshop: Workshop) -> None:
    """Hours or home time were said anew: when to look is worked out anew at the next mark."""
    Look.objects.filter(workshop=workshop).exclude(name=CHANGED).delete()
