"""Straight laminations, one stage and two."""

import math

import pytest

from cureclock.core.joint.lamination import CrossLamination, FaceLamination, StripeLamination
from cureclock.core.refusal import Refused


def test_face_lamination_of_two_boards_has_one_line():
    billet = FaceLamination(2, 0.7, 0.048)
    assert billet.glue_lines == 1
    assert billet.glue_area_m2 == pytest.approx(0.0336)


def test_stripe_lamination_of_five_boards_has_four_edges():
    panel = StripeLamination(5, 0.44, 0.022, 0.065)
    assert panel.glue_lines == 4
    assert panel.glue_area_m2 == pytest.approx(4 * 0.44 * 0.022)


@pytest.mark.parametrize("boards", [1, 0, -3, 2.5, 501, float("nan")])
def test_a_lamination_needs_two_boards_or_more(boards):
    with pytest.raises(Refused, match="boards"):
        FaceLamination(boards, 0.7, 0.048)
    with pytest.raises(Refused, match="strips"):
        StripeLamination(boards, 0.7, 0.048, 0.03)


def test_cross_lamination_adds_up_both_stages():
    panel = StripeLamination(8, 0.5, 0.03, 0.04)
    board = CrossLamination(panel, 10, 0.04)
    assert board.first_area_m2 == pytest.approx(7 * 0.5 * 0.03)
    assert board.second_area_m2 == pytest.approx(9 * 0.32 * 0.03)
    assert board.glue_area_m2 == pytest.approx(board.first_area_m2 + board.second_area_m2)
    assert board.glue_lines == 16


def test_cross_lamination_uses_up_slices_cuts_and_slant():
    panel = StripeLamination(8, 1.2, 0.03, 0.04)
    square = CrossLamination(panel, 10, 0.04, kerf_m=0.003)
    slanted = CrossLamination(panel, 10, 0.04, kerf_m=0.003, cut_deg=45)
    assert square.needed_length_m == pytest.approx(10 * 0.04 + 11 * 0.003)
    assert slanted.needed_length_m == pytest.approx(math.sqrt(2) * 0.433 + 0.32)
    assert slanted.sawn_face_m2 == pytest.approx(math.sqrt(2) * 0.32 * 0.03)


def test_a_panel_too_short_for_its_slices_is_refused():
    panel = StripeLamination(8, 0.4, 0.03, 0.04)
    with pytest.raises(Refused, match=r"panel length 0\.4 m .* at least 0\.433 m for 10 slices"):
        CrossLamination(panel, 10, 0.04)
    assert CrossLamination(panel, 9, 0.04).needed_length_m == pytest.approx(0.39)


def test_the_larger_glue_line_of_two_stages_is_what_the_press_has_to_load():
    """Strips of 0.5 x 0.03 m against sawn faces of the panel, 8 x 0.04 by 0.03 m = 0.0096 m2."""
    panel = StripeLamination(8, 0.5, 0.03, 0.04)
    assert CrossLamination(panel, 10, 0.04).line_area_m2 == pytest.approx(0.015)
    short = StripeLamination(8, 0.2, 0.03, 0.04)
    assert CrossLamination(short, 4, 0.04).line_area_m2 == pytest.approx(0.0096)
