"""Several things in one message: before going home, in the morning, after an outage."""

from collections.abc import Iterable
from datetime import datetime, timedelta

import numpy as np
from django.db.models import Min

from cureclock.core.reminding.alerts import Subject
from cureclock.core.reminding.kinds import CLOSES, OF_MINUTES
from cureclock.core.reminding.lists import WAIT, AfterOutage, BeforeGo, Item, Line, Morning
from cureclock.core.units import instant_us, moment_of
from cureclock.reminders.models import Alert
from cureclock.reminders.people import house
from cureclock.reminders.scan import about_of
from cureclock.reminders.speech.doubts import rags_open
from cureclock.reminders.speech.lines import held_lines
from cureclock.reminders.speech.spoken import NOTHING, Facts, Spoken, subject_of
from cureclock.shop.models import Reading, ThingVersion, Workshop
from cureclock.waits.ages import Ages
from cureclock.waits.current import Rung, load
from cureclock.waits.ledger import LedgerLine, ledger
from cureclock.waits.models import Gate, Wait
from cureclock.waits.standing import PENDING

LAST_LOOK = {"recoat_closes": Item.RECOAT_OR_SCUFF, "remove_by": Item.HOLD}
NIGHT = timedelta(hours=14)  # so far back the lowest of the night is looked for; our choice


def morning(alert: Alert, facts: Facts) -> Spoken:
    """What the night left; nothing where it left nothing."""
    workshop, at = facts.found.workshop, facts.at
    held = held_lines(workshop, at)
    lines = (*_rags(workshop), *held.lines)
    if not lines:
        return NOTHING
    suspects = sum(line.item == Item.SUSPECT for line in lines)
    said = Morning(
        key=f"{workshop.id} {alert.gate}",
        low=_low(workshop, at),
        later=len({line.subject.key for line in lines if line.item in WAIT}),
        suspects=suspects,
        lathe_out=suspects > 0,
        lines=lines,
    )
    return Spoken(said, listed=held.alerts)


def before_go(alert: Alert, facts: Facts) -> Spoken:
    """The last look before home: rags, what closes before somebody is back, forms, the lid."""
    workshop, at = facts.found.workshop, facts.at
    lines = (*_rags(workshop), *_closing(workshop, at), *_tied_up(workshop, at))
    if not lines:
        return NOTHING
    return Spoken(BeforeGo(f"{workshop.id} {alert.gate}", lines))


def after_outage(alert: Alert, facts: Facts) -> Spoken:
    """The one message after a time in which nothing could be sent."""
    workshop = facts.found.workshop
    held = held_lines(workshop, facts.at)
    said = AfterOutage(
        key=str(workshop.id),
        since_us=int(alert.said["since_us"]),
        until_us=int(alert.said["until_us"]),
        lines=(*_rags(workshop), *held.lines),
    )
    return Spoken(said, listed=held.alerts)


def _rags(workshop: Workshop) -> Iterable[Line]:
    for one in rags_open(workshop.id):
        yield Line(Item.RAGS, Subject(str(one.id), called=one.which))


def _low(workshop: Workshop, at: datetime) -> str:
    """The lowest of the night where something waits; empty where nobody knows."""
    places = Wait.objects.filter(workshop=workshop, open=True).values("place")
    read = Reading.objects.filter(place__in=places, struck_by=None, at__gte=at - NIGHT, at__lte=at)
    found = read.exclude(flag="high").aggregate(low=Min("temp_c"))["low"]
    return "" if found is None else f"{found:.0f} °C"


def _closing(workshop: Workshop, at: datetime) -> Iterable[Line]:
    """What closes before somebody is back, group by group."""
    back = _back(workshop, at)
    gates = Gate.objects.filter(
        workshop=workshop, kind__in=CLOSES - OF_MINUTES, state__in=PENDING, wait__open=True
    )
    if back is None or not gates.exists():
        return
    found = load(workshop, Wait.objects.filter(id__in=gates.values("wait")), at)
    groups: dict[tuple[str, str], list[Rung]] = {}
    for rungs in found.rungs.values():
        for rung in rungs:
            if rung.gate.kind in CLOSES - OF_MINUTES and rung.gate.state in PENDING:
                groups.setdefault((about_of(rung.wait), rung.gate.kind), []).append(rung)
    for (about, kind), rungs in groups.items():
        ends = [rung.acts for rung in rungs if rung.acts is not None and at < rung.acts < back]
        if ends and not all(found.suspect(rung.wait) for rung in rungs):
            item = LAST_LOOK.get(kind, Item.CLOSING)
            subject = subject_of(Alert(about=about, said={"part": 0}), rungs)
            yield Line(item, subject, kind, instant_us(min(ends)))


def _tied_up(workshop: Workshop, at: datetime) -> Iterable[Line]:
    """What may come out of its form, and boxes in which something waits."""
    for one in ledger(workshop, Ages(at, at)).lines:
        if one.kind == ThingVersion.Kind.FORM:
            for holder in one.holders:
                if holder.could_come_off:
                    yield Line(Item.FORM, Subject(str(holder.group), called=holder.name))
        if one.kind == ThingVersion.Kind.BOX and _waits_in(one, workshop):
            yield Line(Item.LID, Subject(str(one.thing), called=one.name, place=one.name))


def _waits_in(box: LedgerLine, workshop: Workshop) -> bool:
    inside = Wait.objects.filter(workshop=workshop, open=True, place=box.place)
    return bool(box.holders) or (box.place is not None and inside.exists())


def _back(workshop: Workshop, at: datetime) -> datetime | None:
    """When somebody is there again after today's home time."""
    home = house(workshop.id, at)
    if home is None or home.shop.hours is None:
        return None
    closes, opens = np.asarray(home.shop.hours.close_us), np.asarray(home.shop.hours.open_us)
    next_day = int(np.searchsorted(closes, instant_us(at))) + 1
    return moment_of(int(opens[next_day])) if next_day < opens.size else None
