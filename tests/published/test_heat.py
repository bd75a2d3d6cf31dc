"""Heat in wood against the Wood Handbook and independent programs."""

import numpy as np
import pytest

from cureclock.core.wood.heat import (
    conductivity_w_mk,
    density_kg_m3,
    diffusivity_m2_s,
    heat_capacity_j_kgk,
)


def test_density_of_white_ash_at_12_per_cent(checked):
    """Wood Handbook (2010) ch. 4, example beside Fig. 4-6: gravity 0.605 gives 678 kg/m3.

    fliphtml5.com/kbpub/hdrb/Wood_Handbook/89
    """
    ours = float(density_kg_m3(0.605, 12))
    checked("white ash at 12 % [kg/m3]", "Wood Handbook (2010) ch. 4 example", ours, 678)
    assert ours == pytest.approx(678, abs=0.6)


def test_density_example_of_a_forestry_course(checked):
    """Larsen, University of Missouri: gravity 0.4 at 12 % is 448 kg/m3."""
    ours = float(density_kg_m3(0.4, 12))
    checked("gravity 0.4 at 12 % [kg/m3]", "Larsen, Univ. of Missouri (2012)", ours, 448)
    assert ours == pytest.approx(448, abs=0.01)


def test_conductivity_in_both_unit_systems(checked):
    """Eq. 4-15 is printed twice: A, B, C = 0.129, 1.34, 0.028 in Btu in/(h ft2 degF).

    1 of those is 0.144228 W/(m K). issuhub.com/view/index/5801?pageIndex=90
    """
    gravity, moisture = (
        part.ravel() for part in np.meshgrid([0.35, 0.5, 0.65, 0.8], [0, 6, 12, 24])
    )
    printed = 0.144228 * (gravity * (1.34 + 0.028 * moisture) + 0.129)
    ours = conductivity_w_mk(gravity, moisture)
    checked(
        "conductivity, 16 woods [W/(m K)]",
        "Wood Handbook (2010) eq. 4-15, inch form",
        ours,
        printed,
    )
    assert ours == pytest.approx(printed, rel=0.006)


def test_conductivity_of_structural_softwood(checked):
    """American Wood Council: 0.7 to 1.0 Btu in/(h ft2 degF) at 12 % for softwood lumber.

    Gravity 0.35 (western white pine) to 0.51 (shortleaf pine), Wood Handbook table 5-3b.
    """
    ours = conductivity_w_mk([0.35, 0.51], 12) / 0.144228
    checked("softwood at 12 % [Btu in/(h ft2 degF)]", "American Wood Council", ours, [0.7, 1.0])
    assert ours == pytest.approx([0.7, 1.0], abs=0.05)


def test_heat_capacity_by_an_independent_program(checked):
    """chemics documentation, cp_wood(12 %, 340 K) = 1.91 kJ/(kg K), citing the Handbook."""
    ours = float(heat_capacity_j_kgk(340 - 273.15, 12)) / 1000
    checked("heat capacity at 12 %, 340 K [kJ/(kg K)]", "chemics documentation", ours, 1.91)
    assert ours == pytest.approx(1.91, abs=0.006)


def test_heat_capacity_with_the_sign_of_b1_lost_would_fail():
    wrong = float(heat_capacity_j_kgk(340 - 273.15, 12)) + 1000 * 12 * 2 * 0.06191
    assert abs(wrong / 1000 - 1.91) > 1


def test_typical_diffusivity(checked):
    """Wood Handbook (2010) ch. 4: typically 1.6e-7 m2/s (from memory)."""
    ours = diffusivity_m2_s([0.4, 0.5, 0.6])
    checked("diffusivity, 3 woods [1e-7 m2/s]", "Wood Handbook (from memory)", ours * 1e7, 1.6)
    assert ours == pytest.approx(1.6e-7, rel=0.06)
