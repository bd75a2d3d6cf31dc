"""Coats before a date: the worked example, windows, and the way back."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.coat.before_date import CoatRoute, coats_before, latest_first_coat_us
from cureclock.core.coat.shop_hours import NO_LONGER, ReadyTable, ShopHours
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US

# Monday 00:00 is 0; open 08 to 18 on the weekdays of three weeks.
WEEKDAYS = [7 * week + day for week in range(3) for day in range(5)]
HOURS = ShopHours(
    [d * DAY_US + 8 * HOUR_US for d in WEEKDAYS], [d * DAY_US + 18 * HOUR_US for d in WEEKDAYS]
)
SHIP_US = 11 * DAY_US + 17 * HOUR_US  # Friday 17:00 of week 2


def _steady(label_h: float, rate: float = 1.0) -> ReadyTable:
    start = np.array([0, 21 * DAY_US])
    return ReadyTable(start, start + round(label_h / rate * HOUR_US))


def _route(temp_c: float, **more) -> CoatRoute:
    rate = 2 ** ((temp_c - 20) / 10)
    return CoatRoute(40 * MINUTE_US, _steady(8, rate), _steady(168, rate), **more)


def test_nine_coats_at_20_degrees_worked_by_hand():
    """Mon 08:00 and 16:40, daily alike; the last has to end by Friday 17:00 of week 1."""
    found = coats_before(_route(20), HOURS, from_us=0, due_us=SHIP_US)
    assert found.coats == 9
    assert found.last_end_by_us == 4 * DAY_US + 17 * HOUR_US
    clock = found.begins_us % DAY_US / HOUR_US
    assert clock[:2] == pytest.approx([8, 16 + 40 / 60])
    assert clock[2:] == pytest.approx(np.resize(clock[:2], 7))
    assert found.begins_us[-1] // DAY_US == 4


def test_one_coat_at_14_degrees_worked_by_hand():
    """Recoat 12 h 08, wrap 10.6 days: the last has to end Tuesday 02:24 (the rate as 0.66)."""
    route = _route(14)
    found = coats_before(route, HOURS, from_us=0, due_us=SHIP_US)
    assert found.coats == 1
    assert route.recoat.ready(0) == pytest.approx(12 * HOUR_US + 8 * MINUTE_US, abs=MINUTE_US)
    assert route.wrap.ready(0) / DAY_US == pytest.approx(10.6, abs=0.05)
    assert found.last_end_by_us == pytest.approx(
        DAY_US + 2 * HOUR_US + 24 * MINUTE_US, abs=3 * MINUTE_US
    )


def test_in_the_cold_one_coat_a_day_however_far_the_date():
    route = CoatRoute(40 * MINUTE_US, _steady(8, 0.66), _steady(1))
    found = coats_before(route, HOURS, from_us=0, due_us=4 * DAY_US + 18 * HOUR_US)
    assert (found.begins_us // DAY_US).tolist() == [0, 1, 2, 3, 4]


def test_the_way_back_gives_the_last_start_that_still_fits():
    for coats in range(1, 10):
        latest = latest_first_coat_us(_route(20), HOURS, coats=coats, due_us=SHIP_US)
        on_time = coats_before(_route(20), HOURS, from_us=latest, due_us=SHIP_US)
        late = coats_before(_route(20), HOURS, from_us=latest + 1, due_us=SHIP_US)
        assert on_time.coats >= coats > late.coats


def test_more_coats_than_fit_can_no_longer_begin():
    latest = latest_first_coat_us(_route(20), HOURS, coats=10, due_us=SHIP_US)
    assert latest == NO_LONGER
    past = coats_before(_route(20), HOURS, from_us=SHIP_US, due_us=SHIP_US)
    assert (past.coats, len(past.begins_us)) == (0, 0)


def test_the_recoat_counts_from_the_last_piece_and_the_window_from_the_first():
    """A coat takes 2 h; recoat 8 h, window 24 h: the next may begin from the end + 8 h and is
    scuffed when it begins later than the begin + 24 h.
    """
    route = CoatRoute(
        2 * HOUR_US, _steady(8), _steady(1), closes=_steady(24), scuff_us=30 * MINUTE_US
    )
    weekend = ShopHours([8 * HOUR_US, 33 * HOUR_US], [10 * HOUR_US, 43 * HOUR_US])
    found = coats_before(route, weekend, from_us=0, due_us=10 * DAY_US)
    assert found.begins_us.tolist() == [8 * HOUR_US, 33 * HOUR_US]
    assert found.scuffed.tolist() == [False, True]
    assert found.ends_us[1] - found.begins_us[1] == 2 * HOUR_US + 30 * MINUTE_US


def test_a_window_met_to_the_microsecond_is_not_scuffed():
    route = CoatRoute(HOUR_US, _steady(8), _steady(1), closes=_steady(24), scuff_us=HOUR_US)
    hours = ShopHours([8 * HOUR_US, 32 * HOUR_US], [9 * HOUR_US, 40 * HOUR_US])
    assert not coats_before(route, hours, from_us=0, due_us=9 * DAY_US).scuffed.any()


@given(st.integers(0, 10 * DAY_US), st.integers(0, 20 * DAY_US), st.floats(8, 26))
def test_coats_never_overlap_and_never_leave_shop_hours(start, due, temp):
    found = coats_before(_route(temp), HOURS, from_us=start, due_us=due)
    assert np.all(found.begins_us >= start)
    assert np.all(found.ends_us <= found.last_end_by_us)
    need = _route(temp).recoat.ready(0)
    assert np.all(found.begins_us[1:] - found.ends_us[:-1] >= need)
    spell = np.searchsorted(HOURS.open_us, found.begins_us, side="right") - 1
    assert np.all(found.ends_us <= np.asarray(HOURS.close_us)[spell])


@given(st.integers(0, 5 * DAY_US), st.floats(8, 26), st.floats(0.1, 5))
def test_a_colder_place_never_takes_more_coats(start, temp, colder):
    warm = coats_before(_route(temp), HOURS, from_us=start, due_us=SHIP_US)
    cold = coats_before(_route(temp - colder), HOURS, from_us=start, due_us=SHIP_US)
    assert cold.coats <= warm.coats


def test_no_coats_are_counted_where_none_were_asked_for_and_a_coat_may_take_no_time():
    route = CoatRoute(0, _steady(8), _steady(1))
    assert coats_before(route, HOURS, from_us=0, due_us=SHIP_US, most=0).coats == 0
    assert coats_before(route, HOURS, from_us=0, due_us=SHIP_US, most=3).coats == 3
