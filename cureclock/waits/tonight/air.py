"""How cold each place gets, what that is known from, and whether it is known at all."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

import numpy as np

from cureclock.core.expected import Anchors
from cureclock.core.timeline import GRID_US
from cureclock.core.units import HOUR_US, instant_us, moment_of
from cureclock.core.wording.say import say
from cureclock.shop.air import PlaceAir
from cureclock.shop.models import Place
from cureclock.waits.check.said import figure
from cureclock.waits.check.scene import Scene

LOOKED_US = 18 * HOUR_US  # from the afternoon to the middle of the next morning; our choice


@dataclass(frozen=True)
class PlaceNight:
    """The night in one place.

    Attributes:
        low_c, low_at: its lowest and when, by the expected air; none where nobody ever read it.
        basis: typed, cooling, as_before (the same hours of three measured days), held (the last
            reading, for want of anything better) or none. Never from outside the shop.
        unsure: nobody has read it in the last four hours.
    """

    place: UUID
    name: str
    low_c: float | None
    low_at: datetime | None
    basis: str
    unsure: bool
    says: str


def place_night(scene: Scene, place: Place) -> PlaceNight:
    """The coming night in a place."""
    air = scene.ages.air(place)
    if air.last_us is None:
        says = say("check.tonight.no_word", place=place.name)
        return PlaceNight(place.id, place.name, None, None, "none", True, says)
    low_c, low_us = _lowest(scene, place)
    unsure = not scene.air(place).known
    told = {"place": place.name, "low": figure(low_c), "at": scene.reader.closes(low_us)}
    basis = basis_of(air)
    by_basis = {
        "typed": "check.tonight.typed",
        "cooling": "check.tonight.cooling",
        "as_before": "check.tonight.as_before",
        "held": "check.tonight.held",
    }
    says = say("check.tonight.unsure", **told) if unsure else say(by_basis[basis], **told)
    return PlaceNight(place.id, place.name, round(low_c, 1), moment_of(low_us), basis, unsure, says)


def _lowest(scene: Scene, place: Place) -> tuple[float, int]:
    line, now = scene.line(place), instant_us(scene.at)
    first = now // GRID_US + 1
    later = np.arange(first, first + LOOKED_US // GRID_US, dtype=np.int64) * GRID_US
    at_us = np.concatenate([[now], later])
    temps = line.temp_at(at_us)
    coldest = int(np.argmin(temps))
    return float(temps[coldest]), int(at_us[coldest])


def basis_of(air: PlaceAir) -> str:
    """What the air after the last reading is expected from."""
    newest = air.versions[-1]
    if newest.typed:
        return "typed"
    if newest.cools:
        return "cooling"
    read = air.readings
    last = read.at_us[-1:]
    anchors = Anchors.of(read.at_us, read.temp_c, read.rh_pct, read.gaps(), last)
    return "as_before" if bool(anchors.days_known[0]) else "held"
