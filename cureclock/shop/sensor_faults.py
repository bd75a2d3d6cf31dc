"""What sensors do wrong, counted by kind: however much comes, one row tells of it."""

from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import datetime
from uuid import UUID

from django.db.models import F

from cureclock.shop.models import Reading, Sensor, SensorFault
from cureclock.shop.refusals import Refusal

Kind = SensorFault.Kind
OF_KEY = {"flood": Kind.FLOOD, "future": Kind.FUTURE, "other_body": Kind.TWICE}
SAMPLE = 200


def gone_since(places: Iterable[UUID]) -> dict[UUID, datetime]:
    """Places whose newest word is that of a sensor which said goodbye after it: when it spoke."""
    said_goodbye = SensorFault.objects.filter(kind=Kind.GONE, sensor__place__in=list(places))
    found = {}
    for sensor, place, gone_at in said_goodbye.values_list("sensor", "sensor__place", "last_at"):
        newest = Reading.objects.filter(place=place, struck_by=None).order_by("-at", "-id")
        said = newest.values_list("sensor", "at").first()
        if said is not None and said[0] == sensor and said[1] < gone_at:
            found[place] = said[1]
    return found


def note_refused(sensor: Sensor, refused: Sequence[Refusal], at: datetime) -> None:
    """Count readings that were not kept, by what was wrong with them."""
    kinds = Counter(OF_KEY.get(why.key, Kind.IMPOSSIBLE) for why in refused)
    words = {OF_KEY.get(why.key, Kind.IMPOSSIBLE): why.wrong for why in refused}
    for kind, count in kinds.items():
        note_fault(sensor, kind, at, sample=words[kind], count=count)


def note_fault(
    sensor: Sensor, kind: SensorFault.Kind, at: datetime, *, sample: str, count: int = 1
) -> None:
    """Count one kind of fault of a sensor; the last sample is kept, cut short."""
    fault, new = SensorFault.objects.get_or_create(
        sensor=sensor,
        kind=kind,
        defaults={"count": count, "first_at": at, "last_at": at, "sample": sample[:SAMPLE]},
    )
    if not new:
        SensorFault.objects.filter(pk=fault.pk).update(
            count=F("count") + count, last_at=at, sample=sample[:SAMPLE]
        )
