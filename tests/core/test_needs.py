"""Multipliers of the need."""

import numpy as np
import pytest

from cureclock.core.needs import later_coat, non_porous, oily_wood, stressed, thick_film, wet_wood
from cureclock.core.refusal import Refused


def test_wetter_wood_never_waits_less():
    needs = wet_wood(np.linspace(0, 60, 601), 12, 0.1)
    assert (np.diff(needs) >= 0).all()
    assert needs.min() == 1
    assert wet_wood(14, 12, 0.1) == pytest.approx(1.2)


def test_without_the_maker_s_own_figure_moisture_costs_nothing():
    assert (wet_wood(np.linspace(0, 60, 61), 12, 0) == 1).all()


def test_a_film_twice_as_thick_waits_four_times_where_solvent_must_leave():
    assert thick_film(200, 100) == 4
    assert thick_film(200, 100, 1) == 2
    assert thick_film(200, 100, 0) == 1


def test_a_thin_film_never_shortens_a_label():
    needs = thick_film(np.linspace(1, 300, 300), 100)
    assert needs.min() == 1
    assert (np.diff(needs) >= 0).all()


def test_factors_count_only_where_their_reason_holds():
    assert non_porous([False, True], 3).tolist() == [1, 3]
    assert stressed([False, True]).tolist() == [1, 2]
    assert oily_wood([False, True], 2.5).tolist() == [1, 2.5]


def test_each_later_coat_adds_a_fifth():
    assert later_coat([1, 2, 3]) == pytest.approx([1, 1.2, 1.44])


@pytest.mark.parametrize("factor", [0.5, 0.999, 0, -1, float("nan")])
def test_no_multiplier_shortens_a_wait(factor):
    with pytest.raises(Refused, match="factor"):
        stressed(True, factor)
    with pytest.raises(Refused, match="factor"):
        non_porous(False, factor)
    with pytest.raises(Refused, match="factor"):
        oily_wood(True, factor)
    with pytest.raises(Refused, match="factor"):
        later_coat(2, factor)


def test_a_film_in_another_unit_is_refused():
    with pytest.raises(Refused, match="thickness beside the label's"):
        thick_film(200, 0.1)
