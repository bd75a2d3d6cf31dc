"""How long spread glue may stand today, and the budget that open and closed time share."""

import numpy as np
import pytest

from cureclock.core.joint.assembly import (
    assembly_today_s,
    closed_left_s,
    heat_factor,
    press_within_s,
)
from cureclock.core.refusal import Refused

TEMPS = np.linspace(-40, 60, 1001)


def test_twelve_minutes_at_28_degrees_are_six_fifty_three():
    assert assembly_today_s(12 * 60, 28, 55) == pytest.approx(6 * 60 + 53, abs=1)


def test_hotter_never_more_time_and_never_more_than_the_label():
    limits = assembly_today_s(720, TEMPS, 55)
    assert (np.diff(limits) <= 0).all()
    assert limits.max() == 720
    assert (limits[TEMPS <= 20] == 720).all()


def test_dry_air_or_a_fan_takes_a_quarter_once():
    assert assembly_today_s(720, 20, 39.9) == 540
    assert assembly_today_s(720, 20, 40) == 720
    assert assembly_today_s(720, 20, 60, draught=True) == 540
    assert assembly_today_s(720, 20, 30, draught=True) == 540


def test_damper_air_never_shortens():
    limits = assembly_today_s(720, 25, np.linspace(0, 100, 501))
    assert (np.diff(limits) >= 0).all()


def test_the_label_temperature_is_the_label_s_own():
    assert assembly_today_s(720, 25, 55, label_temp_c=25) == 720
    assert heat_factor(25, 15) == pytest.approx(0.5)


def test_a_third_of_the_open_time_leaves_two_thirds_of_the_closed():
    assert closed_left_s(100, 300, 2700) == pytest.approx(1800)
    assert closed_left_s(0, 300, 2700) == 2700


def test_standing_open_longer_never_leaves_more():
    used = np.linspace(0, 900, 901)
    assert (np.diff(closed_left_s(used, 300, 2700)) <= 0).all()
    assert (closed_left_s(used[used >= 300], 300, 2700) == 0).all()


def test_no_open_time_at_all_leaves_the_closed_time_to_faces_closed_at_once():
    assert closed_left_s([0, 1], 0, 900).tolist() == [900, 0]


def test_the_earlier_of_budget_and_total_rules():
    assert press_within_s(100, 300, 2700, 3600) == pytest.approx(1900)
    assert press_within_s(100, 300, 2700, 1200) == 1200
    assert press_within_s(600, 300, 2700, 3600) == 300  # skinned since the open time ended


@pytest.mark.parametrize("temp", [68, 82, float("nan")])
def test_fahrenheit_is_refused(temp):
    with pytest.raises(Refused, match=r"temperature .* -40 to 60 degC"):
        assembly_today_s(720, temp, 55)


def test_humidity_above_a_hundred_is_refused():
    with pytest.raises(Refused, match="humidity"):
        assembly_today_s(720, 20, 130)
