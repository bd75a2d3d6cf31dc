"""Spreading and tightening against the clock."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.joint.assembly import assembly_today_s
from cureclock.core.joint.spread import Spreading, loads_needed
from cureclock.core.refusal import Refused

STACKS = Spreading(spread_s=25, place_s=15, tighten_s=20)
SECONDS = st.floats(0, 600)
LOADS = np.arange(1, 61)


def test_eight_stacks_take_eight_minutes_and_leave_four():
    assert STACKS.oldest_glue_s(8) == 480
    assert STACKS.spare_s(8, 720) == 240


def test_at_28_degrees_eight_are_over_and_six_fit():
    limit = assembly_today_s(720, 28, 55)
    assert STACKS.spare_s(8, limit) == pytest.approx(-67, abs=1)
    assert STACKS.largest_load(limit) == 6
    assert STACKS.oldest_glue_s(6) == 360


def test_two_spreaders_halve_the_spreading_but_not_the_tightening():
    two = Spreading(25, 15, 20, spreaders=2)
    assert two.oldest_glue_s(8) == 4 * 40 + 8 * 20
    assert two.largest_load(assembly_today_s(720, 28, 55)) == 10


def test_press_each_as_you_go_makes_the_age_one_piece_s_own():
    each = Spreading(25, 15, 20, one_by_one=True)
    assert (each.oldest_glue_s(LOADS) == 60).all()
    assert each.largest_load(59) == 0
    assert each.largest_load(60) == 1000


def test_stacks_that_share_a_column_share_the_tightening():
    shared = Spreading(25, 15, 20, clamps_each=0.25)
    assert shared.oldest_glue_s(8) == 8 * 40 + 2 * 20


def test_fourteen_bands_make_two_loads_of_twenty_four_rings():
    assert loads_needed(24, 14) == 2


@given(SECONDS, SECONDS, st.integers(0, 8), st.integers(1, 4), st.integers(1, 4))
def test_more_joints_never_make_the_glue_younger(spread, tighten, each, hands, turners):
    load = Spreading(spread, 15, tighten, each, 30, hands, turners)
    assert (np.diff(load.oldest_glue_s(LOADS)) >= 0).all()


@given(SECONDS, SECONDS, SECONDS, st.integers(1, 6))
def test_another_spreader_never_makes_the_glue_older(spread, place, tighten, hands):
    few = Spreading(spread, place, tighten, spreaders=hands)
    more = Spreading(spread, place, tighten, spreaders=hands + 1)
    assert (more.oldest_glue_s(LOADS) <= few.oldest_glue_s(LOADS)).all()


@given(st.floats(1, 600), SECONDS, SECONDS, st.integers(1, 4), st.floats(0, 7200))
def test_the_largest_load_fits_and_one_more_does_not(spread, place, tighten, hands, limit):
    load = Spreading(spread, place, tighten, spreaders=hands)
    most = int(load.largest_load(limit))
    assert most == 0 or load.oldest_glue_s(most) <= limit
    assert most == 1000 or load.oldest_glue_s(most + 1) > limit


def test_nobody_to_spread_is_refused():
    with pytest.raises(Refused, match=r"spreaders 0 .* 1 to 50"):
        Spreading(25, 15, 20, spreaders=0)


def test_a_load_of_which_not_one_fits_is_refused():
    with pytest.raises(Refused, match="the glue skins before one is tight"):
        loads_needed(8, STACKS.largest_load(30))


def test_assembling_is_part_of_the_age_of_the_glue():
    """Eight joints of 25 + 15 s, a minute to put together, sixteen clamps of 20 s: 700 s."""
    load = Spreading(25, 15, 20, clamps_each=2, assemble_s=60)
    assert load.oldest_glue_s(8) == 8 * 40 + 60 + 16 * 20


def test_one_joint_is_one_go_and_none_in_a_go_is_refused_as_such():
    assert loads_needed(1, 1) == 1
    with pytest.raises(Refused, match=r"joints in one go 0 is outside .* 1 or more"):
        loads_needed(1, 0)
