"""Times as people say them."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.refusal import Refused
from cureclock.core.units import DAY_US, MINUTE_US, SECOND_US, instant_us, moment_of
from cureclock.core.wording.times import Day, Reader, say_time

DUBLIN = ZoneInfo("Europe/Dublin")
ZONES = st.sampled_from(
    [
        DUBLIN,
        ZoneInfo("Australia/Lord_Howe"),
        ZoneInfo("America/New_York"),
        ZoneInfo("Asia/Kolkata"),
    ]
)
MOMENTS = st.integers(30 * 365 * DAY_US, 130 * 365 * DAY_US).map(moment_of)  # 2000 to 2099


def _local(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=DUBLIN)


THU_NOON = _local("2024-02-15 12:00")


@pytest.mark.parametrize(
    ("seen", "moment", "said"),
    [
        ("2024-02-15 12:00", "2024-02-15 14:07", "14:07"),
        ("2024-02-15 12:00", "2024-02-15 08:07", "08:07"),
        ("2024-02-15 17:12", "2024-02-16 02:20", "02:20"),
        ("2024-02-15 11:59", "2024-02-16 02:20", "Fri 02:20"),
        ("2024-02-15 17:12", "2024-02-16 06:00", "Fri 06:00"),
        ("2024-02-15 15:00", "2024-02-16 14:07", "Fri 14:07"),
        ("2024-02-15 06:50", "2024-02-14 18:40", "Wed 18:40"),
        ("2024-02-15 12:00", "2024-02-21 09:00", "Wed 09:00"),
        ("2024-02-15 12:00", "2024-02-22 09:00", "Thu 22 Feb 09:00"),
        ("2024-02-15 12:00", "2024-02-08 09:00", "Thu 8 Feb 09:00"),
        ("2024-12-30 12:00", "2025-01-09 09:00", "Thu 9 Jan 09:00"),
        ("2024-02-15 12:00", "2025-01-09 09:00", "Thu 9 Jan 2025 09:00"),
    ],
)
def test_the_day_is_said_only_where_the_time_could_be_another(seen, moment, said):
    assert say_time(_local(moment), _local(seen), DUBLIN) == said


def test_today_is_said_where_it_is_asked_for():
    assert say_time(_local("2024-02-15 14:07"), THU_NOON, DUBLIN, day=Day.TODAY) == "today 14:07"
    assert say_time(_local("2024-02-16 03:07"), THU_NOON, DUBLIN, day=Day.TODAY) == "Fri 03:07"


def test_a_named_day_still_holds_for_who_reads_it_the_day_after():
    assert say_time(_local("2024-02-15 14:07"), THU_NOON, DUBLIN, day=Day.NAMED) == "Thu 14:07"


def test_a_clock_time_that_comes_twice_says_which():
    first = datetime(2024, 10, 27, 0, 30, tzinfo=UTC)
    seen = datetime(2024, 10, 26, 23, 0, tzinfo=UTC)
    assert say_time(first, seen, DUBLIN) == "01:30 (IST)"
    assert say_time(first + timedelta(hours=1), seen, DUBLIN) == "01:30 (GMT)"
    assert say_time(first + timedelta(hours=2), seen, DUBLIN) == "02:30"


def test_a_naive_time_is_refused():
    with pytest.raises(Refused, match="with their zone"):
        say_time(THU_NOON.replace(tzinfo=None), THU_NOON, DUBLIN)


def test_an_opening_rounds_up_and_a_closing_down():
    reader = Reader(instant_us(THU_NOON), DUBLIN)
    at_us = instant_us(_local("2024-02-15 14:07")) + SECOND_US
    assert (reader.opens(at_us), reader.closes(at_us)) == ("14:08", "14:07")
    whole = instant_us(_local("2024-02-15 14:07"))
    assert reader.opens(whole) == reader.closes(whole) == "14:07"


@pytest.mark.parametrize("at_us", [None, 2**63 - 1, -(2**63)])
def test_a_time_nobody_can_say_is_said_so(at_us):
    reader = Reader(instant_us(THU_NOON), DUBLIN)
    assert reader.opens(at_us) == reader.closes(at_us) == "nobody can say when"


@given(MOMENTS, MOMENTS, ZONES)
def test_an_opening_is_never_said_sooner_nor_a_closing_later(moment, seen, zone):
    reader = Reader(instant_us(seen), zone)
    at_us = instant_us(moment)
    up, down = -(-at_us // MINUTE_US) * MINUTE_US, at_us // MINUTE_US * MINUTE_US
    assert reader.opens(at_us) == reader.opens(up)
    assert reader.closes(at_us) == reader.closes(down)
    assert down <= at_us <= up < down + 2 * MINUTE_US


@given(MOMENTS, st.integers(-(10**6), 10**6), ZONES)
def test_two_minutes_of_one_week_are_never_said_alike(moment, seconds, zone):
    """Whoever reads it at one moment can tell any two minutes of the six days around apart."""
    reader = Reader(instant_us(moment), zone)
    ours = instant_us(moment) // MINUTE_US * MINUTE_US
    other = ours + (seconds % (6 * 1440) - 3 * 1440) * MINUTE_US
    assert (reader.opens(ours) == reader.opens(other)) == (ours == other)


@given(MOMENTS, st.integers(0, 10**10))
def test_minutes_left_are_whole_and_never_too_many(moment, ahead_us):
    reader = Reader(instant_us(moment), DUBLIN)
    said = reader.left(reader.at_us + ahead_us)
    assert said == f"{ahead_us // MINUTE_US} min"
    assert reader.left(reader.at_us - ahead_us - 1) == "0 min"


def test_from_noon_itself_the_small_hours_need_no_day():
    night = instant_us(_local("2024-02-16 03:20"))
    noon = instant_us(THU_NOON)
    assert Reader(noon, DUBLIN).closes(night) == "03:20"
    assert Reader(noon - 1, DUBLIN).closes(night) == "Fri 03:20"
