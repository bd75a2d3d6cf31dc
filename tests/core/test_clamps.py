"""Clamps by force and by spacing."""

import numpy as np
import pytest

from cureclock.core.joint.clamps import (
    clamp_spacing_m,
    clamps_by_force,
    clamps_by_spacing,
    clamps_needed,
)
from cureclock.core.refusal import Refused


def test_elm_panel_joint_needs_three_by_either_rule():
    spacing = clamp_spacing_m(0.065, 0.035)
    answer = clamps_needed(1020, 0.44 * 0.022, 4.0, 0.44, spacing)
    assert spacing == pytest.approx(0.2)
    assert (answer.by_force, answer.by_spacing, answer.count) == (3, 3, 3)
    assert answer.ruled_by == "both"


def test_ash_face_lamination_needs_eleven_by_force():
    answer = clamps_needed(1260, 0.7 * 0.048, 4.0, 0.7, clamp_spacing_m(0.048, 0.035))
    assert answer.count == 11
    assert answer.ruled_by == "force"


def test_the_larger_rule_rules():
    answer = clamps_needed([700, 1700], 0.001, 4.0, 1.0, [0.2, 1.0])
    assert answer.count.tolist() == [5, 1]
    assert answer.ruled_by.tolist() == ["spacing", "both"]
    assert (answer.count == np.maximum(answer.by_force, answer.by_spacing)).all()


def test_more_pressure_never_fewer_clamps():
    counts = clamps_by_force(np.linspace(0, 5000, 2001), 0.0336, 4.0)
    assert (np.diff(counts) >= 0).all()


def test_a_stronger_clamp_never_means_more_clamps():
    counts = clamps_by_force(1260, 0.0336, np.linspace(0.2, 50, 2001))
    assert (np.diff(counts) <= 0).all()


def test_a_wider_caul_never_means_more_clamps():
    spacing = clamp_spacing_m(0.065, np.linspace(0, 0.2, 201))
    assert (np.diff(clamps_by_spacing(2.0, spacing)) <= 0).all()


def test_so_many_clamps_do_reach_the_force_and_one_fewer_does_not():
    rng = np.random.default_rng(3)
    pressure, area, clamp = (
        rng.uniform(700, 1700, 500),
        rng.uniform(0.01, 0.2, 500),
        rng.uniform(0.2, 50, 500),
    )
    counts = clamps_by_force(pressure, area, clamp)
    force = pressure * area
    assert (counts * clamp >= force * (1 - 1e-9)).all()
    assert ((counts - 1) * clamp < force).all()


def test_evenly_spread_clamps_keep_the_spacing_and_half_of_it_from_the_ends():
    length, spacing = np.linspace(0.05, 3, 100), 0.2
    counts = clamps_by_spacing(length, spacing)
    assert (length / counts <= spacing * (1 + 1e-9)).all()
    assert (length / counts / 2 <= spacing / 2 * (1 + 1e-9)).all()


def test_a_clamp_without_force_is_refused():
    with pytest.raises(Refused, match=r"clamp force 0 kN .* 0\.01 to 1000 kN"):
        clamps_by_force(1000, 0.01, 0)
