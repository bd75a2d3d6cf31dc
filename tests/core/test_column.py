"""Stacks and press columns, counted once."""

import numpy as np
import pytest

from cureclock.core.joint.column import clamps_for_stacks, column_holds, columns_needed
from cureclock.core.refusal import Refused


def test_two_billets_on_each_other_share_their_eleven_clamps():
    assert clamps_for_stacks(11, pieces=2, per_stack=2) == 11
    assert clamps_for_stacks(11, pieces=6, per_stack=2) == 33
    assert clamps_for_stacks(11, pieces=6, per_stack=1) == 66


def test_an_odd_piece_takes_a_stack_of_its_own():
    assert clamps_for_stacks(11, pieces=7, per_stack=2) == 44


def test_eight_drums_fill_two_columns_of_four():
    assert columns_needed([1, 4, 5, 8, 9], 4).tolist() == [1, 1, 2, 2, 3]


def test_higher_stacks_never_need_more():
    assert (np.diff(columns_needed(24, np.arange(1, 25))) <= 0).all()


def test_a_column_is_asked_for_its_largest_joint_once():
    assert column_holds(1200, 0.01373, 50.0)
    assert not column_holds(1200, 0.05, 50.0)


@pytest.mark.parametrize("pieces", [0, -1, 2.5])
def test_no_pieces_or_parts_of_a_piece_are_refused(pieces):
    with pytest.raises(Refused, match="pieces"):
        columns_needed(pieces, 4)


def test_a_column_that_gives_just_what_is_needed_holds():
    """500 kPa on half a square metre are 250 kN."""
    assert column_holds(500, 0.5, 250)
    assert not column_holds(500, 0.5, 249.9)


def test_one_clamp_for_each_of_three_stacks():
    assert clamps_for_stacks(1, pieces=6, per_stack=2) == 3
