"""Movement: the valid formula is picked, and gaps and steps that follow."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.refusal import Refused
from cureclock.core.wood.movement import (
    fit_gap_mm,
    flush_step_mm,
    movement,
    movement_linear_mm,
    movement_total_mm,
)


def test_ash_worked_by_hand():
    """300 mm of ash, 5 points, tangential 0.00274: 4.1 mm."""
    assert round(float(movement_linear_mm(300, 0.00274, 8, 13)), 1) == 4.1


@pytest.mark.parametrize(("start", "end"), [(5.9, 10), (10, 14.1), (15, 20)])
def test_linear_formula_is_refused_outside_6_to_14(start, end):
    with pytest.raises(Refused, match="6 to 14 %"):
        movement_linear_mm(300, 0.003, start, end)


def test_total_formula_is_refused_above_saturation():
    with pytest.raises(Refused, match="0 to 30 %"):
        movement_total_mm(300, 9.9, 35, 10)


def test_coefficient_per_hundred_and_shrinkage_as_a_fraction_are_refused():
    with pytest.raises(Refused, match="movement coefficient"):
        movement_linear_mm(300, 0.353, 8, 10)
    with pytest.raises(Refused, match="total shrinkage"):
        movement_total_mm(300, 0.099, 8, 10)


def test_the_valid_formula_is_picked_cell_by_cell_and_named():
    moved = movement(300, [8, 5, 8, 20], [10, 10, 15, 8], coefficient=0.003, shrinkage_pct=8)
    assert moved.equation.tolist() == ["13-2", "13-3", "13-3", "13-3"]
    assert moved.change_mm[0] == movement_linear_mm(300, 0.003, 8, 10)
    assert moved.change_mm[3] == movement_total_mm(300, 8, 20, 8)


def test_without_the_total_shrinkage_a_change_outside_is_refused():
    assert movement(300, 8, 10, coefficient=0.003).equation == "13-2"
    with pytest.raises(Refused, match="total shrinkage not known"):
        movement(300, 8, 16, coefficient=0.003)
    with pytest.raises(Refused, match="total shrinkage not known"):
        movement(300, 8, 10)


def test_the_total_shrinkage_alone_will_do_everywhere():
    assert movement(300, 8, 10, shrinkage_pct=8).equation == "13-3"


@given(st.floats(0, 30), st.floats(0, 30), st.floats(0.5, 20), st.floats(1, 5000))
def test_there_and_back_gives_the_first_width_again(start, end, shrinkage, width):
    there = width + float(movement_total_mm(width, shrinkage, start, end))
    back = there + float(movement_total_mm(there, shrinkage, end, start))
    assert back == pytest.approx(width)


def test_a_panel_that_swells_closes_its_gap():
    swell = movement(440, 8, 13, coefficient=0.00338).change_mm
    gap = fit_gap_mm(446, 440, part_change_mm=swell)
    assert gap == pytest.approx(6 - 440 * 0.00338 * 5)
    assert gap < 0


def test_parts_cut_flush_at_unequal_moisture_step_apart():
    """300 mm of ash at 8 beside 12 %: once both are at 8 the wet one is 3.3 mm short."""
    step = flush_step_mm(300, 8, 12, 8, coefficient_a=0.00274, coefficient_b=0.00274)
    assert step == pytest.approx(300 * 0.00274 * 4)
    assert flush_step_mm(300, 8, 8, 12, coefficient_a=0.002, coefficient_b=0.002) == 0


def test_equation_names_follow_the_shape():
    moved = movement([100, 200], 8, 10, coefficient=0.003)
    assert moved.by_13_3.shape == moved.change_mm.shape == (2,)
    assert np.all(moved.equation == "13-2")
