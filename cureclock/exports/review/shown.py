"""What the screens said then: by what had arrived by that time, not by what is known now."""

from datetime import datetime

from cureclock.core.clock import NEVER
from cureclock.core.units import instant_us
from cureclock.exports.review.scope import Group
from cureclock.shop.air import PlaceAir, compose, rows_since, versions_of
from cureclock.shop.models import AirVersion, Place, Reading
from cureclock.shop.sensing import sensing_of
from cureclock.waits.ages import Ages
from cureclock.waits.foretold import Foresight


def cold_shown_at(group: Group) -> datetime | None:
    """When the cold that spoiled a film was foretold: at its spreading, if it was."""
    one = group.waits[0]
    found = one.gate("keep_warm")
    if found is None or one.wait.floor_c is None or found[1].act is None:
        return None
    spread, pressed = one.wait.began_at, found[0].began_at
    place = one.stays[0].place if one.stays else one.wait.place
    ages = Ages(spread, pressed, {place.id: _known_then(place, spread, pressed)})
    crossing = int(Foresight(ages).spoils(place, one.wait.floor_c).first_from(instant_us(pressed)))
    formed = instant_us(found[1].act)
    return spread if crossing < min(NEVER, formed) else None


def window_shown_at(group: Group) -> datetime | None:
    """When the end of a coat's window was about to be warned of, for the piece it shut first on."""
    rows = [found for one in group.waits if (found := one.gate("recoat_closes")) is not None]
    warns = [times.warn for _, times in rows if times.warn is not None]
    return min(warns, default=None)


def _known_then(place: Place, since: datetime, then: datetime) -> PlaceAir:
    """A place's air by what had arrived, and what was expected, at an instant."""
    arrived = Reading.objects.filter(place=place, arrived_at__lte=then)
    ids = set(arrived.values_list("id", flat=True))
    later = AirVersion.objects.filter(place=place, arrived_at__gt=then)
    without = set(later.values_list("id", flat=True))
    rows = [row for row in rows_since(place, since) if row.id in ids]
    return compose(rows, versions_of(place, without), sensing_of(place))
