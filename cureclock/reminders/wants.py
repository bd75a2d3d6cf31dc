"""What a look wants said against what is pending: rows added, moved, withdrawn."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db.models import Q

from cureclock.core.reminding.due import changes, wanted
from cureclock.core.reminding.kinds import Kind
from cureclock.core.reminding.wants import Said, Wanted
from cureclock.core.reminding.who import To
from cureclock.core.units import instant_us, moment_of
from cureclock.reminders import promise
from cureclock.reminders.models import Alert, Delivery
from cureclock.reminders.people import House, When
from cureclock.reminders.scan import Seen

# Found by looks. What opens and what has closed is found by its threshold; rags have their own.
LOOKED = frozenset(
    {
        *(Kind.CLOSING, Kind.CHECK, Kind.SUSPECT, Kind.COLD, Kind.ASLEEP, Kind.UNSURE),
        *(Kind.MORNING, Kind.BEFORE_GO),
    }
)
DAYS = frozenset({Kind.MORNING, Kind.BEFORE_GO})
SUBJECTS = {Kind.UNSURE: "place", **dict.fromkeys(DAYS, "shop")}
UNSENT = (Delivery.State.PENDING, Delivery.State.SUPERSEDED)
KEPT = ("key", "subject", "gate", "cause", "tags", "at_us", "listed", "start_by_us", "before_home")


def follow(home: House, seen: Seen, at: datetime, houses: promise.Houses) -> None:
    """Bring the pending alerts of a workshop in step with what was seen; in a transaction."""
    at_us = instant_us(at)
    alerts = {str(alert.said["key"]): alert for alert in _known(home, seen)}
    out = {key: alert for key, alert in alerts.items() if _is_out(alert)}
    pending = {key: alert for key, alert in alerts.items() if key not in out}
    said = [_said(alert) for alert in out.values()]
    wants = [one for one in wanted(seen.facts, home.shop, at_us, said) if one.kind in LOOKED]
    todo = changes(wants, [_want(alert) for alert in pending.values()], at_us)
    Alert.objects.filter(id__in=[pending[key].id for key in todo.withdraw]).delete()
    for one in todo.move:
        _move(pending[one.key], one, home, seen)
    promises = [_promise(one, home, seen, at) for one in todo.add]
    promise.write(promises, at, houses)


def _known(home: House, seen: Seen) -> Iterable[Alert]:
    """Alerts that looks made and that are pending, or are about what was seen; locked."""
    facts = seen.facts
    abouts = {
        *(gate.subject for gate in facts.gates),
        *(doubt.subject for doubt in facts.doubts),
        *(one.place for one in facts.places),
        str(home.workshop.id),
    }
    pending = Q(told_at=None, settled_at=None)
    rows = Alert.objects.filter(
        pending | Q(about__in=abouts), workshop=home.workshop, kind__in=LOOKED
    )
    return rows.order_by("made_at").select_for_update()


def _is_out(alert: Alert) -> bool:
    return alert.told_at is not None or alert.settled_at is not None


def _said(alert: Alert) -> Said:
    return Said(
        key=str(alert.said["key"]),
        kind=Kind(alert.kind),
        gate=str(alert.said["gate"]),
        subject=str(alert.said["subject"]),
        tags=tuple(alert.said["tags"]),
        part=alert.seq,
        cause=str(alert.said["cause"]),
        at_us=instant_us(alert.told_at or alert.made_at),
        stands=bool(alert.said.get("stands", True)),
    )


def _want(alert: Alert) -> Wanted:
    """A pending alert as it was wanted."""
    said: Mapping[str, Any] = alert.said
    return Wanted(
        **{name: said[name] for name in KEPT if name != "tags"},
        kind=Kind(alert.kind),
        tags=tuple(said["tags"]),
        to=tuple(To(person, 0) for person in said["to"]),
        part=alert.seq,
    )


def _plain(one: Wanted) -> dict[str, object]:
    """What is kept of a wanted reminder on its alert."""
    told = {name: getattr(one, name) for name in KEPT}
    people = [to.person for to in one.to]
    return {**told, "tags": list(one.tags), "to": people, "about_us": one.about_us}


def _promise(one: Wanted, home: House, seen: Seen, at: datetime) -> promise.Promise:
    day = one.key.rpartition(" ")[2] if one.kind in DAYS else ""
    alert = promise.alert(
        workshop=home.workshop.id,
        about=UUID(one.subject),
        subject=SUBJECTS.get(one.kind, "group"),
        gate=one.gate or one.cause or day,
        kind=one.kind,
        seq=one.part,
        waits=_waits(one, seen),
        said={**_plain(one), "ends_us": seen.ends.get((one.subject, one.kind))},
        due_at=moment_of(one.at_us),
        at=at,
    )
    return promise.Promise(alert, moment_of(one.at_us), whens(one, home))


def whens(one: Wanted, home: House) -> tuple[When, ...]:
    """Whom a wanted reminder rings, each from when; where nobody is there, the next list has it."""
    if one.listed:
        return home.told(one.kind, one.gate, moment_of(one.at_us))
    return tuple(When(UUID(to.person), moment_of(to.not_before_us)) for to in one.to)


def _waits(one: Wanted, seen: Seen) -> list[UUID]:
    what = one.gate or one.cause or one.kind
    found = (seen.waits.get((one.subject, what, tag)) for tag in one.tags)
    return [wait for wait in found if wait is not None]


def _move(alert: Alert, one: Wanted, home: House, seen: Seen) -> None:
    """Write a pending alert anew: its pieces, and when and whom it rings."""
    alert.said = {**_plain(one), "ends_us": seen.ends.get((one.subject, one.kind))}
    alert.waits = [str(wait) for wait in _waits(one, seen)]
    alert.due_at = moment_of(one.at_us)
    alert.save(update_fields=["said", "waits", "due_at"])
    alert.deliveries.filter(state__in=UNSENT).delete()
    promise.deliver(alert, whens(one, home), home)
