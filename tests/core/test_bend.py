"""Bent laminations and what they lose when they come off the form."""

import numpy as np
import pytest

from cureclock.core.joint.bend import BentLamination, form_radius_m, springback_m
from cureclock.core.refusal import Refused


def test_a_rim_of_six_plies_and_120_mm_wants_a_form_of_116_7_mm():
    assert form_radius_m(0.120, 6) * 1000 == pytest.approx(116.7, abs=0.05)


def test_four_plies_of_three_inches_rise_lose_three_sixteenths():
    assert springback_m(3.0, 4) == 3 / 16


@pytest.mark.parametrize("plies", [2, 3, 4, 6, 10, 40])
def test_the_rule_is_that_of_elastic_beams(plies):
    """Loose plies bent to the form, glued, let go: the moment left bends the glued beam back."""
    stiffness, ply, form = 12e9, 0.003, 0.5
    loose = plies * stiffness * ply**3 / 12
    glued = stiffness * (plies * ply) ** 3 / 12
    curvature = 1 / form - loose / form / glued
    assert form_radius_m(1 / curvature, plies) == pytest.approx(form)


def test_the_radius_rule_is_the_rise_rule_for_shallow_arcs():
    """Rise = c^2 / 8R: an arc that loses x/n^2 of its rise has grown to R / (1 - 1/n^2)."""
    plies, chord, form = np.array([2, 4, 8]), 2.0, 10.0
    rise = chord**2 / (8 * form)
    opened = chord**2 / (8 * (rise - springback_m(rise, plies)))
    assert form_radius_m(opened, plies) == pytest.approx(form)


def test_more_plies_never_spring_back_more():
    plies = np.arange(2, 201)
    assert (np.diff(form_radius_m(1.0, plies)) > 0).all()
    assert (np.diff(springback_m(1.0, plies)) < 0).all()
    assert (form_radius_m(1.0, plies) < 1.0).all()


def test_the_demo_rim():
    rim = BentLamination(6, 0.003, 1.45, 0.062, 0.120)
    assert rim.glue_lines == 5
    assert rim.thickness_m == pytest.approx(0.018)
    assert rim.glue_area_m2 == pytest.approx(5 * 1.45 * 0.062)


def test_one_ply_is_no_lamination():
    with pytest.raises(Refused, match=r"plies 1 .* 2 to 200"):
        form_radius_m(0.12, 1)


def test_a_ply_thicker_than_the_form_is_refused():
    with pytest.raises(Refused, match="ply thickness"):
        BentLamination(2, 0.1, 1.0, 0.05, 0.12)


def test_a_ply_as_thick_as_its_form_is_round_is_refused():
    """Two plies bent to 0.2 m want a form of 0.15 m, whatever their thickness."""
    form = BentLamination(2, 0.001, 1, 0.05, 0.2).form_radius_m
    with pytest.raises(Refused, match="ply thickness"):
        BentLamination(2, form, 1, 0.05, 0.2)
    assert BentLamination(2, np.nextafter(form, 0), 1, 0.05, 0.2)
