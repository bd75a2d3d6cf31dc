"""Quiet hours, across both changes of the clocks."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from cureclock.core.reminding.kinds import CLOSES, OPENS, Kind
from cureclock.core.reminding.quiet import breaks_quiet, not_before
from cureclock.core.reminding.wall import wall_us
from cureclock.core.units import HOUR_US, MINUTE_US, instant_us, moment_of

DUBLIN = ZoneInfo("Europe/Dublin")
ZONES = st.sampled_from([DUBLIN, ZoneInfo("America/New_York"), ZoneInfo("Australia/Lord_Howe")])
MOMENTS = st.integers(
    instant_us(datetime(2020, 1, 1, tzinfo=UTC)), instant_us(datetime(2030, 1, 1, tzinfo=UTC))
)
NIGHT = (time(21), time(7))


def _local(text: str) -> int:
    return instant_us(datetime.fromisoformat(text).replace(tzinfo=DUBLIN))


@pytest.mark.parametrize(
    ("at", "told"),
    [
        ("2024-02-15 20:59", "2024-02-15 20:59"),
        ("2024-02-15 21:00", "2024-02-16 07:00"),
        ("2024-02-16 03:00", "2024-02-16 07:00"),
        ("2024-02-16 06:59", "2024-02-16 07:00"),
        ("2024-02-16 07:00", "2024-02-16 07:00"),
    ],
)
def test_what_comes_up_in_the_quiet_waits_for_its_end(at, told):
    assert not_before(_local(at), DUBLIN, *NIGHT) == _local(told)


@pytest.mark.parametrize("day", [date(2024, 3, 31), date(2024, 10, 27)])
def test_a_night_in_which_clocks_change_still_ends_at_the_time_on_the_wall(day):
    at_us = wall_us(day - timedelta(days=1), time(23), DUBLIN)
    told = moment_of(not_before(at_us, DUBLIN, *NIGHT)).astimezone(DUBLIN)
    assert (told.date(), told.time()) == (day, time(7))


def test_quiet_that_ends_in_the_leap_ends_as_much_after_it():
    """01:30 of 31 March 2024 is leapt over in Dublin; the clock then shows 02:30."""
    at_us = _local("2024-03-31 00:30")
    told = moment_of(not_before(at_us, DUBLIN, time(22), time(1, 30))).astimezone(DUBLIN)
    assert told.time() == time(2, 30)


def test_quiet_that_ends_at_a_time_that_comes_twice_ends_at_the_first():
    at_us = _local("2024-10-27 00:30")
    told_us = not_before(at_us, DUBLIN, time(22), time(1, 30))
    assert told_us - at_us == HOUR_US
    assert not_before(told_us + HOUR_US, DUBLIN, time(22), time(1, 30)) == told_us + HOUR_US


@pytest.mark.parametrize("hours", [(None, None), (time(21), None), (None, time(7)), (time(7),) * 2])
def test_without_quiet_hours_nothing_waits(hours):
    at_us = _local("2024-02-16 03:00")
    assert not_before(at_us, DUBLIN, *hours) == at_us


@given(MOMENTS, ZONES, st.times(), st.times())
def test_what_breaks_the_quiet_never_waits(at_us, zone, begins, ends):
    assert not_before(at_us, zone, begins, ends, breaks=True) == at_us


def _minute(clock: time) -> int:
    return clock.hour * 60 + clock.minute


def _quiet_there(at_us: int, zone: ZoneInfo, begins: time, ends: time) -> bool:
    """By the clock on the wall, of days on which no clock changes."""
    shown = _minute(moment_of(at_us).astimezone(zone).time())
    if begins <= ends:
        return _minute(begins) <= shown < _minute(ends)
    return shown >= _minute(begins) or shown < _minute(ends)


CLOCKS = st.integers(0, 1439).map(lambda minute: time(minute // 60, minute % 60))


@given(MOMENTS, ZONES, CLOCKS, CLOCKS)
@example(instant_us(datetime(2024, 3, 31, 0, 59, tzinfo=UTC)), DUBLIN, time(1), time(0, 59))
@example(instant_us(datetime(2024, 3, 30, 12, tzinfo=UTC)), DUBLIN, time(2), time(1, 59))
@example(instant_us(datetime(2024, 10, 27, 0, 59, tzinfo=UTC)), DUBLIN, time(1, 30), time(1, 15))
def test_nobody_is_told_sooner_than_it_came_up_nor_more_than_two_days_late(
    at_us, zone, begins, ends
):
    told_us = not_before(at_us, zone, begins, ends)
    assert 0 <= told_us - at_us <= 50 * HOUR_US
    assert not_before(told_us, zone, begins, ends) == told_us


@given(MOMENTS, ZONES, CLOCKS, CLOCKS)
def test_on_a_day_without_a_change_the_clock_on_the_wall_decides(at_us, zone, begins, ends):
    offsets = {
        moment_of(at_us + shift * HOUR_US).astimezone(zone).utcoffset()
        for shift in range(-48, 49, 6)
    }
    if len(offsets) > 1 or begins == ends:
        return
    told_us = not_before(at_us, zone, begins, ends)
    assert (told_us != at_us) == _quiet_there(at_us, zone, begins, ends)
    if told_us != at_us:
        assert moment_of(told_us).astimezone(zone).time() == ends
        assert told_us - at_us <= 24 * HOUR_US
        assert _quiet_there(told_us - MINUTE_US, zone, begins, ends)


BREAK = {
    (Kind.RAGS, ""),
    (Kind.COLD, ""),
    *((kind, gate) for kind in (Kind.CLOSING, Kind.CLOSED) for gate in ("wipe_off", "open_time")),
    *((kind, g) for kind in (Kind.CLOSING, Kind.CLOSED) for g in ("total_assembly", "pot_life")),
    *((Kind.CORRECTION, gate) for gate in ("spin", "service", "wet_use")),
}


def test_few_kinds_break_the_quiet():
    every = {(kind, gate) for kind in Kind for gate in {"", *OPENS, *CLOSES}}
    broken = {pair for pair in every if breaks_quiet(*pair)}
    always = {(kind, gate) for kind, gate in every if kind in {Kind.RAGS, Kind.COLD}}
    assert broken == BREAK | always


def test_quiet_hours_to_midnight_end_at_midnight():
    """From 21:00 to 00:00: what comes up at 22:00 waits two hours."""
    zone = ZoneInfo("UTC")
    assert not_before(22 * HOUR_US, zone, time(21), time(0)) == 24 * HOUR_US
