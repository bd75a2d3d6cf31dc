"""Drying by the scale: the turner's figures."""

import numpy as np
import pytest

from cureclock.core.refusal import Refused
from cureclock.core.wood.weighing import settle, weeks_until_within

BOWL_G = [1840, 1712, 1622, 1559, 1515]


def test_bowl_worked_by_hand():
    """Losses 128, 90, 63, 44 g shrink by 0.70; 427 g to come from the first; settles at 1413."""
    assert -np.diff(BOWL_G) == pytest.approx([128, 90, 63, 44])
    bowl = settle(BOWL_G)
    assert bowl.ratio == pytest.approx(0.70, abs=0.005)
    assert 1840 - float(bowl.settles_g) == pytest.approx(427, abs=2)
    assert bowl.settles_g == pytest.approx(1413, abs=2)


def test_bowl_is_within_12_g_after_ten_weeks():
    assert weeks_until_within(settle(BOWL_G), 12) == pytest.approx(10, abs=0.15)


def test_exact_series_are_given_back():
    weeks = np.arange(5)
    made = 900 + 300 * 0.8**weeks
    found = settle(made)
    assert (found.ratio, found.settles_g) == pytest.approx((0.8, 900), rel=1e-4)
    assert found.to_come_g == pytest.approx(300 * 0.8**4, rel=1e-3)


def test_uneven_weeks_are_taken_as_they_are():
    weeks = np.array([0, 1, 3, 6.5])
    found = settle(900 + 300 * 0.8**weeks, weeks)
    assert (found.ratio, found.settles_g) == pytest.approx((0.8, 900), rel=1e-4)
    assert found.last_week == 6.5


def test_many_bowls_at_once():
    weeks = np.arange(6)
    found = settle(np.array([[900], [1200]]) + 300 * np.array([[0.6], [0.9]]) ** weeks)
    assert found.ratio == pytest.approx([0.6, 0.9], rel=1e-3)


@pytest.mark.parametrize(
    "weights",
    [[1000, 900], [1000, 900, 800, 700], [1000, 950, 850, 650], [900, 950, 1000], [500, 500, 500]],
)
def test_losses_that_do_not_shrink_are_refused(weights):
    with pytest.raises(Refused, match="weigh"):
        settle(weights)


def test_a_blank_that_is_near_enough_is_ready_at_its_last_weighing():
    assert weeks_until_within(settle(BOWL_G), 1000) == 4


def test_three_weighings_are_enough():
    """100 g, then 50 g lost: each loss is half the one before, 50 g more to come, 800 g."""
    found = settle([1000, 900, 850])
    assert (found.ratio, found.settles_g) == pytest.approx((0.5, 800), rel=1e-3)
