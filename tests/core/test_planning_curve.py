"""Staircases as straight lines, exactly."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.planning.curve import PARTS, lines
from cureclock.core.refusal import Refused

STAIRS = st.lists(st.tuples(st.integers(1, 9), st.integers(0, 40)), min_size=1, max_size=60)


@given(STAIRS, st.integers(-5000, 5000), st.integers(-5000, 5000))
def test_lines_rounded_up_are_the_staircase(steps, first, low):
    where = first + np.cumsum([step for step, _ in steps])
    heights = low + np.cumsum([rise for _, rise in steps])
    covered = []
    for line in lines(where, heights):
        here = where[(where >= line.first) & (where <= line.last)]
        covered += here.tolist()
        own = heights[(where >= line.first) & (where <= line.last)]
        assert (-(-(line.rise * here + line.base) // PARTS) == own).all()
        assert (line.from_height, line.to_height) == (own[0], own[-1])
    assert covered == where.tolist()


def test_a_straight_wait_is_one_line_and_one_over_night_two():
    where = np.arange(120)
    assert len(lines(where, where + 96)) == 1
    assert len(lines(where, np.minimum(where + 96, 120))) == 2


def test_a_slow_clock_is_few_lines():
    where = np.arange(1000)
    assert len(lines(where, np.ceil(where * 1.37).astype(int))) <= 20


@pytest.mark.parametrize(
    ("where", "heights"),
    [([], []), ([1, 1], [0, 0]), ([2, 1], [0, 0]), ([1, 2], [5, 4]), ([1], [])],
)
def test_what_is_no_staircase_is_refused(where, heights):
    with pytest.raises(Refused, match="staircase"):
        lines(np.array(where, dtype=int), np.array(heights, dtype=int))
