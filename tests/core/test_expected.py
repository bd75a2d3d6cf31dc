"""What the air is expected to do: typed, cooling, as the days before, or held."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cureclock.core.clock import build_clock
from cureclock.core.coat.air import saturation_pressure_pa
from cureclock.core.expected import Expected, carried_damp, coldest_us
from cureclock.core.floor import ColdSpans
from cureclock.core.refusal import Refused
from cureclock.core.response import Kind, Response
from cureclock.core.stance import Stance
from cureclock.core.timeline import Mark, Readings, build_air
from cureclock.core.units import DAY_US, HOUR_US, hours_us
from tests.core.airs import EXPECTATIONS, MONDAY_US, colder, line_of, settled

COOLS = Expected(outside_low_c=2.0, heater_off=True, half_gap_us=4 * HOUR_US)


def after(readings: Readings, version: Expected, hours: list[float]) -> list[float]:
    air = line_of(readings, version, 4)
    return air.temp_at(readings.at_us[-1] + np.array(hours) * HOUR_US).tolist()


def read(hours, temps, **more) -> Readings:
    return Readings.settle(MONDAY_US + np.array(hours) * HOUR_US, temps, **more)


def test_with_nothing_to_go_by_the_last_reading_is_held():
    assert after(read([0], [13.0]), Expected(), [1, 5, 40]) == [13.0] * 3


def test_the_shed_cools_by_halves_after_the_heater_is_off():
    """18 degC at 18:00, outside 2, half-gap 4 h: 10 at 22:00, 6, 4, and 3.4 at 08:00."""
    told = after(read([18], [18.0]), COOLS, [4, 8, 12, 14])
    assert told == pytest.approx([10, 6, 4, 3.4], abs=0.05)


def test_the_night_of_the_cooling_shed_banks_as_by_hand():
    air = line_of(read([18], [18.0]), COOLS, 1)
    clock = build_clock(air, Response(Kind.DOUBLING))
    eight = MONDAY_US + (24 + 8) * HOUR_US
    banked = (clock.age_at(eight) - clock.age_at(MONDAY_US + 18 * HOUR_US)) / HOUR_US
    assert banked == pytest.approx(6.36, abs=0.02)
    too_cold = int(ColdSpans.of(air, 10.0).enter_us[0])
    strict = build_clock(air, Response(Kind.DOUBLING), Stance.STRICT)
    tight = [int(strict.latest_start(too_cold, hours_us(need))) for need in (2, 3)]
    # Three label-hours would have to begin before the heater was off, in air of 18 degC.
    assert (tight[0] - MONDAY_US) / HOUR_US == pytest.approx(18 + 43 / 60, abs=1 / 60)
    before = read([12, 18], [18.0, 18.0])
    earlier = build_clock(line_of(before, COOLS, 1), Response(Kind.DOUBLING), Stance.STRICT)
    start = int(earlier.latest_start(too_cold, hours_us(3)))
    assert (start - MONDAY_US) / HOUR_US == pytest.approx(17 + 31 / 60, abs=1 / 60)


def test_the_cooling_curve_keeps_the_water_in_the_air():
    air = line_of(read([0], [18.0], rh_pct=[50.0]), COOLS, 1)
    later = air.temp_at(MONDAY_US + 4 * HOUR_US)
    kept = 50 * saturation_pressure_pa(18) / saturation_pressure_pa(later)
    damp = float(np.interp(MONDAY_US + 4 * HOUR_US, air.at_us, air.rh_pct))
    assert damp == pytest.approx(float(kept), abs=0.2)


def test_when_the_heater_is_back_the_last_warmth_returns_over_one_half_gap_time():
    back = Expected(outside_low_c=2.0, heater_off=True, heater_on_us=MONDAY_US + 8 * HOUR_US)
    told = after(read([0], [18.0]), back, [8, 10, 12, 30])
    assert told == pytest.approx([6, 12, 18, 18])


def test_typed_air_wins_and_the_last_reading_gives_way_to_it_over_one_half_gap_time():
    typed = Expected(typed=((0.0, 6.0, 70.0),), outside_low_c=-9.0, heater_off=True)
    assert not typed.cools
    told = after(read([0], [18.0]), typed, [0, 1, 2, 4, 50])
    assert told == pytest.approx([18, 15, 12, 6, 6])


def test_a_typed_day_goes_round_midnight():
    typed = Expected(typed=((60.0, 4.0, np.nan), (23 * 60.0, 8.0, np.nan)))
    assert after(read([0], [4.0]), typed, [24, 25, 23]) == pytest.approx([6, 4, 8])


def test_damp_typed_counts_once_the_last_reading_has_given_way():
    typed = Expected(typed=((0.0, 6.0, 70.0),))
    air = line_of(read([0], [18.0]), typed, 1)
    damp = np.interp(MONDAY_US + np.array([2, 5, 20]) * HOUR_US, air.at_us, air.rh_pct)
    assert np.isnan(damp[0])
    assert damp[1:].tolist() == [70, 70]


def three_days(temp_of_hour, days: int = 3) -> Readings:
    hours = np.arange(days * 24 + 1)
    return read(hours, [temp_of_hour(int(hour)) for hour in hours % 24])


def test_after_three_measured_days_the_same_hour_of_them_is_expected():
    readings = three_days(lambda hour: 5.0 + hour / 2)
    assert after(readings, Expected(), [6, 12, 30]) == pytest.approx([8, 11, 8])


def test_before_three_measured_days_the_last_reading_is_held():
    readings = three_days(lambda hour: 5.0 + hour / 2, days=2)
    assert after(readings, Expected(), [6, 12]) == [5.0, 5.0]


def test_a_gap_in_the_three_days_and_they_are_not_known():
    readings = three_days(lambda hour: 5.0 + hour / 2)
    keep = (readings.at_us < MONDAY_US + 20 * HOUR_US) | (readings.at_us > MONDAY_US + 34 * HOUR_US)
    holed = Readings.settle(readings.at_us[keep], readings.temp_c[keep])
    assert after(holed, Expected(), [6, 12]) == [5.0, 5.0]


def test_expected_air_is_always_marked_assumed():
    for version in EXPECTATIONS.values():
        air = line_of(read([0, 4], [18.0, 17.0]), version, 3)
        assert (air.mark[air.at_us[:-1] >= MONDAY_US + 4 * HOUR_US] == Mark.ASSUMED).all()


@settings(max_examples=100, deadline=None)
@given(data=st.data())
def test_a_colder_reading_makes_no_instant_warmer(data):
    readings = data.draw(settled(most=14))
    less = colder(readings, data.draw(st.integers(0, len(readings) - 1)), 4.0)
    version = EXPECTATIONS[data.draw(st.sampled_from(sorted(EXPECTATIONS)))]
    was, now = (line_of(one, version, 3) for one in (readings, less))
    assert (now.temp_c <= was.temp_c + 1e-9).all()


@given(st.integers(0, 71), st.floats(0.1, 20))
def test_a_colder_hour_on_one_of_three_days_makes_no_night_ahead_warmer(number, by_c):
    readings = three_days(lambda hour: 12.0 + 6 * np.sin(hour / 24 * 2 * np.pi))
    was, now = (line_of(one, Expected(), 3) for one in (readings, colder(readings, number, by_c)))
    assert (now.temp_c <= was.temp_c + 1e-9).all()


def test_the_lowest_of_a_night_stands_at_the_coldest_hour_or_at_five():
    at = MONDAY_US + np.arange(5) * HOUR_US
    assert coldest_us(at, np.array([9, 7, 3, 4, 8.0]), 7) == at[2]
    assert coldest_us(at, np.array([9, 9, 9.05, 9, 9.0]), 7) == 7
    assert coldest_us(at[:0], np.array([]), 7) == 7


def test_carried_damp_reaches_so_far_and_is_never_above_saturation():
    at = np.array([0, 5, 11])
    damp = carried_damp(at, np.array([20.0, 2.0, 20.0]), np.array([80.0, np.nan, np.nan]), 10)
    assert damp[1] == 100
    assert np.isnan(damp[2])


@pytest.mark.parametrize(
    "wrong",
    [
        {"half_gap_us": 0}, {"half_gap_us": 49 * HOUR_US}, {"outside_low_c": -60.0},
        {"outside_low_c": float("nan")}, {"typed": ((0.0, 100.0, 50.0),)},
        {"typed": ((5.0, 10.0, 50.0), (5.0, 11.0, 50.0))}, {"typed": ((0.0, 10.0, 130.0),)},
        {"typed": ((0.0, 10.0),)}, {"typed": (("noon", 10.0, 50.0),)},
        {"typed": ((1500.0, 10.0, 50.0),)}, {"heater_on_us": float("inf")},
        {"since_us": float("nan")},
    ],
)  # fmt: skip
def test_expectations_that_cannot_be_are_refused(wrong):
    with pytest.raises(Refused):
        Expected(**wrong)


def test_a_gap_longer_than_a_day_goes_on_as_the_days_before():
    days = three_days(lambda hour: 5.0 + hour / 2)
    at = np.append(days.at_us, days.at_us[-1] + 2 * DAY_US)
    readings = Readings.settle(at, np.append(days.temp_c, 5.0))
    air = build_air(readings, [Expected()], int(at[0]), int(at[-1]))
    assert air.temp_at(days.at_us[-1] + 36 * HOUR_US) == pytest.approx(11.0)
