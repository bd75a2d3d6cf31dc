"""The night strip: nights by the shop's own clock, and a line of air that keeps its coldest point."""

from datetime import UTC, datetime, timedelta
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest

from cureclock.waits.one_group import one_group
from cureclock.waits.strip import MOST_POINTS, _nights
from tests.cast import Cast, when

DUBLIN = ZoneInfo("Europe/Dublin")


def test_nights_are_eight_to_eight_by_the_shops_own_clock() -> None:
    start = datetime(2026, 7, 1, 12, tzinfo=UTC)
    nights = list(_nights(start, start + timedelta(hours=24), DUBLIN))
    assert nights == [(datetime(2026, 7, 1, 19, tzinfo=UTC), datetime(2026, 7, 2, 7, tzinfo=UTC))]


def test_the_night_the_clocks_change_is_an_hour_shorter() -> None:
    start = datetime(2026, 3, 28, 12, tzinfo=UTC)
    ((falls, rises),) = _nights(start, start + timedelta(hours=24), DUBLIN)
    assert rises - falls == timedelta(hours=11)


def test_a_strip_that_begins_in_the_night_begins_with_it() -> None:
    start = datetime(2026, 2, 3, 2, tzinfo=UTC)
    nights = list(_nights(start, start + timedelta(hours=20), ZoneInfo("UTC")))
    assert [falls for falls, _ in nights] == [start, datetime(2026, 2, 3, 20, tzinfo=UTC)]


@pytest.mark.django_db
def test_of_more_readings_than_fit_the_coldest_stays_on_the_strip() -> None:
    from cureclock.actions.readings_taken import readings_taken
    from cureclock.shop.models import Place
    from cureclock.shop.readings import ReadingSaid

    cast = Cast.open()
    cast.place()
    cast.material()
    cast.piece("L-01")
    rows = [
        ReadingSaid(
            uuid4(), when("Mon 08:00") + timedelta(minutes=5 * n), 3.0 if n == 77 else 12.0 + n % 5
        )
        for n in range(2000)
    ]
    readings_taken(cast.owner, Place.objects.get(), rows, when("+9 00:00"))
    cast.spread("G1", ["L-01"], "Mon 08:05")
    cast.press("G1", "Mon 08:10")
    strip = one_group(cast.workshop, cast.id("G1"), when("+6 00:00")).strip
    assert strip is not None
    assert len(strip.temps) <= MOST_POINTS + 2
    assert min(temp_c for _, temp_c, _ in strip.temps) == 3.0
    assert strip.from_ == when("Mon 08:05")
