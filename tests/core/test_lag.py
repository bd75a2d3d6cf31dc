"""Wood lags the air: the pencil rule, the bins, and when a cold block is warm."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.refusal import Refused
from cureclock.core.wood.lag import Block, hours_to_warm, lag_bin, pencil_lag_h, wood_after_step_c

MINUTE_H = 1 / 60


@pytest.mark.parametrize(
    ("thickness", "hours"), [(0.025, 0.6), (0.050, 1.3), (0.075, 2.3), (0.100, 3.6)]
)
def test_pencil_rule_and_slab_within_15_minutes(thickness, hours):
    assert round(float(pencil_lag_h(thickness)), 1) == hours
    assert Block(thickness).time_constant_h == pytest.approx(hours, abs=15 * MINUTE_H)


def test_block_worked_by_hand():
    """At 6 degC, air put to 18 at 08:00, 50 mm: 12.3 at 09:00, 15 at 09:51; 75 mm 15 at 11:15."""
    lag_50, lag_75 = pencil_lag_h([0.050, 0.075])
    assert 18 - 12 * np.exp(-1 / lag_50) == pytest.approx(12.3, abs=0.05)
    assert lag_50 * np.log(4) == pytest.approx(1 + 51 / 60, abs=1.5 * MINUTE_H)
    assert lag_75 * np.log(4) == pytest.approx(3.25, abs=1.5 * MINUTE_H)
    assert hours_to_warm(Block([0.050, 0.075]), 6, 18, 15) == pytest.approx(
        [1.85, 3.25], abs=15 * MINUTE_H
    )
    reached = hours_to_warm(Block(0.050), 6, 18, 12.3)
    assert reached == pytest.approx(1, abs=15 * MINUTE_H)


@given(st.floats(0.002, 0.3), st.floats(-10, 15), st.floats(16, 40), st.floats(0.05, 0.95))
def test_the_hours_to_warm_lead_to_the_wanted_temperature(thickness, start, air, share):
    wanted = start + share * (air - start)
    hours = hours_to_warm(Block(thickness), start, air, wanted)
    assert wood_after_step_c(Block(thickness), start, air, hours) == pytest.approx(wanted, abs=0.02)


def test_thicker_blocks_and_a_bench_under_one_face_lag_more():
    assert Block(0.1).time_constant_h > Block(0.05).time_constant_h
    assert Block(0.05, faces=1).time_constant_h == pytest.approx(float(Block(0.1).time_constant_h))


def test_denser_wood_lags_more_and_wind_makes_it_lag_less():
    assert Block(0.05, density_kg_m3=800).time_constant_h > Block(0.05).time_constant_h
    assert Block(0.05, surface_w_m2k=25).time_constant_h < Block(0.05).time_constant_h


def test_a_warm_block_needs_no_time():
    assert hours_to_warm(Block(0.05), 20, 18, 15) == 0
    assert hours_to_warm(Block(0.05), 15, 10, 15) == 0


def test_a_place_too_cool_is_refused_with_its_temperature():
    with pytest.raises(Refused, match="below the 14 degC of the place; it never gets so warm"):
        hours_to_warm(Block(0.05), 6, [18, 14], 15)


def test_fahrenheit_is_refused():
    with pytest.raises(Refused, match="68 degF is written 20"):
        wood_after_step_c(Block(0.05), 68, 18, 1)


def test_cooling_follows_the_same_curve():
    up = wood_after_step_c(Block(0.05), 0, 20, 2)
    down = wood_after_step_c(Block(0.05), 20, 0, 2)
    assert up + down == pytest.approx(20)


def test_lag_bins_take_the_next_larger():
    bins = lag_bin([0, 0.01, 0.25, 0.26, 1.0, 1.01, 4.0, 4.01])
    assert bins.minutes.tolist() == [0, 15, 15, 60, 60, 240, 240, 960]
    assert not bins.beyond.any()


def test_beyond_sixteen_hours_the_bin_stays_and_says_so():
    beam = lag_bin(Block(0.35).time_constant_h)
    assert (beam.minutes, bool(beam.beyond)) == (960, True)


def test_a_block_that_lies_on_three_faces_is_refused():
    with pytest.raises(Refused, match="1 or 2"):
        Block(0.05, faces=3)


def test_the_warmth_of_the_place_itself_is_never_reached():
    with pytest.raises(Refused, match="never gets so warm"):
        hours_to_warm(Block(0.05), 6, 18, 18)
    assert hours_to_warm(Block(0.05), 6, 18, np.nextafter(18, 0)) > 24


def test_a_hot_box_may_be_hotter_than_any_shop():
    assert hours_to_warm(Block(0.05), 20, 80, 45) > 0
    assert wood_after_step_c(Block(0.05), 20, 80, 1000) == pytest.approx(80)
    with pytest.raises(Refused, match="time since"):
        wood_after_step_c(Block(0.05), 20, 80, np.nextafter(1000, 9999))
