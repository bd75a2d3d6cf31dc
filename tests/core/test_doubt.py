"""Which readings of a sensor are doubted: leaps, swapped degrees, heat, a stuck value."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.doubt import STUCK_US, Before, Doubt, doubts
from cureclock.core.refusal import Refused
from cureclock.core.units import HOUR_US, MINUTE_US

QUARTER_US = 15 * MINUTE_US


def judged(temps: list[float], step_us: int = QUARTER_US, before: Before | None = None):
    at = np.arange(len(temps)) * step_us
    why, side = doubts(
        at, np.array(temps, dtype=float), np.full(len(temps), np.nan), before or Before()
    )
    return [Doubt(code).name for code in why], side.tolist()


def test_air_of_a_shed_that_warms_and_cools_is_never_doubted() -> None:
    temps = (12 + 6 * np.sin(np.arange(400) / 96 * 2 * np.pi)).tolist()
    assert set(judged(temps)[0]) == {"NONE"}


@pytest.mark.parametrize(("spike", "side"), [(3.0, -1), (-20.0, -1), (33.0, 1), (44.0, 1)])
def test_one_reading_that_leaps_is_doubted_on_its_side_and_its_neighbours_are_not(
    spike: float, side: int
) -> None:
    why, sides = judged([18.0, 18.1, spike, 18.2, 18.2])
    assert sides == [0, 0, side, 0, 0]
    assert why[2] == "LEAP"


def test_a_leap_is_doubted_until_three_in_a_row_agree_with_it() -> None:
    warm = [18.0, 18.0, 18.0]
    assert judged([*warm, 5.0])[1] == [0, 0, 0, -1]
    assert judged([*warm, 5.0, 5.1])[1] == [0, 0, 0, -1, -1]
    assert judged([*warm, 5.0, 5.1, 5.2])[1] == [0, 0, 0, 0, 0, 0]


def test_a_leap_at_the_very_beginning_is_the_first_reading_once_three_others_agree() -> None:
    assert judged([40.0, 18.0])[1] == [0, -1]
    assert judged([40.0, 18.0, 18.1, 18.2])[1] == [1, 0, 0, 0]


def test_the_longer_the_silence_the_further_air_may_have_gone() -> None:
    assert judged([18.0, 7.0], QUARTER_US)[1] == [0, -1]
    assert judged([18.0, 7.0], HOUR_US)[1] == [0, 0]


def test_degrees_fahrenheit_are_known_by_what_was_said_before_and_stay_doubted() -> None:
    celsius = [5.0, 5.1, 5.0]
    swapped = [t * 1.8 + 32 for t in (5.0, 5.1, 5.2, 5.3, 5.4, 5.5)]
    why, sides = judged([*celsius, *swapped, 5.6, 5.6])
    assert why == ["NONE"] * 3 + ["FAHRENHEIT"] * 6 + ["NONE"] * 2
    assert sides == [0] * 3 + [1] * 6 + [0] * 2


def test_degrees_that_were_turned_into_celsius_twice_are_low() -> None:
    why, sides = judged([20.0, 20.0, 20.0, *[(t - 32) / 1.8 for t in (20.0, 20.1, 20.2, 20.2)]])
    assert why == ["NONE"] * 3 + ["TWICE"] * 4
    assert sides == [0, 0, 0, -1, -1, -1, -1]


def test_what_was_swapped_before_goes_on_being_so() -> None:
    before = Before(Doubt.FAHRENHEIT, level_at_us=-HOUR_US, believed_c=5.0)
    assert judged([41.2, 41.3, 41.4, 41.5], before=before)[0] == ["FAHRENHEIT"] * 4
    assert judged([5.1, 5.1, 5.2], before=before)[0] == ["NONE"] * 3


def test_no_shop_is_warmer_than_forty_five_degrees() -> None:
    temps = [44.0, 44.9, 45.5, 46.0, 46.0, 46.0]
    assert judged(temps) == (["NONE"] * 2 + ["HOT"] * 4, [0, 0, 1, 1, 1, 1])


def test_the_same_last_digit_for_two_days_is_a_stuck_sensor() -> None:
    hours = STUCK_US // HOUR_US
    before = [10.0 + hour / 10 for hour in range(24)]
    why, sides = judged([*before, *[12.4] * (hours + 10)], HOUR_US)
    assert why[: 24 + hours] == ["NONE"] * (24 + hours)
    assert why[24 + hours :] == ["STUCK"] * 10
    assert set(sides[24 + hours :]) == {1}  # warmer than the day before: it re-times nothing


def test_a_value_stuck_below_the_day_before_counts_as_low() -> None:
    why, sides = judged([15.0, 15.2, 15.1, *[9.0] * 60], HOUR_US)
    assert (why[-1], sides[-1]) == ("STUCK", -1)


def test_a_value_stuck_since_long_before_is_known_from_the_first_reading_on() -> None:
    before = Before(same_since_us=-STUCK_US, level_c=20.0, level_at_us=-1, believed_c=9.0)
    assert judged([9.0, 9.0, 9.2], before=before) == (["STUCK", "STUCK", "NONE"], [-1, -1, 0])


def test_readings_that_do_not_pair_or_go_back_in_time_are_refused() -> None:
    for at, temp in (([0, 1], [9.0]), ([1, 0], [9.0, 9.0])):
        with pytest.raises(Refused):
            doubts(np.array(at), np.array(temp), np.full(len(temp), np.nan))


@given(st.lists(st.floats(-40, 80), max_size=40))
def test_whatever_comes_each_reading_gets_a_reason_with_its_side_or_none(
    temps: list[float],
) -> None:
    why, sides = judged(temps)
    assert len(why) == len(sides) == len(temps)
    assert all((reason == "NONE") == (side == 0) for reason, side in zip(why, sides, strict=True))


def test_degrees_that_were_swapped_give_back_the_level_within_little():
    """From 20: 68 degF is (68 - 32)/1.8 = 20; and 20 degF would be -6.7, turned back 20 again."""
    assert judged([20.0, 20.0, 68.0])[0] == ["NONE", "NONE", "FAHRENHEIT"]
    assert judged([20.0, 20.0, -20 / 3])[0] == ["NONE", "NONE", "TWICE"]


def test_a_stuck_value_lies_on_the_side_of_the_day_before_or_of_what_was_level_before():
    day = 96
    cold = [10.0] * day + [14.0] * (3 * day)
    assert judged(cold)[1][-1] == 1
    warm = [18.0] * day + [14.0] * (3 * day)
    assert judged(warm)[1][-1] == -1


@pytest.mark.parametrize(
    ("off_k", "why"), [(2.8, "FAHRENHEIT"), (-2.8, "FAHRENHEIT"), (-3.3, "LEAP")]
)
def test_swapped_degrees_may_have_moved_by_three(off_k: float, why: str) -> None:
    assert judged([5.0, 5.0, (5 + off_k) * 1.8 + 32])[0][-1] == why


@pytest.mark.parametrize(("off_k", "why"), [(2.8, "TWICE"), (-2.8, "TWICE"), (-3.3, "LEAP")])
def test_degrees_turned_twice_may_have_moved_by_three(off_k: float, why: str) -> None:
    assert judged([20.0, 20.0, (20 + off_k - 32) / 1.8])[0][-1] == why
