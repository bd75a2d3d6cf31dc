"""Wood's heat: which way the figures move."""

import pytest

from cureclock.core.refusal import Refused
from cureclock.core.wood.heat import (
    conductivity_w_mk,
    density_kg_m3,
    diffusivity_m2_s,
    gravity_of_density,
    heat_capacity_j_kgk,
)


def test_density_and_gravity_are_each_others_inverse():
    assert gravity_of_density(density_kg_m3([0.4, 0.7], 9), 9) == pytest.approx([0.4, 0.7])


def test_denser_and_wetter_wood_conducts_better():
    dry, wet = conductivity_w_mk(0.6, [6, 20])
    light, heavy = conductivity_w_mk([0.4, 0.8], 12)
    assert wet > dry
    assert heavy > light


def test_wetter_and_warmer_wood_holds_more_heat():
    assert heat_capacity_j_kgk(15, 20) > heat_capacity_j_kgk(15, 6)
    assert heat_capacity_j_kgk(40, 12) > heat_capacity_j_kgk(0, 12)


def test_diffusivity_is_made_of_the_other_three():
    made = conductivity_w_mk(0.6) / (density_kg_m3(0.6) * heat_capacity_j_kgk())
    assert diffusivity_m2_s(0.6) == pytest.approx(float(made))


def test_wood_wetter_than_the_formula_holds_for_is_refused():
    with pytest.raises(Refused, match="0 to 25 %"):
        conductivity_w_mk(0.6, 26)
