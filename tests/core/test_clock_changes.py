"""An hour is an hour, whatever the wall does in spring and autumn."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from cureclock.core.clock import build_clock
from cureclock.core.expected import Expected
from cureclock.core.response import Kind, Response
from cureclock.core.timeline import Readings, build_air
from cureclock.core.units import DAY_US, HOUR_US, instant_us, moment_of
from tests.core.airs import MONDAY_US, legs

PLAIN = Response(Kind.DOUBLING)


@pytest.mark.parametrize(
    ("zone", "start", "elapsed_h", "wall"),
    [
        ("America/New_York", "2025-03-09T01:00-05:00", 2, "2025-03-09T04:00-04:00"),
        ("America/New_York", "2025-11-02T00:30-04:00", 3, "2025-11-02T02:30-05:00"),
        ("Europe/London", "2025-10-26T00:30+01:00", 2, "2025-10-26T01:30+00:00"),
        ("Europe/Berlin", "2025-03-30T01:30+01:00", 1, "2025-03-30T03:30+02:00"),
        ("Australia/Lord_Howe", "2025-04-06T01:00+11:00", 2, "2025-04-06T02:30+10:30"),
    ],
)
def test_hours_are_hours_when_the_clocks_change(zone, start, elapsed_h, wall):
    """Worked out with the IANA zones; the wall clock alone would be an hour, or half, off."""
    begun = instant_us(datetime.fromisoformat(start).astimezone(ZoneInfo(zone)))
    read = Readings.settle([begun - DAY_US], [20.0])
    clock = build_clock(build_air(read, [Expected()], begun, begun + 3 * DAY_US), PLAIN)
    ends = int(clock.earliest(clock.age_at(begun) + elapsed_h * HOUR_US))
    assert moment_of(ends).astimezone(ZoneInfo(zone)).isoformat(timespec="minutes") == wall


@pytest.mark.parametrize("day", ["2026-03-28T16:00+01:00", "2026-10-24T16:00+02:00"])
def test_a_day_over_a_clock_change_is_24_hours(day):
    begun = datetime.fromisoformat(day)
    us = instant_us(begun)
    clock = build_clock(legs([48], [20, 20]), Response(Kind.WALL))
    ends = us + int(clock.earliest(DAY_US) - MONDAY_US)
    assert moment_of(ends) - begun == timedelta(hours=24)
