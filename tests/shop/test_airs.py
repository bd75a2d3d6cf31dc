"""The air of many places read at once is that of each read alone."""

from datetime import timedelta

import numpy as np
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from cureclock.core.units import HOUR_US, instant_us
from cureclock.shop.air import place_air
from cureclock.shop.airs import place_airs
from cureclock.shop.models import Place, Reading
from tests.api.door import sensor_in
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db


def shops() -> list[Place]:
    """Two shops: a place read often, one seldom, one never; offsets, a believed sensor, a heater."""
    for number, name in enumerate(("One", "Two")):
        cast = Cast.open(name)
        for place in ("Shed", "Box", "Never"):
            cast.place(place)
        sensor = sensor_in(cast).sensor
        for hour in range(30 + number):
            at = when("Mon 00:00") + timedelta(hours=9 * hour)
            cast.do("reading_taken", at, place=cast.id("Shed"), temp_c=10.0 + hour % 7)
        cast.read("Tue 06:00", 3.0, 70.0, place="Box")
        cast.do("lowest_last_night", "Wed 07:00", place=cast.id("Shed"), temp_c=2.0)
        cast.do("sensor_offset", "Wed 08:00", sensor=sensor.id, temp_k=0.5)
        cast.do("sensor_believed", "Wed 09:00", place=cast.id("Shed"), sensor=sensor.id)
        said = {"outside_low_c": -2.0, "heater_off": True}
        cast.do("air_expected", "Thu 20:00", place=cast.id("Box"), **said)
    return list(Place.objects.select_related("workshop"))


def test_read_at_once_it_is_what_each_is_alone() -> None:
    places = shops()
    since = {place: when("+8 00:00") + timedelta(hours=7 * n) for n, place in enumerate(places)}
    together = place_airs(since)
    assert together.keys() == {place.id for place in places}
    for place, at in since.items():
        alone = place_air(place, at)
        for name in ("readings", "cautious"):
            one, other = getattr(alone, name), getattr(together[place.id], name)
            for column in ("at_us", "temp_c", "rh_pct", "mark"):
                told = (getattr(one, column).tolist(), getattr(other, column).tolist())
                assert repr(told[0]) == repr(told[1]), (place.name, name, column)
        assert alone.versions == together[place.id].versions


def test_it_asks_no_more_of_many_than_of_one() -> None:
    places = shops()
    counts = []
    for part in (places[:1], places):
        with CaptureQueriesContext(connection) as caught:
            place_airs(dict.fromkeys(part, when("+8 00:00")))
        counts.append(len(caught))
    assert counts[0] == counts[1]


def test_of_nowhere_nothing_is_asked() -> None:
    assert place_airs({}) == {}


def test_air_is_the_same_in_whatever_order_the_store_keeps_the_readings() -> None:
    """Told the newest first, and read from the store as they lie there."""
    cast = Cast.open()
    cast.place()
    hours = [
        (when("Mon 00:00") + timedelta(hours=n), 10.0 + n % 5) for n in (200, *range(40, -1, -1))
    ]
    for at, temp_c in hours:
        cast.do("reading_taken", at, place=cast.id("Shed"), temp_c=temp_c)
    shed = Place.objects.get(id=cast.id("Shed"))
    (by_time,) = (one for one in Reading._meta.indexes if one.fields == ["place", "at"])
    with connection.cursor() as cursor:
        cursor.execute(f"DROP INDEX {by_time.name}")  # which gave them in order by chance
    known = place_air(shed, when("Sun 06:00")).readings.at_us  # in the silence after hour 40
    assert known.tolist() == sorted(instant_us(at) for at, _ in hours)


def test_air_of_a_place_that_fell_silent_is_drawn_from_the_days_before_its_last_reading() -> None:
    """However far back somebody asks for it: a wait begun in the silence, and all that ever was."""
    cast = Cast.open()
    cast.place()
    for hour in range(0, 7 * 24, 6):
        at = when("Mon 00:00") + timedelta(hours=hour)
        cast.do("reading_taken", at, place=cast.id("Shed"), temp_c=10.0 + hour % 24 / 2)
    shed = Place.objects.get(id=cast.id("Shed"))
    last, asked = when("Sun 18:00"), when("+9 10:00")  # 64 hours of silence
    lines = [
        place_air(shed, since).line(instant_us(last), instant_us(asked), 20.0)
        for since in (asked, when("Tue 00:00"), None)
    ]
    hours = instant_us(last) + np.arange(64) * HOUR_US
    nights = [line.temp_at(hours).tolist() for line in lines]
    assert nights[0] == nights[1] == nights[2]
    assert (
        min(nights[0]) < 13 < max(nights[0]) - 3
    )  # the days before, and not the last reading held
