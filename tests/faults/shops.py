"""Very many workshops to work in, on PostgreSQL: each with a place, a sensor, a label and a phone."""

from datetime import UTC, datetime, timedelta
from typing import Any

from cureclock.reminders.models import Way
from cureclock.shop.models import LabelVersion, Membership, Phone, Place, Sensor, Workshop
from cureclock.shop.tokens import hashed
from cureclock.waits.rebuild import differences
from tests import many, scale
from tests.api.door import sensor_in
from tests.cast import PVA_G
from tests.faults.child import Say

CURES_S = 6.0  # until clamps may come off, at the label's temperature


def open_them(told: dict[str, Any], say: Say) -> None:
    """Open so many; what a phone and a sensor need to know of each is said."""
    now = datetime.now(UTC)
    cast = many.shop(now)
    quick = {**PVA_G, "clamps_off": CURES_S / 3600, "keep_warm": 0.001}
    cast.material("Quick", values=quick, at=now - timedelta(hours=2))  # type: ignore[arg-type]
    sensor_in(cast, rhythm_s=60)
    scale.copy_places(cast, told["shops"] - 1, each=1)
    say([_furnished(shop, told, now) for shop in Workshop.objects.order_by("id")])


def _furnished(workshop: Workshop, told: dict[str, Any], at: datetime) -> dict[str, str]:
    ident = str(workshop.id)
    owner = Membership.objects.get(workshop=workshop, role="owner").person
    place = Place.objects.get(workshop=workshop)
    sensor = Sensor.objects.get(place=place)
    label = LabelVersion.objects.get(material__workshop=workshop, material__name="Quick")
    Sensor.objects.filter(pk=sensor.pk).update(token_hash=hashed(f"sensor {ident}"))
    phone = Phone.objects.create(
        workshop=workshop, person=owner, name="p", token_hash=hashed(ident), paired_at=at
    )
    Way.objects.create(
        workshop=workshop,
        person=owner,
        kind="webpush",
        address=f"{told['address']}{ident}",
        host=told["address"].split("/")[2],
        keys=told["keys"],
        made_at=at,
    )
    names = {"workshop": ident, "place": place.id, "label": label.id, "phone": phone.id}
    return {**{name: str(one) for name, one in names.items()}, "sensor": f"sensor {ident}"}


def differ(shops: list[str], say: Say) -> None:
    """What a rebuild of some workshops would change."""
    now = datetime.now(UTC)
    rows = Workshop.objects.filter(id__in=shops)
    say([line for workshop in rows for line in differences(workshop, now)])
