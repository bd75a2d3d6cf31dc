"""The shed through the night: worked figures, learning, and a night redrawn."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.night import hours_until_c, learn_half_gap, redraw_night, shed_temp_c
from cureclock.core.refusal import Refused


def _banked(start_h: float, end_h: float) -> float:
    """Label-hours at 20 degC, doubling for 10 K: 18 degC until 18:00, then outside 2, half 4 h."""
    hours = np.linspace(start_h, end_h, 20_001)
    temp = shed_temp_c(18, 2, np.maximum(hours - 18, 0), 4)
    return float(np.trapezoid(2 ** ((temp - 20) / 10), hours))


def test_night_worked_by_hand():
    """Off at 18:00 at 18 degC, outside 2, half-gap 4 h: 22:00 10, 02:00 6, 06:00 4, 08:00 3.4."""
    ours = shed_temp_c(18, 2, [4, 8, 12, 14], 4)
    assert np.round(ours, 1) == pytest.approx([10, 6, 4, 3.4])


def test_banked_through_that_night_worked_by_hand():
    """6.36 label-hours from 18:00 to 08:00."""
    assert _banked(18, 32) == pytest.approx(6.36, abs=0.01)


@pytest.mark.parametrize(("need", "pressed"), [(2, 18 + 43 / 60), (3, 17 + 31 / 60)])
def test_latest_press_above_10_degrees_worked_by_hand(need, pressed):
    """2 label-hours above 10 degC have to be begun by 18:43, 3 by 17:31: it is 10 at 22:00."""
    too_cold = 18 + float(hours_until_c(18, 2, 10, 4))
    assert too_cold == pytest.approx(22)
    assert _banked(pressed, too_cold) == pytest.approx(need, abs=0.015)  # a minute
    assert _banked(pressed + 2 / 60, too_cold) < need


@given(st.floats(5, 40), st.floats(-20, 4), st.floats(0.5, 24), st.floats(0.1, 0.9))
def test_hours_until_a_temperature_lead_to_it(start, outside, half, share):
    wanted = outside + share * (start - outside)
    hours = float(hours_until_c(start, outside, wanted, half))
    assert shed_temp_c(start, outside, hours, half) == pytest.approx(wanted, abs=1e-6)


def test_a_shed_that_stays_above_does_so_all_night():
    assert hours_until_c(18, 12, 10, 4) == 240
    assert hours_until_c(8, 2, 10, 4) == 0


def test_half_gap_is_learned_from_nights_of_one_shed():
    night = np.repeat([1, 2, 3], 4)
    hours = np.tile([0, 2, 5, 9], 3)
    outside = np.repeat([2.0, -3.0, 6.0], 4)
    temp = shed_temp_c(np.repeat([18.0, 15.0, 20.0], 4), outside, hours, 4.4)
    learned = learn_half_gap(night, hours, temp, outside)
    assert learned.hours == pytest.approx(4.4)
    assert (learned.nights, learned.spread) == (3, pytest.approx(1))


def test_one_night_with_the_door_open_does_not_spoil_it():
    night = np.repeat(np.arange(7), 3)
    hours = np.tile([0, 3, 6], 7)
    half = np.where(night == 3, 1.0, 4.0)
    temp = shed_temp_c(18, 2, hours, half)
    assert learn_half_gap(night, hours, temp, 2).hours == pytest.approx(4.0)


def test_noise_of_half_a_degree_leaves_it_within_a_tenth():
    rng = np.random.default_rng(3)
    night = np.repeat(np.arange(20), 8)
    hours = np.tile(np.arange(8.0), 20)
    temp = shed_temp_c(17, 1, hours, 4) + rng.normal(0, 0.5, night.size)
    learned = learn_half_gap(night, hours, temp, 1)
    assert learned.hours == pytest.approx(4, rel=0.1)
    assert 1 < learned.spread < 1.2


def test_nights_that_did_not_cool_say_nothing():
    with pytest.raises(Refused, match="at least one night that cooled"):
        learn_half_gap([1, 1, 2, 2], [0, 4, 0, 4], [18, 18.5, 3.5, 3], [2, 2, 2, 2])
    mixed = learn_half_gap([1, 1, 2, 2], [0, 4, 0, 4], [18, 18.5, 18, 10], 2)
    assert (mixed.nights, mixed.hours) == (1, pytest.approx(4))


EXPECTED = shed_temp_c(18, 2, np.arange(15), 4)


def test_a_redrawn_night_has_the_entry_at_its_coldest_and_its_ends_as_read():
    at = np.arange(16)
    expected = np.append(EXPECTED, 9.0)
    drawn = redraw_night(at, expected, 1.0)
    assert drawn.min() == 1.0 == drawn[np.argmin(expected)]
    assert (drawn[0], drawn[-1]) == (18, 9)


def test_the_entry_that_was_expected_leaves_the_night_as_it_was():
    at = np.arange(16)
    expected = np.append(EXPECTED, 9.0)
    assert redraw_night(at, expected, float(expected.min())) == pytest.approx(expected)


@given(st.floats(-20, 3))
def test_a_colder_entry_never_makes_any_moment_warmer(lowest):
    expected = np.append(EXPECTED, 9.0)
    at = np.arange(16)
    colder = redraw_night(at, expected, lowest - 0.5)
    assert np.all(colder <= redraw_night(at, expected, lowest) + 1e-9)


def test_a_level_night_dips_at_the_hour_given():
    drawn = redraw_night(np.arange(5), np.full(5, 12.0), 8.0, coldest_us=1)
    assert drawn == pytest.approx([12, 8, 12 - 4 * 2 / 3, 12 - 4 / 3, 12])
    assert redraw_night(np.arange(5), np.full(5, 12.0), 8.0)[2] == 8


def test_a_lowest_above_what_was_read_is_refused():
    with pytest.raises(Refused, match="not above 9, as read"):
        redraw_night([0, 1, 2], [14, 8, 9], 10)


def test_a_night_needs_a_moment_between_its_readings():
    with pytest.raises(Refused, match="three or more"):
        redraw_night([0, 1], [14, 9], 5)


def test_a_shed_is_never_waited_for_to_fall_to_the_air_outside():
    """Halving a gap for ever never closes it: all night, as the longest that is told."""
    assert hours_until_c(18, 2, 2, 4) == 240
    assert hours_until_c(2, 2, 2, 4) == 240


def test_a_small_fall_keeps_its_shape_when_it_is_drawn_deeper():
    """Down by half a degree, a fifth of it in the first hour; drawn to 5: a fifth of 5 K is 1."""
    at = np.arange(5) * 3_600_000_000
    drawn = redraw_night(at, [10, 9.9, 9.5, 9.9, 10], 5.0)
    assert drawn == pytest.approx([10, 9, 5, 9, 10])
