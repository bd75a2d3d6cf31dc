"""Rotation: the last days by each, the weeks and months before by their newest."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from cureclock.exports.rotation import DAILY, MONTHLY, WEEKLY, kept

DAYS = st.sets(st.dates(date(2020, 1, 1), date(2030, 12, 31)), max_size=60)


def nights(count: int, last: date = date(2026, 12, 31)) -> set[date]:
    return {last - timedelta(days=back) for back in range(count)}


def test_a_year_of_nights_keeps_seven_days_four_weeks_and_twelve_months() -> None:
    found = sorted(kept(nights(730)), reverse=True)
    assert found[:DAILY] == sorted(nights(7), reverse=True)
    ends = {date(2026, month + 1, 1) - timedelta(days=1) for month in range(1, 12)}
    assert ends <= set(found)
    assert date(2025, 12, 31) not in found
    assert len(found) == DAILY + 2 + MONTHLY - 1  # two of the four weeks lie before the seven days


def test_the_newest_of_each_week_is_its_last_day_that_has_one() -> None:
    found = kept(nights(40, date(2026, 2, 25)))
    assert {date(2026, 2, 15), date(2026, 2, 8)} <= found


@given(DAYS)
def test_the_newest_seven_are_never_let_go_and_nothing_is_made_up(days: set[date]) -> None:
    found = kept(days)
    assert set(sorted(days, reverse=True)[:DAILY]) <= found <= days
    assert len(found) <= DAILY + WEEKLY + MONTHLY


@given(DAYS)
def test_rotating_twice_changes_nothing(days: set[date]) -> None:
    assert kept(kept(days)) == kept(days)


@given(st.integers(1, 800))
def test_rotating_every_night_keeps_what_rotating_at_the_end_would(count: int) -> None:
    """What is let go one night is never missed later."""
    there: set[date] = set()
    for night in sorted(nights(count)):
        there = kept(there | {night})
    assert there == kept(nights(count))


def test_a_machine_that_was_off_for_months_loses_no_day_for_that() -> None:
    old = nights(7, date(2026, 1, 31))
    assert len(kept(old | {date(2026, 9, 1)})) >= DAILY
