"""What checks and witnesses saw, in label-hours: rows that the rule of learning reads."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from uuid import UUID, uuid5

from cureclock.core.stance import Stance
from cureclock.core.units import instant_us, moment_of
from cureclock.shop.air import place_air
from cureclock.shop.models import Coat, Event, GlueUp, LabelVersion, Place, Reading
from cureclock.waits.ages import Ages
from cureclock.waits.models import Seen
from cureclock.waits.planned import PlannedGate, PlannedWait
from cureclock.waits.reread import Change
from cureclock.waits.suspect import BROKE_IN_WOOD

EVER = datetime.min.replace(tzinfo=UTC)
READY = {"tacky": False, "soft": False, "ready": True}  # "bad" says nothing of the time


@dataclass(frozen=True)
class Taught:
    """From when on what is learned of a material in a place is another."""

    material: UUID
    place: UUID
    since: datetime


@dataclass(frozen=True)
class Subject:
    """A glue-up or coat with its waits as planned and what was told of it."""

    of: GlueUp | Coat
    label: LabelVersion
    planned: Sequence[PlannedWait]
    told: Sequence[Event]

    @property
    def place(self) -> Place:
        """Where it was begun."""
        return self.of.place


def keep_seen(subject: Subject, ages: Ages) -> list[Taught]:
    """Bring a subject's rows in step with its facts; what that changes for waits begun later."""
    of = {"coat": subject.of} if isinstance(subject.of, Coat) else {"glue_up": subject.of}
    before = {_plain(row): row for row in Seen.objects.filter(**of)}
    now = {_plain(row): row for row in _rows(subject, ages)}
    gone, come = before.keys() - now.keys(), now.keys() - before.keys()
    if not gone and not come:
        return []
    Seen.objects.filter(pk__in=[before[key].pk for key in gone]).delete()
    Seen.objects.bulk_create(now[key] for key in come)
    since: dict[tuple[UUID, UUID], datetime] = {}
    for row in [*(before[key] for key in gone), *(now[key] for key in come)]:
        key = (row.material_id, row.place_id)
        since[key] = min(row.at, since.get(key, row.at))
    return [Taught(*key, at) for key, at in since.items()]


def _rows(subject: Subject, ages: Ages) -> Iterable[Seen]:
    for event in subject.told:
        for gate, ready in _said(event, subject):
            row = _row(subject, event, gate, ready, ages)
            if row is not None:
                yield row


def _said(event: Event, subject: Subject) -> Iterable[tuple[str, bool]]:
    """The gates that a happening says something of, and whether they were ready.

    Where somebody can be hurt only a witness that broke in wood counts, and it speaks of all such.
    """
    hurts = {
        gate.gate.kind.key: gate.gate.kind.hurts for one in subject.planned for gate in one.gates
    }
    if event.kind == "witness" and int(event.body["torn_tenths"]) >= BROKE_IN_WOOD:
        yield from ((gate, True) for gate, can_hurt in hurts.items() if can_hurt)
    if event.kind == "checked" and event.body["result"] in READY:
        gate = str(event.body["gate"])
        if not hurts.get(gate, True):
            yield gate, READY[event.body["result"]]


def _row(subject: Subject, event: Event, gate: str, ready: bool, ages: Ages) -> Seen | None:
    """A row for one gate; None where nothing had begun to count by then."""
    wait, planned = _last(subject.planned, gate)
    if event.happened_at <= planned.began or not planned.gate.kind.opens:
        return None
    coat = isinstance(subject.of, Coat)
    return Seen(
        id=uuid5(event.id, gate),
        workshop_id=subject.of.workshop_id,
        material_id=subject.label.material_id,
        place=subject.place,
        coat_number=wait.coat_number,
        gate=gate,
        glue_up_id=None if coat else subject.of.id,
        coat_id=subject.of.id if coat else None,
        event=event.id,
        at=event.happened_at,
        arrived_at=event.arrived_at,
        age_us=_age_us(wait, planned, event.happened_at, ages),
        ready=ready,
    )


def _last(waits: Sequence[PlannedWait], gate: str) -> tuple[PlannedWait, PlannedGate]:
    """The wait whose gate began last: what opens counts from the last of a group."""
    pairs = [(wait, one) for wait in waits for one in wait.gates if one.gate.kind.key == gate]
    return max(pairs, key=lambda pair: (pair[1].began, str(pair[0].id)))


def _age_us(wait: PlannedWait, planned: PlannedGate, at: datetime, ages: Ages) -> int:
    """Label time by the likely clock from a gate's start to an instant, over every stay."""
    total = 0
    for stay in wait.stays:
        begun = max(stay.began, planned.began)
        ended = at if stay.ended is None or stay is wait.stays[-1] else min(stay.ended, at)
        if ended > begun:
            span = (instant_us(begun), instant_us(ended))
            total += ages.between(stay.place, planned.gate.response, Stance.LIKELY, *span)
    return total


def leg_began(change: Change) -> datetime:
    """The start of the first leg that a change of a place's air can have changed."""
    told = [row.at for row in (*change.added, *change.removed)]
    first = min([*told, *([change.since] if change.since else [])])
    earlier = Reading.objects.filter(place=change.place, at__lt=first, struck_by=None)
    fixed = earlier.filter(floating=False, flag=Reading.Flag.NONE).order_by("-at")
    last = fixed.values_list("at", flat=True).first()
    if last is None:
        return EVER
    heard = place_air(change.place, last).readings.at_us
    before = heard[heard < instant_us(first)]
    return min(last, moment_of(int(before[-1]))) if len(before) else EVER


def _plain(row: Seen) -> tuple[object, ...]:
    """All of a row that is compared."""
    key = (row.id, row.material_id, row.place_id, row.coat_number)
    return (*key, row.at, row.arrived_at, row.age_us, row.ready)
