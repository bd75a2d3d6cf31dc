"""The air of a place: what stands at one instant, where it was not read, and how it is joined."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cureclock.core.coat.air import saturation_pressure_pa
from cureclock.core.expected import Expected
from cureclock.core.refusal import Refused
from cureclock.core.timeline import (
    GRID_US,
    Air,
    Mark,
    Readings,
    at_coldest,
    build_air,
    level_air,
)
from cureclock.core.units import DAY_US, FURTHEST_US, HOUR_US, MINUTE_US
from tests.core.airs import EXPECTATIONS, MONDAY_US, legs, settled

HELD = [Expected()]


def read(hours, temps, **more) -> Readings:
    return Readings.settle(MONDAY_US + np.array(hours) * HOUR_US, temps, **more)


def test_at_one_instant_measured_stands_over_minmax_over_typed():
    marks = [Mark.TYPED, Mark.MEASURED, Mark.MINMAX]
    assert Readings.settle([5, 5, 5], [1.0, 2.0, 3.0], mark=marks).temp_c == [2.0]
    assert Readings.settle([5, 5], [1.0, 3.0], mark=marks[::2]).temp_c == [3.0]


def test_at_one_instant_and_of_one_kind_the_higher_id_stands():
    for names in (["a", "b"], ["b", "a"]):
        temps = [1.0, 2.0] if names == ["a", "b"] else [2.0, 1.0]
        assert Readings.settle([5, 5], temps, ident=names).temp_c == [2.0]


@given(settled(), st.randoms(use_true_random=False))
def test_readings_come_out_in_order_once_each(readings, chance):
    order = list(range(len(readings))) * 2
    chance.shuffle(order)
    again = Readings.settle(readings.at_us[order], readings.temp_c[order])
    assert np.array_equal(again.at_us, readings.at_us)
    assert (np.diff(again.at_us) > 0).all()


def test_before_its_first_reading_a_place_has_its_first_value():
    air = build_air(read([10], [8.0]), HELD, MONDAY_US - 3 * DAY_US, MONDAY_US + DAY_US)
    assert air.at_us[0] <= MONDAY_US - 3 * DAY_US
    assert (air.temp_c == 8.0).all()
    assert (air.mark == Mark.ASSUMED).all()


def test_a_place_nobody_has_read_has_the_label_temperature_all_of_it_assumed():
    air = level_air(18.0, MONDAY_US + 5, MONDAY_US + 3 * DAY_US)
    assert (air.temp_c == 18.0).all()
    assert np.isnan(air.rh_pct).all()
    assert (air.mark == Mark.ASSUMED).all()
    assert air.at_us[0] <= MONDAY_US
    assert air.at_us[-1] >= MONDAY_US + 3 * DAY_US


def test_hand_readings_join_straight_up_to_twelve_hours_and_no_further():
    joined = build_air(read([0, 12], [20.0, 8.0]), HELD, MONDAY_US, MONDAY_US)
    assert joined.temp_at(MONDAY_US + 6 * HOUR_US) == pytest.approx(14.0)
    assert joined.mark[0] == Mark.MEASURED
    gap = build_air(read([0, 12.5], [20.0, 8.0]), HELD, MONDAY_US, MONDAY_US)
    assert gap.temp_at(MONDAY_US + 6 * HOUR_US) == 20.0, "held, not joined"
    assert (gap.mark == Mark.ASSUMED).all()


@pytest.mark.parametrize(("minutes", "silent"), [(15, False), (45, False), (46, True)])
def test_a_sensor_is_silent_beyond_three_times_its_rhythm(minutes, silent):
    rhythm = [15 * MINUTE_US] * 2
    readings = read([0, minutes / 60], [20.0, 8.0], rhythm_us=rhythm)
    assert readings.gaps().tolist() == [silent]


def test_between_a_hand_and_a_sensor_the_hand_reaches():
    readings = read([0, 11], [20.0, 8.0], rhythm_us=[15 * MINUTE_US, 0])
    assert readings.gaps().tolist() == [False]


def test_a_gap_is_filled_by_what_was_expected_when_it_ended():
    """Typed at hour 30, after the gap: it changes what is ahead, not what was filled."""
    before = Expected(typed=((0.0, 5.0, np.nan),), half_gap_us=HOUR_US)
    after = Expected(since_us=MONDAY_US + 30 * HOUR_US, typed=((0.0, 25.0, np.nan),))
    readings = read([0, 24], [20.0, 20.0])
    air = build_air(readings, [before, after], MONDAY_US, MONDAY_US + 72 * HOUR_US)
    assert air.temp_at(MONDAY_US + 12 * HOUR_US) == 5.0
    assert air.temp_at(MONDAY_US + 60 * HOUR_US) == 25.0


def test_for_the_floor_a_gap_counts_as_the_colder_of_expected_and_straight():
    readings = read([0, 24], [20.0, 4.0])
    plain, colder = (
        build_air(readings, HELD, MONDAY_US, MONDAY_US, colder_gaps=floor)
        for floor in (False, True)
    )
    noon = MONDAY_US + 12 * HOUR_US
    assert plain.temp_at(noon) == 20.0
    assert colder.temp_at(noon) == pytest.approx(12.0)


@settings(max_examples=60, deadline=None)
@given(settled(), st.sampled_from(sorted(EXPECTATIONS)))
def test_for_the_floor_no_instant_is_warmer(readings, kind):
    plain, colder = (
        build_air(readings, [EXPECTATIONS[kind]], 0 + MONDAY_US, MONDAY_US, colder_gaps=floor)
        for floor in (False, True)
    )
    assert np.array_equal(plain.at_us, colder.at_us)
    assert (colder.temp_c <= plain.temp_c).all()


def test_a_minmax_entry_counts_as_measured_and_says_what_it_is():
    readings = read([0, 5, 9], [12.0, 3.0, 8.0], mark=[0, Mark.MINMAX, 0])
    air = build_air(readings, HELD, MONDAY_US, MONDAY_US)
    assert air.mark[:2].tolist() == [Mark.MINMAX, Mark.MINMAX]
    assert air.assumed_us(MONDAY_US, MONDAY_US + 9 * HOUR_US) == 0


def test_what_is_assumed_is_counted():
    air = build_air(read([0, 4], [20.0, 18.0]), HELD, MONDAY_US, MONDAY_US + DAY_US)
    assert air.assumed_us(MONDAY_US, MONDAY_US + 10 * HOUR_US) == 6 * HOUR_US


def test_a_reading_without_damp_keeps_the_water_for_twelve_hours():
    readings = read([0, 6, 13], [20.0, 10.0, 20.0], rh_pct=[50.0, np.nan, np.nan])
    kept = 50 * saturation_pressure_pa(20) / saturation_pressure_pa(10)
    assert readings.rh_pct[1] == pytest.approx(float(kept))
    assert np.isnan(readings.rh_pct[2])


@settings(max_examples=60, deadline=None)
@given(settled(), st.integers(0, 5000), st.sampled_from(sorted(EXPECTATIONS)))
def test_what_is_asked_last_does_not_bend_the_line(readings, minutes, kind):
    last = int(readings.at_us[-1])
    near, far = (
        build_air(readings, [EXPECTATIONS[kind]], last, until)
        for until in (last, last + minutes * MINUTE_US)
    )
    assert np.isin(near.at_us, far.at_us).all()
    assert np.array_equal(near.temp_at(near.at_us), far.temp_at(near.at_us))
    assert far.at_us[-1] % GRID_US == 0


def test_assumed_legs_at_the_coldest_plausible_and_measured_ones_as_they_are():
    air = build_air(read([0, 4], [20.0, 18.0]), HELD, MONDAY_US, MONDAY_US + DAY_US)
    cold = at_coldest(air, 3.0)
    inside = MONDAY_US + 9 * HOUR_US + 1  # the nodes themselves stay, for a microsecond
    assert cold.temp_at(MONDAY_US + 4 * HOUR_US) == 18.0
    assert cold.temp_at(MONDAY_US + 2 * HOUR_US) == 19.0
    assert cold.temp_at(inside) == 3.0
    warmer = at_coldest(air, 30.0)
    assert warmer.temp_at(inside) == 18.0
    freezing = at_coldest(air, -60.0)
    assert freezing.temp_c.min() == -40.0


def test_temperature_beyond_the_ends_is_that_of_the_ends():
    air = legs([1], [10, 20])
    assert air.temp_at([MONDAY_US - 1, MONDAY_US + DAY_US]).tolist() == [10, 20]


@pytest.mark.parametrize(
    ("at", "temp", "more", "said"),
    [
        ([0, 1], [20.0], {}, "temperatures"),
        ([0], [400.0], {}, "-40 to 120 degC"),
        ([0], [20.0], {"rh_pct": [130.0]}, "humidity"),
        ([0], [20.0], {"mark": [3]}, "mark"),
        ([0], [20.0], {"rhythm_us": [-1]}, "rhythm"),
        ([10**17], [20.0], {}, "1684"),
        ([float("nan")], [20.0], {}, "instants"),
        ([0], [20.0], {"ident": ["a", "b"]}, "ids"),
    ],
)
def test_readings_that_cannot_be_are_refused(at, temp, more, said):
    with pytest.raises(Refused, match=said):
        Readings.settle(at, temp, **more)


def test_air_that_cannot_be_is_refused():
    with pytest.raises(Refused, match="one or more"):
        build_air(Readings.settle([], []), HELD, 0, 1)
    with pytest.raises(Refused, match="one or more"):
        build_air(read([0], [20.0]), [], 0, 1)
    for at in ([0], [0, 0], [1, 0]):
        with pytest.raises(Refused, match="rising"):
            Air(np.array(at), np.full(len(at), 9.0), np.full(len(at), 50.0), np.zeros(len(at) - 1))
    with pytest.raises(Refused, match="span"):
        level_air(20.0, 0, 200 * 366 * DAY_US)


def test_more_than_a_hundred_years_at_once_are_refused():
    for far in (101 * 366 * DAY_US, FURTHEST_US + 1):
        with pytest.raises(Refused, match="span"):
            build_air(read([0], [18.0]), HELD, MONDAY_US, MONDAY_US + far)


def test_an_assumed_leg_too_short_to_lie_between_its_nodes_stays_as_it_is():
    air = Air(np.array([0, 2]), np.array([9.0, 9.0]), np.full(2, np.nan), np.array([Mark.ASSUMED]))
    assert at_coldest(air, 4.0).at_us.tolist() == [0, 2]
    longer = replace(air, at_us=np.array([0, 3]))
    assert at_coldest(longer, 4.0).temp_c.tolist() == [9, 4, 4, 9]
