"""Water the glue brings: worked figures and what is refused."""

import pytest

from cureclock.core.refusal import Refused
from cureclock.core.wood.glue_water import evening_out, glue_water_points


def test_bend_of_six_plies_worked_by_hand():
    """Six 3 mm plies at 700 kg/m3, five lines of 250 g/m2 with 40 % water: +4.0 points."""
    gained = glue_water_points(250, 0.40, 6 * 0.003, 700, lines=5)
    assert round(float(gained), 1) == 4.0
    assert gained == pytest.approx(100 * 0.50 / 12.6)  # kg of water on kg of wood


def test_two_halves_worked_by_hand():
    """Two 24 mm halves, one line of 200 g with 50 % water: +0.3 points."""
    assert round(float(glue_water_points(200, 0.5, 2 * 0.024, 700)), 1) == 0.3


def test_density_with_its_water_is_turned_into_oven_dry():
    dry = glue_water_points(200, 0.5, 0.02, 560)
    damp = glue_water_points(200, 0.5, 0.02, 560 * 1.12, mc_pct=12)
    assert damp == pytest.approx(dry)


def test_water_as_a_percentage_is_refused():
    with pytest.raises(Refused, match=r"50 % is written 0\.50 here"):
        glue_water_points(200, 50, 0.02, 560)


def test_cold_lengthens_the_rest_and_warmth_shortens_it():
    rest = evening_out([5, 20, 35])
    for days in (rest.diffusion_days, rest.expert_days, rest.handbook_days):
        assert days[0] > days[1] > days[2]


def test_hotter_than_the_last_row_is_refused():
    with pytest.raises(Refused, match="resting temperature"):
        evening_out(71)
