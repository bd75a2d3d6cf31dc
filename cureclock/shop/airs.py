"""The air of many places at once, in as many questions as of one."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Case, DateTimeField, OuterRef, Q, Subquery, Value, When

from cureclock.core.expected import Expected
from cureclock.shop.air import LOOK_BACK, PlaceAir, Told, compose, versions_told
from cureclock.shop.models import AirVersion, Place, Reading
from cureclock.shop.sensing import Sensing, sensing_in


@dataclass(frozen=True)
class Known:
    """What is told of one place's air over a span."""

    rows: Sequence[Told]
    versions: tuple[Expected, ...]
    sensing: Sensing


def place_airs(wanted: Mapping[Place, datetime]) -> dict[UUID, PlaceAir]:
    """What `place_air` says of each place from a little before its own instant, by place id."""
    return {
        place: compose(known.rows, known.versions, known.sensing)
        for place, known in known_of(wanted).items()
    }


def known_of(wanted: Mapping[Place, datetime]) -> dict[UUID, Known]:
    """What is told of the air of each place from a little before its own instant, by place id."""
    if not wanted:
        return {}
    rows = _rows(wanted)
    sensing = sensing_in(wanted)
    said: dict[UUID, list[AirVersion]] = {}
    versions = AirVersion.objects.filter(place__in=wanted, struck_by__isnull=True)
    for row in versions.order_by("since", "id"):
        said.setdefault(row.place_id, []).append(row)
    return {
        place.id: Known(
            rows.get(place.id, []),
            versions_told(said.get(place.id, ()), place.workshop.tz),
            sensing.get(place.id) or Sensing(),
        )
        for place in wanted
    }


def _rows(wanted: Mapping[Place, datetime]) -> dict[UUID, list[Told]]:
    """The readings that stand, of each place from a little before its instant, and one before."""
    reach = {place.id: since - LOOK_BACK for place, since in wanted.items()}
    whens = [When(pk=ident, then=Value(at)) for ident, at in reach.items()]
    standing = Reading.objects.filter(struck_by__isnull=True)
    earlier = standing.filter(place=OuterRef("pk"), at__lt=OuterRef("reach")).order_by("-at")
    places = Place.objects.filter(pk__in=reach)
    places = places.annotate(reach=Case(*whens, output_field=DateTimeField()))
    befores = dict(places.values_list("pk", Subquery(earlier.values("at")[:1])))
    since = Q()
    for ident, at in reach.items():
        since |= Q(place=ident, at__gte=befores.get(ident) or at)
    columns = ("place_id", *Told._fields[:-1], "sensor__rhythm_s")
    rows: dict[UUID, list[Told]] = {}
    for row in standing.filter(since).values_list(*columns):
        rows.setdefault(row[0], []).append(Told._make(row[1:]))
    return rows
