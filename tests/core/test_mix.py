"""How much glue, in which parts, in how many pots."""

import numpy as np
import pytest

from cureclock.core.joint.mix import (
    glue_needed_g,
    pots_needed,
    shares_g,
    shares_ml,
    weight_parts,
)
from cureclock.core.joint.stack import annulus_area_m2
from cureclock.core.refusal import Refused


def test_twenty_four_drums_of_two_faces_take_158_grams():
    area = 24 * 2 * annulus_area_m2(0.172 / 2, 0.110 / 2)
    assert area == pytest.approx(0.659, abs=5e-4)
    assert glue_needed_g(area, 200, 0.2) == pytest.approx(158, abs=0.5)


def test_end_grain_takes_half_as_much_again():
    assert glue_needed_g(0.1, 200, 0.2, 1.5) == pytest.approx(1.5 * glue_needed_g(0.1, 200, 0.2))


def test_parts_add_up_to_the_whole():
    totals = np.linspace(0, 1000, 101)
    np.testing.assert_allclose(shares_g(totals, [100, 47, 3]).sum(axis=-1), totals)


def test_the_ratio_is_kept():
    resin, hardener = shares_g(180, [5, 1])
    assert resin / hardener == pytest.approx(5)


def test_volumes_weigh_what_was_wanted():
    volumes = shares_ml(250, [2, 1], [1.16, 1.0])
    assert volumes[0] / volumes[1] == pytest.approx(2)
    assert (volumes * [1.16, 1.0]).sum() == pytest.approx(250)


def test_equal_densities_make_both_ratios_one():
    np.testing.assert_allclose(weight_parts([5, 1], [1.2, 1.2]) / 1.2, [5, 1])


def test_several_materials_at_once():
    parts, totals = np.array([[5, 1], [100, 45]]), np.array([60, 145])
    np.testing.assert_allclose(shares_g(totals, parts), [[50, 10], [100, 45]])


def test_smaller_pots_never_make_fewer():
    assert (np.diff(pots_needed(900, np.linspace(500, 10, 200))) >= 0).all()
    assert pots_needed([0, 100, 101], 100).tolist() == [1, 1, 2]


def test_waste_in_percent_is_refused():
    with pytest.raises(Refused, match=r"waste 20 .* 0 to 2"):
        glue_needed_g(0.659, 200, 20)


@pytest.mark.parametrize("parts", [5, [5], [5, 0], [5, -1], [5, float("nan")]])
def test_a_ratio_of_one_part_or_of_nothing_is_refused(parts):
    with pytest.raises(Refused, match="parts by weight"):
        shares_g(180, parts)
