"""Woods and clamps against their printed tables.

WH10 is the Wood Handbook, USDA Forest Products Laboratory, FPL-GTR-190 (2010), read in scans.
"""

import pytest

from cureclock.core.materials.library import clamp_kind, clamp_kinds, wood, woods

# WH10 table 13-5, https://issuhub.com/view/index/5801?pageIndex=307: radial, tangential for 1 %.
MOVEMENT = {
    "alder_red": (0.00151, 0.00256), "apple": (0.00205, 0.00376), "ash_black": (0.00172, 0.00274),
    "ash_white": (0.00169, 0.00274), "aspen_quaking": (0.00119, 0.00234),
    "basswood": (0.00230, 0.00330), "beech_american": (0.00190, 0.00431),
    "birch_paper": (0.00219, 0.00304), "birch_sweet": (0.00256, 0.00338),
    "birch_yellow": (0.00256, 0.00338), "butternut": (0.00116, 0.00223),
    "cherry_black": (0.00126, 0.00248), "chestnut_american": (0.00116, 0.00234),
    "cottonwood_eastern": (0.00133, 0.00327), "elm_american": (0.00144, 0.00338),
    "hackberry": (0.00165, 0.00315), "hickory_pecan": (0.00169, 0.00315),
    "honeylocust": (0.00144, 0.00230), "robinia": (0.00158, 0.00252),
    "maple_bigleaf": (0.00126, 0.00248), "maple_red": (0.00137, 0.00289),
    "maple_silver": (0.00102, 0.00252), "maple_sugar": (0.00165, 0.00353),
    "oak_red": (0.00158, 0.00369), "oak_white": (0.00180, 0.00365),
    "oak_overcup": (0.00183, 0.00462), "persimmon": (0.00278, 0.00403),
    "sassafras": (0.00137, 0.00216), "sweetgum": (0.00183, 0.00365),
    "sycamore_american": (0.00172, 0.00296), "tupelo_black": (0.00176, 0.00308),
    "walnut_black": (0.00190, 0.00274),
}  # fmt: skip
# WH10 table 4-3, https://issuhub.com/view/index/5801?pageIndex=85: radial, tangential, volume, %.
SHRINKAGE = {
    "alder_red": (4.4, 7.3, 12.6), "ash_white": (4.9, 7.8, 13.3), "ash_black": (5.0, 7.8, 15.2),
    "basswood": (6.6, 9.3, 15.8), "beech_american": (5.5, 11.9, 17.2),
    "birch_paper": (6.3, 8.6, 16.2), "birch_sweet": (6.5, 9.0, 15.6),
    "birch_yellow": (7.3, 9.5, 16.8), "butternut": (3.4, 6.4, 10.6),
    "cherry_black": (3.7, 7.1, 11.5), "chestnut_american": (3.4, 6.7, 11.6),
    "elm_american": (4.2, 9.5, 14.6), "oak_white": (5.6, 10.5, 16.3),
    "oak_overcup": (5.3, 12.7, 16.0), "sycamore_american": (5.0, 8.4, 14.1),
    "walnut_black": (5.5, 7.8, 12.8), "yellow_poplar": (4.6, 8.2, 12.7),
    "redcedar_western": (2.4, 5.0, 6.8), "douglas_fir": (4.8, 7.6, 12.4),
    "white_fir": (3.3, 7.0, 9.8),
    # WH10 table 4-4, https://fliphtml5.com/kbpub/hdrb/Wood_Handbook/87, a scan
    "mahogany": (3.0, 4.1, 7.8), "mahogany_african": (2.5, 4.5, 8.8),
    "afrormosia": (3.0, 6.4, 10.7),
    # Drvna industrija 2012, issue 4, abstract
    "plum": (4.8, 7.5, 12.1),
    # technical sheet of the Forest Products Laboratory, Pterocarpus soyauxii
    "padauk_african": (3.3, 5.2, 7.6),
    # a timber atlas, in a copy
    "beech": (5.7, 11.6, 17.3),
}  # fmt: skip
# Specific gravity at 12 %, after WH10, http://synthmind.com/Tree_Species_Strength_Properties.htm
GRAVITY_12 = {
    "alder_red": 0.41, "ash_black": 0.49, "ash_white": 0.60, "aspen_quaking": 0.38,
    "basswood": 0.37, "beech_american": 0.64, "birch_paper": 0.55, "birch_sweet": 0.65,
    "birch_yellow": 0.62, "butternut": 0.38, "cherry_black": 0.50, "chestnut_american": 0.43,
    "elm_american": 0.50, "hackberry": 0.53, "hickory_pecan": 0.66, "maple_bigleaf": 0.48,
    "maple_red": 0.54, "maple_sugar": 0.63, "oak_red": 0.63, "oak_white": 0.68,
}  # fmt: skip
# finewoodworking.com, 2010/05/11, mean forces in pounds
MEASURED_LB = {"parallel_jaw": 370, "one_hand_bar": 470, "aluminium_bar": 680, "pipe": 1050,
               "i_beam_bar": 1350}  # fmt: skip


def test_movement_coefficients_are_those_printed(checked):
    ours = {
        key: (wood(key).movement_radial.value, wood(key).movement_tangential.value)
        for key in MOVEMENT
    }
    checked(
        "movement of 32 woods, per 1 % MC",
        "WH10 table 13-5",
        list(ours.values()),
        list(MOVEMENT.values()),
    )
    assert ours == MOVEMENT
    assert {wood(key).movement_radial.source for key in MOVEMENT} == {"wh10_13_5"}


def test_shrinkages_are_those_printed(checked):
    ours = {
        key: tuple(
            getattr(wood(key), f"shrinkage_{way}_pct").value
            for way in ("radial", "tangential", "volume")
        )
        for key in SHRINKAGE
    }
    checked(
        "shrinkage of 26 woods, %",
        "WH10 tables 4-3, 4-4 and single sheets",
        list(ours.values()),
        list(SHRINKAGE.values()),
    )
    assert ours == SHRINKAGE


@pytest.mark.parametrize("key", GRAVITY_12)
def test_density_is_gravity_at_twelve_percent_with_its_water(key):
    """kg/m3 = 1000 x gravity x (1 + 12/100)."""
    assert wood(key).density_kg_m3.value == pytest.approx(1120 * GRAVITY_12[key], abs=0.05)


def test_sugar_maple_weighs_what_the_handbook_formula_gives(checked):
    checked(
        "density of sugar maple at 12 % [kg/m3]",
        "gravity 0.63, maplefloor.org",
        wood("maple_sugar").density_kg_m3.value,
        705.6,
    )
    assert wood("maple_sugar").density_kg_m3.value == pytest.approx(705.6)
    assert wood("maple_sugar").specific_gravity_basic.value == 0.56


def test_tangential_movement_and_shrinkage_are_the_larger_ones():
    for one in woods().values():
        for name in ("movement_{}", "shrinkage_{}_pct"):
            radial = getattr(one, name.format("radial"))
            tangential = getattr(one, name.format("tangential"))
            if radial and tangential:
                assert tangential.value > radial.value, one.key


def test_volume_shrinks_more_than_the_wider_way_and_about_as_much_as_both():
    for one in woods().values():
        if one.shrinkage_volume_pct:
            both = one.shrinkage_radial_pct.value + one.shrinkage_tangential_pct.value
            assert one.shrinkage_tangential_pct.value < one.shrinkage_volume_pct.value, one.key
            assert one.shrinkage_volume_pct.value < both + 2.5, one.key


def test_green_gravity_is_below_the_weight_at_twelve_percent():
    for one in woods().values():
        if one.density_kg_m3 and one.specific_gravity_basic:
            assert 1000 * one.specific_gravity_basic.value < one.density_kg_m3.value, one.key


def test_european_sycamore_is_a_merchants_card_not_the_american_table():
    """frey-amon.at, Acer pseudoplatanus: 640 kg/m3; swelling 0.10-0.20 and 0.22-0.30 % for 1 %."""
    sycamore = wood("sycamore")
    assert sycamore.density_kg_m3.value == 640
    assert (sycamore.movement_radial.low, sycamore.movement_radial.high) == (0.0010, 0.0020)
    assert (sycamore.movement_tangential.low, sycamore.movement_tangential.high) == (0.0022, 0.0030)
    assert sycamore.movement_tangential.source == "merchant_austria"


def test_measured_clamp_forces_are_those_printed(checked):
    """Pounds-force to newtons: 4.4482216; printed to about ten pounds."""
    ours = [clamp_kind(key).measured_n.value for key in MEASURED_LB]
    printed = [4.4482216 * pounds for pounds in MEASURED_LB.values()]
    checked(
        "mean forces of five kinds of clamps [N]", "finewoodworking.com 2010/05/11", ours, printed
    )
    assert ours == pytest.approx(printed, abs=1)
    assert {key for key, kind in clamp_kinds().items() if kind.measured_n} == set(MEASURED_LB)


def test_people_differ_from_the_mean_as_was_measured():
    for key in MEASURED_LB:
        spread = clamp_kind(key).operators_pct
        assert (spread.low, spread.high) == (-40, 60)
