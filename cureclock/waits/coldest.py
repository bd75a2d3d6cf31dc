"""Ages for an answer that can hurt: every assumed leg counts at the coldest plausible."""

from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import Min

from cureclock.core.timeline import Air, at_coldest
from cureclock.core.units import DAY_US, moment_of
from cureclock.shop.models import Place, Reading
from cureclock.waits.ages import Ages

COLDER_K = 5.0  # below the expected low; our choice
LOOK_BACK = timedelta(days=14)  # the lowest reading of so many days; our choice


class ColdestAges(Ages):
    """Ages on air whose assumed legs are the lower of the place's lowest reading in fourteen
    days and the expected low less five kelvin."""

    def __init__(self, since: datetime, until: datetime) -> None:
        super().__init__(since, until)
        self._lowest: dict[UUID, float] = {}

    def _drawn(self, place: Place, label_temp_c: float, until_us: int, cautious: bool) -> Air:
        air = super()._drawn(place, label_temp_c, until_us, cautious)
        known = self.air(place).cautious
        if not len(known):
            return at_coldest(air, float(air.temp_c.min()) - COLDER_K)
        last = int(known.at_us[-1])
        ahead = air.temp_c[(air.at_us >= last) & (air.at_us <= last + DAY_US)].min()
        return at_coldest(air, min(self._lowest_c(place, last), float(ahead) - COLDER_K))

    def _lowest_c(self, place: Place, last_us: int) -> float:
        """The lowest reading of the fourteen days before the last one, asked once a place."""
        if place.id not in self._lowest:
            since = moment_of(last_us) - LOOK_BACK
            rows = Reading.objects.filter(place=place, struck_by=None, at__gte=since)
            found = rows.exclude(flag="high").aggregate(lowest=Min("temp_c"))["lowest"]
            self._lowest[place.id] = float(found)
        return self._lowest[place.id]
