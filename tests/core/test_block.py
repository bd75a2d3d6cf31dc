"""The waste block at the end of a blank."""

import math

import pytest

from cureclock.core.joint.block import EndBlock
from cureclock.core.refusal import Refused


def test_round_and_square_blocks():
    assert EndBlock(0.075).glue_area_m2 == pytest.approx(math.pi * 0.075**2 / 4)
    assert EndBlock(0.075, square=True).glue_area_m2 == pytest.approx(0.075**2)


def test_a_paper_joint_has_glue_on_both_sides_of_the_paper():
    assert EndBlock(0.075, paper=True).glue_area_m2 == 2 * EndBlock(0.075).glue_area_m2


def test_end_grain_drinks_half_as_much_again():
    assert EndBlock(0.075, end_grain=True).spread_factor == 1.5
    assert EndBlock(0.075).spread_factor == 1


def test_a_block_of_nothing_is_refused():
    with pytest.raises(Refused, match="width of the block"):
        EndBlock(0)
