"""Clock times as instants, and hours of a week as spells."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.refusal import Refused
from cureclock.core.reminding.wall import Weekly, is_there, wall_us
from cureclock.core.units import DAY_US, HOUR_US, instant_us, moment_of

DUBLIN = ZoneInfo("Europe/Dublin")
NEW_YORK = ZoneInfo("America/New_York")
LORD_HOWE = ZoneInfo("Australia/Lord_Howe")  # its clocks change by half an hour
ZONES = st.sampled_from([DUBLIN, NEW_YORK, LORD_HOWE, ZoneInfo("UTC")])
DAYS = st.dates(date(2000, 1, 2), date(2037, 12, 30))


def _utc(text: str) -> int:
    return instant_us(datetime.fromisoformat(text).replace(tzinfo=UTC))


@pytest.mark.parametrize(
    ("zone", "day", "clock", "utc"),
    [
        (DUBLIN, date(2024, 2, 15), time(18), "2024-02-15 18:00"),
        (DUBLIN, date(2024, 7, 15), time(18), "2024-07-15 17:00"),
        (DUBLIN, date(2024, 3, 31), time(1, 30), "2024-03-31 01:30"),  # leapt over: 02:30 there
        (DUBLIN, date(2024, 10, 27), time(1, 30), "2024-10-27 00:30"),  # twice: the first
        (NEW_YORK, date(2024, 3, 10), time(2, 30), "2024-03-10 07:30"),
        (NEW_YORK, date(2024, 11, 3), time(1, 30), "2024-11-03 05:30"),
        (LORD_HOWE, date(2024, 10, 6), time(2, 15), "2024-10-05 15:45"),
    ],
)
def test_gaps_go_forward_and_of_two_the_first_counts(zone, day, clock, utc):
    assert wall_us(day, clock, zone) == _utc(utc)


@given(DAYS, st.times(), ZONES)
def test_a_clock_shows_the_time_asked_for_or_as_much_later_as_it_leapt(day, clock, zone):
    local = moment_of(wall_us(day, clock, zone)).astimezone(zone)
    late = local.replace(tzinfo=None) - datetime.combine(day, clock)
    assert late in {timedelta(0), timedelta(minutes=30), timedelta(hours=1)}


WEEK = Weekly.of({str(day): ["08:00", "18:00"] for day in range(5)})


def test_spells_of_a_week_follow_the_clocks():
    friday = _utc("2024-03-29 00:00")
    spells = WEEK.spells(DUBLIN, friday, days=3)
    assert spells is not None
    assert [moment_of(us).isoformat() for us in spells.open_us.tolist()][-2:] == [
        "2024-03-29T08:00:00+00:00",
        "2024-04-01T07:00:00+00:00",
    ]


def test_an_evening_shift_ends_the_day_after():
    spells = Weekly({0: (time(20), time(2))}).spells(DUBLIN, _utc("2024-02-12 12:00"), days=1)
    assert spells is not None
    assert int(spells.close_us[0] - spells.open_us[0]) == 6 * HOUR_US


def test_hours_that_meet_make_one_spell():
    weekly = Weekly({0: (time(8), time(8)), 1: (time(8), time(18))})
    spells = weekly.spells(DUBLIN, _utc("2024-02-12 12:00"), days=1)
    assert spells is not None
    assert len(spells.open_us) == 1


def test_who_never_comes_has_no_spells_and_is_never_there():
    spells = Weekly({}).spells(DUBLIN, 0)
    assert spells is None
    assert not is_there(spells, 0)


@given(DAYS, ZONES, st.integers(0, 13), st.times(), st.times())
def test_spells_are_in_order_and_reach_as_far_as_asked(day, zone, ahead, comes, goes):
    weekly = Weekly(dict.fromkeys(range(7), (comes, goes)))
    at_us = wall_us(day, time(12), zone)
    spells = weekly.spells(zone, at_us, days=ahead + 1)
    assert spells is not None
    inside = wall_us(day + timedelta(days=ahead), comes, zone)
    assert spells.open_us[0] < at_us
    assert inside <= spells.close_us[-1]
    assert (spells.close_us > spells.open_us).all()


@given(DAYS, ZONES, st.integers(-DAY_US, DAY_US))
def test_somebody_is_there_exactly_within_a_spell(day, zone, shift_us):
    spells = WEEK.spells(zone, wall_us(day, time(12), zone))
    assert spells is not None
    at_us = wall_us(day, time(12), zone) + shift_us
    spans = zip(spells.open_us.tolist(), spells.close_us.tolist(), strict=True)
    assert is_there(spells, at_us) == any(opens <= at_us <= closes for opens, closes in spans)


@pytest.mark.parametrize(
    "kept",
    [
        {"7": ["08:00", "18:00"]},
        {"Mon": ["08:00", "18:00"]},
        {"0": ["08:00"]},
        {"0": ["8am", "18:00"]},
        {"0": None},
    ],
)
def test_hours_that_are_none_are_refused(kept):
    with pytest.raises(Refused, match=r"hours of the week|weekday"):
        Weekly.of(kept)


@pytest.mark.parametrize("days", [0, 367])
def test_days_ahead_are_bounded(days):
    with pytest.raises(Refused, match="days ahead"):
        WEEK.spells(DUBLIN, 0, days=days)


def test_a_short_shift_within_a_long_one_does_not_end_it():
    """Monday noon to Tuesday 10:00 are 22 h, whoever comes on Tuesday from 06:00 to 08:00."""
    week = Weekly.of({"0": ["12:00", "10:00"], "1": ["06:00", "08:00"]})
    spells = week.spells(ZoneInfo("UTC"), _utc("2024-02-12 00:00"), days=3)
    assert spells is not None
    assert ((spells.close_us - spells.open_us) // HOUR_US).tolist() == [22]
