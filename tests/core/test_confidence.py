"""The margins: what they are, and that the arithmetic behind them holds."""

import pytest

from cureclock.core import confidence
from cureclock.core.response import Kind, Response


def test_the_numbers_of_the_one_table():
    assert confidence.WARMTH_FLOOR == 0.75
    assert confidence.CHECK_FROM == 0.85
    assert confidence.UNTRIED_MARGIN == 0.20
    assert confidence.LEAST_MARGIN == 0.08
    assert confidence.UNREAD_LABEL == 1.5


def test_two_kelvins_of_guessing_are_fifteen_per_cent():
    off = float(Response(Kind.DOUBLING).rate(22, 50))
    assert off == pytest.approx(confidence.ASSUMED_LEG, abs=0.002)


def test_untried_and_wholly_guessed_is_one_point_three_eight():
    assert pytest.approx(1.38) == (1 + confidence.UNTRIED_MARGIN) * confidence.ASSUMED_LEG
