"""Whole numbers and the last digit of a division."""

import numpy as np
import pytest

from cureclock.core.joint.count import round_up, whole
from cureclock.core.refusal import Refused


def test_whole_refuses_a_part_of_a_thing():
    with pytest.raises(Refused, match=r"segments 7\.5 .* whole, 3 to 360"):
        whole("segments", [8, 7.5], 3, 360)


@pytest.mark.parametrize("value", [2, 361, float("nan"), float("inf"), None, "many"])
def test_whole_refuses_what_is_out_of_range(value):
    with pytest.raises(Refused, match="segments"):
        whole("segments", value, 3, 360)


def test_whole_keeps_microseconds_exactly():
    instant = 1_795_564_800_123_457
    assert whole("instant", instant, 0, 9_000_000_000_000_000) == instant


def test_round_up_goes_up_but_not_for_the_last_digit():
    assert round_up([2.475, 3.0, 3.0 + 4e-16, 3.001, 0.0]).tolist() == [3, 3, 3, 4, 1]
    assert round_up(0.1 * 3 / 0.1) == 3  # 3.0000000000000004 in floats


def test_round_up_never_gives_less_than_the_number():
    many = np.linspace(0, 50, 5001)
    assert (round_up(many) >= many * (1 - 1e-9)).all()
