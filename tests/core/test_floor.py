"""The cold floor: the first instant strictly too cold, from any start, with wood or without."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cureclock.core.clock import NEVER, build_clock
from cureclock.core.felt import OwnStart
from cureclock.core.floor import ColdSpans
from cureclock.core.refusal import Refused
from cureclock.core.response import Kind, Response
from cureclock.core.stance import Stance
from cureclock.core.units import HOUR_US, hours_us
from tests.core.airs import LAGS_US, MONDAY_US, airs, legs


def hour(hours: float) -> int:
    return MONDAY_US + hours_us(hours)


def test_pressed_in_a_falling_evening_it_is_too_cold_at_half_past_seven():
    """Pressed 18:10 at 12.7 degC, falling 2 K an hour: under 10 at 19:30 with 0.73 of 2 banked."""
    start = hour(18 + 10 / 60)
    air = legs([18 + 10 / 60, 3], [12.7, 12.7, 6.7])
    crossing = int(ColdSpans.of(air, 10.0).first_from(start))
    assert crossing == pytest.approx(hour(19.52), abs=60_000_000)
    strict = build_clock(air, Response(Kind.DOUBLING), Stance.STRICT)
    banked = (strict.age_at(crossing) - strict.age_at(start)) / HOUR_US
    assert banked == pytest.approx(0.73, abs=0.02)


def test_spans_are_entered_and_left():
    air = legs([2, 2, 2, 2], [12, 8, 12, 8, 8])
    spans = ColdSpans.of(air, 10.0)
    assert spans.enter_us.tolist() == [hour(1), hour(5)]
    assert spans.leave_us.tolist() == [hour(3), NEVER]
    starts = [hour(0), hour(1.5), hour(3.5), hour(6)]
    assert spans.first_from(starts).tolist() == [hour(1), hour(1.5), hour(5), hour(6)]


def test_a_start_into_cold_is_a_crossing_and_a_touch_is_none():
    assert ColdSpans.of(legs([1], [9, 9]), 10.0).first_from(hour(0.5)) == hour(0.5)
    touch = ColdSpans.of(legs([1, 1], [12, 10, 12]), 10.0)
    level = ColdSpans.of(legs([1], [10, 10]), 10.0)
    assert touch.first_from(hour(0)) == level.first_from(hour(0)) == NEVER


def test_past_the_last_warm_bound_nothing_is_too_cold():
    spans = ColdSpans.of(legs([1, 1], [8, 8, 12]), 10.0)
    assert spans.first_from([hour(1.9), hour(40)]).tolist() == [NEVER, NEVER]


@settings(max_examples=100, deadline=None)
@given(airs(), st.integers(-50, 320).map(lambda t: t / 10 + 0.05), st.sampled_from(LAGS_US))
def test_the_walk_finds_what_a_fine_look_finds(air, floor, lag):
    spans = ColdSpans.of(air, floor, lag)
    assert (spans.enter_us[1:] > spans.leave_us[:-1]).all()
    fine = np.linspace(air.at_us[0], air.at_us[-1], 500).astype(np.int64)
    found = spans.first_from(fine)
    assert (found >= fine).all()
    cold = air.temp_at(fine) < floor - 1e-6
    assert (found[cold] == fine[cold]).all(), "cold air is cold, lag or not"
    if lag == 0:
        warm = air.temp_at(fine) > floor + 1e-6
        assert (found[warm] > fine[warm]).all()


@settings(max_examples=60, deadline=None)
@given(airs(), st.integers(0, 7), st.floats(0.1, 10), st.sampled_from(LAGS_US))
def test_colder_air_is_never_later_too_cold(air, number, by_c, lag):
    temp = air.temp_c.copy()
    temp[number % len(temp)] -= by_c
    less = type(air)(air.at_us, temp, air.rh_pct, air.mark)
    starts = np.linspace(air.at_us[0], air.at_us[-1], 50).astype(np.int64)
    was, now = (ColdSpans.of(one, 10.05, lag).first_from(starts) for one in (air, less))
    later = now.astype(float) - was
    assert later.max() <= 5000, "microseconds: rounding"


def test_rising_air_counts_as_wood_for_the_floor():
    warms = legs([6, 0.5, 6], [6, 6, 18, 18])
    air, wood = (ColdSpans.of(warms, 10.0, lag) for lag in (0, HOUR_US))
    assert wood.leave_us[0] > air.leave_us[0] + HOUR_US // 4
    falls = legs([6, 0.5, 6], [18, 18, 6, 6])
    air, wood = (ColdSpans.of(falls, 10.0, lag).enter_us[0] for lag in (0, HOUR_US))
    assert air == wood


def test_wood_carried_in_cold_is_too_cold_in_warm_air():
    warm = legs([12, 12], [18, 18, 18])
    came = OwnStart(hour(12), 4.0)
    assert ColdSpans.of(warm, 10.0, HOUR_US).first_from(hour(12)) == NEVER
    spans = ColdSpans.of(warm, 10.0, HOUR_US, came)
    assert spans.first_from(hour(12)) == hour(12)
    warm_again = (int(spans.leave_us[0]) - hour(12)) / HOUR_US
    assert warm_again == pytest.approx(np.log(14 / 8), abs=0.01)


@pytest.mark.parametrize("floor", [float("nan"), 200.0, -60.0])
def test_a_floor_that_is_none_is_refused(floor):
    with pytest.raises(Refused, match="floor"):
        ColdSpans.of(legs([1], [9, 9]), floor)
