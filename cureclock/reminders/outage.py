"""After an outage, or a restored backup: one summary with true times, nothing in a burst."""

from datetime import datetime, timedelta

from django.db.models import Q

from cureclock.core.reminding.kinds import Kind
from cureclock.core.units import instant_us
from cureclock.reminders import promise
from cureclock.reminders.models import Alert, Beat, Delivery, Way
from cureclock.reminders.people import AFTER_LIST, LIST, House, When
from cureclock.reminders.writing import writing
from cureclock.shop.models import Workshop
from cureclock.waits.models import Gate
from cureclock.waits.standing import PENDING

GAP = timedelta(minutes=10)  # nobody sent anything for longer than that: an outage; our choice
SETTLE = timedelta(seconds=5)  # what came due meanwhile is found first


def ended(at: datetime) -> datetime | None:
    """When the last sign of life before now was, if that is long enough ago to be an outage."""
    newest = Beat.objects.order_by("-at").values_list("at", flat=True).first()
    return newest if newest is not None and at - newest > GAP else None


def sum_up(since: datetime, at: datetime, houses: promise.Houses) -> None:
    """Hold what came due since, and promise one summary of it to each workshop concerned."""
    with writing():
        late = Delivery.objects.filter(
            state=Delivery.State.PENDING, urgent=False, next_try_at__lt=at - GAP
        )
        late.update(held=LIST, next_try_at=at + AFTER_LIST)
        waiting = Gate.objects.filter(wait__open=True, state__in=PENDING).values("workshop")
        held = Alert.objects.filter(deliveries__held=LIST, told_at=None).values("workshop")
        for workshop in Workshop.objects.filter(Q(id__in=waiting) | Q(id__in=held)):
            _promise(workshop, since, at, houses)


def _promise(workshop: Workshop, since: datetime, at: datetime, houses: promise.Houses) -> None:
    home = houses.of(workshop.id, at)
    if home is None:
        return
    alert = promise.alert(
        workshop=workshop.id,
        about=workshop.id,
        subject="shop",
        gate=f"{since:%Y-%m-%dT%H:%M:%S}",
        kind=Kind.AFTER_OUTAGE,
        said={"since_us": instant_us(since), "until_us": instant_us(at)},
        due_at=since,
        at=at,
    )
    if Alert.objects.filter(about=alert.about, gate=alert.gate, kind=alert.kind).exists():
        return
    promise.write([promise.Promise(alert, at, _whens(home, at + SETTLE))], at, houses)


def restored(workshop: Workshop, since: datetime, at: datetime) -> None:
    """Promise one summary of what passed since a backup was made, inside the caller's transaction.

    A backup carries no way to anybody: it goes to the first that each person gives again.
    """
    if at - since > GAP:
        _promise(workshop, since, at, promise.Houses())


def hand_over(way: Way, at: datetime) -> None:
    """What nobody could be told for want of a way, by a way just given: in one summary."""
    mine = Alert.objects.filter(workshop=way.workshop, told_at=None, settled_at=None)
    summary = mine.filter(kind=Kind.AFTER_OUTAGE, expires_at__gt=at).order_by("made_at").last()
    home = None if summary is None else promise.Houses().of(way.workshop_id, at)
    if summary is None or home is None or way.person_id not in home.people:
        return
    told = home.told_of(Kind.AFTER_OUTAGE, "", at, [str(way.person_id)])
    promise.deliver(summary, told, home)
    late = mine.filter(due_at__lt=summary.made_at, expires_at__gt=at).exclude(id=summary.id)
    for alert in late:
        promise.deliver(alert, [When(way.person_id, at + AFTER_LIST, LIST)], home)


def _whens(home: House, at: datetime) -> tuple[When, ...]:
    """Like any ordinary message; what would wait for the morning list goes out just before it."""
    told = home.told(Kind.AFTER_OUTAGE, "", at)
    early = AFTER_LIST - timedelta(minutes=1)
    return tuple(When(one.person, one.at - early if one.held else one.at) for one in told)
