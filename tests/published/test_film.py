"""Coating arithmetic against printed examples."""

import numpy as np
import pytest

from cureclock.core.coat.film import (
    dry_film_um,
    practical_rate_m2_l,
    spreading_rate_m2_l,
    volume_of_weight_solids_pct,
    volume_solids_pct,
    wet_film_of_rate_um,
    wet_film_um,
)
from cureclock.core.refusal import Refused

MIL_UM = 25.4
FT2_PER_GAL_OF_M2_L = 3.785411784 / 0.3048**2  # exact: one US gallon in litres, one foot in metres


def ft2_per_gal(rate_m2_l: np.ndarray) -> np.ndarray:
    """A spreading rate as American sheets print it."""
    return rate_m2_l * FT2_PER_GAL_OF_M2_L


def test_one_gallon_of_pure_solids_at_one_mil(checked):
    """1604 ft2/gal: 231 in3 over 144 in2/ft2 and 0.001 in (scribd 343849341)."""
    ours = float(ft2_per_gal(spreading_rate_m2_l(MIL_UM, 100)))
    checked("ft2/gal at 1 mil, 100 % solids", "231/144/0.001, printed as 1604", ours, 1604.17)
    assert ours == pytest.approx(1604.17, abs=0.01)


def test_five_mil_of_65_per_cent(checked):
    """208.52 ft2/gal in the same sheet."""
    ours = float(ft2_per_gal(spreading_rate_m2_l(5 * MIL_UM, 65)))
    checked("ft2/gal at 5 mil, 65 % solids", "coverage sheet (scribd 343849341)", ours, 208.52)
    assert ours == pytest.approx(208.52, abs=0.05)


def test_125_um_of_65_per_cent_is_another_film(checked):
    """5.2 m2/L in the same sheet: 125 um is not 5 mil (127 um)."""
    ours = float(spreading_rate_m2_l(125, 65))
    checked("m2/L at 125 um, 65 % solids", "coverage sheet (scribd 343849341)", ours, 5.2)
    assert ours == pytest.approx(5.2, abs=1e-12)


def test_ten_mil_wet(checked):
    """160.417 ft2/gal (geionline)."""
    ours = float(ft2_per_gal(spreading_rate_m2_l(10 * MIL_UM, 100)))
    checked("ft2/gal at 10 mil wet", "geionline", ours, 160.417)
    assert ours == pytest.approx(160.417, abs=0.001)


def test_table_of_coverages(checked):
    """50 % 1 mil 802; 50 % 2 mil 401; 35 % 2 mil 281; 65 % 1 mil 1043; 100 % 10 mil 160."""
    solids, mil, printed = np.array(
        [(50, 1, 802), (50, 2, 401), (35, 2, 281), (65, 1, 1043), (100, 10, 160)]
    ).T
    ours = ft2_per_gal(spreading_rate_m2_l(mil * MIL_UM, solids))
    checked("ft2/gal, 5 rows", "coverage table (scribd 104802451)", ours, printed)
    assert np.abs(ours - printed).max() <= 1


def test_thinned_film(checked):
    """8 mil wet, 35 % solids, 10 % thinned: 2.5 to 2.6 mil printed, 2.5455 unrounded."""
    ours = float(dry_film_um(8 * MIL_UM, 35, 0.10) / MIL_UM)
    checked(
        "dry film of 8 mil wet, thinned [mil]", "coverage table (scribd 104802451)", ours, 2.5455
    )
    assert ours == pytest.approx(2.5455, abs=1e-4)
    assert float(wet_film_um(2.5455 * MIL_UM, 35, 0.10) / MIL_UM) == pytest.approx(8, abs=1e-3)


def test_practical_rate_after_loss(checked):
    """100 theoretical, 30 % lost: 70 (corrosionpedia)."""
    ours = float(practical_rate_m2_l(100, 0.30))
    checked("practical rate of 100 with 30 % lost", "corrosionpedia", ours, 70)
    assert ours == pytest.approx(70)


def test_metric_table():
    """VS %, dry um, wet um, m2/L, ft2/gal, worked outside this project."""
    vs, dry, wet, rate, ft2 = np.array([
        (30, 25, 83.33, 12.000, 488.9), (35, 25, 71.43, 14.000, 570.4),
        (40, 30, 75.00, 13.333, 543.3), (50, 50, 100.00, 10.000, 407.5),
        (65, 125, 192.31, 5.200, 211.9),
    ]).T  # fmt: skip
    assert wet_film_um(dry, vs) == pytest.approx(wet, abs=0.01)
    assert spreading_rate_m2_l(dry, vs) == pytest.approx(rate, abs=0.001)
    assert ft2_per_gal(rate) == pytest.approx(ft2, abs=0.1)
    assert wet_film_of_rate_um(rate) == pytest.approx(wet, abs=0.01)


def test_drying_film_thicknesses_of_astm_d1640_give_plausible_rates():
    """D1640-03 Table 1 dry films: varnish 25 um, drying oil 32 um, lacquer 12.5 um.

    With usual solids (varnish 45, oil 100, lacquer 20 %: from memory) the rates lie inside the
    8 to 40 m2/L that containers print.
    """
    rates = spreading_rate_m2_l([25, 32, 12.5], [45, 100, 20])
    assert np.all((rates > 8) & (rates < 40))


def test_weight_solids_for_volume_solids_is_caught_where_both_are_known():
    with pytest.raises(Refused, match="by weight"):
        volume_solids_pct(50, weight_solids_pct=50)
    by_volume = float(volume_of_weight_solids_pct(50, 0.95, 0.78))
    assert by_volume == pytest.approx(39.1, abs=0.05)
    wrong, right = spreading_rate_m2_l(25, [50, by_volume])
    assert wrong / right > 1.25  # a quarter more area than there is
