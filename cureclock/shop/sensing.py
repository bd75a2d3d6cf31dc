"""What is made of a place's sensors: what is added to each, and which of them is believed."""

from collections.abc import Collection
from dataclasses import dataclass, field
from uuid import UUID

from cureclock.core.units import instant_us
from cureclock.shop.models import BelievedVersion, OffsetVersion, Place


@dataclass(frozen=True)
class Sensing:
    """What is made of sensors, each list oldest first.

    Attributes:
        offsets: what is added to a sensor's readings: from when on [us], degrees, humidity.
        believed: which sensor alone is believed from when on [us]; None: all of them.
    """

    offsets: dict[UUID, list[tuple[int, float, float]]] = field(default_factory=dict)
    believed: list[tuple[int, UUID | None]] = field(default_factory=list)

    def added(self, sensor: UUID | None, at_us: int) -> tuple[float, float]:
        """Degrees and humidity to add to what a sensor said at an instant [us]."""
        said = [one for one in self.offsets.get(sensor, ()) if one[0] <= at_us] if sensor else []
        return said[-1][1:] if said else (0.0, 0.0)

    def believes(self, sensor: UUID | None, at_us: int) -> bool:
        """Whether what it said at an instant [us] counts; what a person read always does."""
        return sensor is None or self.alone(at_us) in (None, sensor)

    def alone(self, at_us: int) -> UUID | None:
        """Which sensor alone is believed at an instant [us]; None: all of them."""
        said = [one for since, one in self.believed if since <= at_us]
        return said[-1] if said else None


def sensing_of(place: Place, without: Collection[UUID] = ()) -> Sensing:
    """What is made of the sensors of a place, some happenings left out."""
    return sensing_in([place], without).get(place.id) or Sensing()


def sensing_in(places: Collection[Place], without: Collection[UUID] = ()) -> dict[UUID, Sensing]:
    """The same of several places; those of whose sensors nothing was said are not in it."""
    found: dict[UUID, Sensing] = {}
    rows = OffsetVersion.objects.filter(sensor__place__in=places, struck_by__isnull=True)
    told = rows.exclude(id__in=without).order_by("since", "id").select_related("sensor")
    for row in told:
        of_place = found.setdefault(row.sensor.place_id, Sensing())
        added = (instant_us(row.since), row.temp_k, row.rh_pct)
        of_place.offsets.setdefault(row.sensor_id, []).append(added)
    said = BelievedVersion.objects.filter(place__in=places, struck_by__isnull=True)
    for one in said.exclude(id__in=without).order_by("since", "id"):
        of_place = found.setdefault(one.place_id, Sensing())
        of_place.believed.append((instant_us(one.since), one.sensor_id))
    return found
