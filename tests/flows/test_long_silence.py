"""A place that has long been silent: what begins there and what is read late give the same rows.

What is expected in a silence is drawn from the days before it, and thick wood remembers the days
before the last reading, however long ago that was.
"""

from datetime import datetime, timedelta

import pytest

from cureclock.shop.models import Reading
from cureclock.waits.rebuild import differences
from tests.api.door import SensorAtDoor, sensor_in
from tests.cast import Cast, when

pytestmark = [pytest.mark.django_db, pytest.mark.slow]

HOUR = timedelta(hours=1)
LAST = when("Sun 00:00")


def silent(*doubted_c: float) -> tuple[Cast, SensorAtDoor]:
    """A shed with six days of readings, a few doubted ones, and then no word."""
    cast = Cast.open()
    cast.place()
    cast.material()
    sensor = sensor_in(cast, rhythm_s=3600)
    rows = [(when("Mon 00:00") + HOUR * n, 15 + 0.2 * (n % 12)) for n in range(145)]
    say(sensor, *rows, at=LAST)
    for number, temp_c in enumerate(doubted_c, 1):
        say(sensor, (LAST + HOUR / 3 * number, temp_c), at=LAST + HOUR / 3 * number)
    flagged = Reading.objects.exclude(flag="").count()
    assert flagged == len(doubted_c)
    return cast, sensor


def say(sensor: SensorAtDoor, *rows: tuple[datetime, float], at: datetime) -> None:
    told = [{"at": one.isoformat(), "temp_c": temp_c, "rh_pct": 60.0} for one, temp_c in rows]
    answer = sensor.post("readings", at, {"readings": told})
    assert answer.json()["kept"] == len(rows), answer.content


def begin(cast: Cast, at: datetime, thickness_mm: float | None) -> None:
    cast.piece("B", at=at)
    cast.spread("G", ["B"], at, thickness_mm=thickness_mm)
    cast.press("G", at + HOUR / 12)


@pytest.mark.parametrize("doubted_c", [(), (-8.0,)])
@pytest.mark.parametrize("thickness_mm", [75.0, 200.0])
def test_what_begins_in_a_long_silence_is_placed_as_a_rebuild_places_it(
    thickness_mm: float, doubted_c: tuple[float, ...]
) -> None:
    cast, sensor = silent(*doubted_c)
    begun = LAST + 200 * HOUR
    begin(cast, begun, thickness_mm)
    assert differences(cast.workshop, begun + HOUR) == []
    say(sensor, (begun + 2 * HOUR, 12.0), at=begun + 2 * HOUR)
    assert differences(cast.workshop, begun + 2 * HOUR) == []


@pytest.mark.parametrize("doubted_c", [(-8.0,), (35.0,)])
@pytest.mark.parametrize("late_h", [66, 115])
def test_what_is_read_late_inside_a_long_silence_moves_what_began_in_it_as_a_rebuild_does(
    late_h: int, doubted_c: tuple[float, ...]
) -> None:
    cast, sensor = silent(*doubted_c)
    begin(cast, LAST + 100 * HOUR, None)
    spoken = LAST + 130 * HOUR
    say(sensor, (spoken, 12.0), at=spoken)
    say(sensor, (LAST + late_h * HOUR, 13.0), at=spoken + HOUR)
    assert differences(cast.workshop, spoken + HOUR) == []
