"""The rest of the trade's rows: air, wood, pressing, quantity, keeping, cautions.

Common practice, no source, unless the sheet names one. Cells as in the tables of the trade; of a
bare range the safe end is the value: the warm end of a minimum, the larger spread, the smaller
coverage, the shorter shelf life, the fewest coats.
"""

import pytest

from cureclock.core.materials.library import adhesives, family, finishes, holds, modifiers

# key: minimum, below it, wood %, MPa, g/m2, shelf months
GLUES = {
    "pva_interior": ((10, 8, 12), "spoils", (6, 12), (0.7, 1.7), (200, 150, 250), (12, 12, 24)),
    "pva_yellow": ((7, 5, 10), "spoils", (6, 12), (0.7, 1.7), (200,), (12, 12, 24)),
    "pva_cross_linking": ((12, 8, 13), "spoils", (6, 12), (0.7, 1.7), (200,), (12,)),
    "pva_slow": ((10,), "spoils", (6, 12), (0.7, 1.7), (200,), (12, 12, 24)),
    "polyurethane": ((7, 5, 10), "", (8, 16), (0.6, 1.0), (200, 150, 200), (12,)),
    "epoxy_slow": ((15, 10, 18), "sleeps", (None, 12), None, (400, 250, 400), (24,)),
    "epoxy_quick": ((15, 10, 15), "sleeps", (None, 12), None, (400, 250, 400), (24,)),
    "urea_powder": ((18, 18, 21), "sleeps", (7, 10), (1.0, 1.7), (300, 200, 300), (12,)),
    "resorcinol": ((21,), "sleeps", (8, 12), (1.0, 1.7), (350, 250, 350), (12,)),
    "hide_hot": ((20,), "", (6, 12), (None, 0.7), (200,), None),
    "hide_liquid": ((18,), "", (6, 12), (0.7, 0.7), (200,), (12,)),
    "cyanoacrylate": ((10,), "", (None, 12), None, None, (6, 6, 12)),
    "contact": ((15,), "", (None, 12), None, (120,), (12,)),
}
# key: minimum, most humidity, m2/L, coats, rags heat up
COATS = {
    "oil_raw": (12, 75, (15, 15, 20), (3, 3, 5), True),
    "oil_boiled": (10, 75, (15, 15, 20), (3,), True),
    "oil_varnish_blend": (10, 75, (12, 12, 18), (3,), True),
    "hardwax_oil": (12, 75, (20, 20, 30), (2,), True),
    "hardwax_oil_two_part": (15, 75, (25, 25, 40), (1,), True),
    "varnish_wiping": (10, 80, (12, 12, 15), (3, 3, 6), True),
    "varnish_brushing": (10, 80, (10, 10, 12), (2, 2, 3), True),
    "water_acrylic_pu": (14, 70, (10, 10, 12), (3, 3, 4), False),
    "water_two_part": (15, 70, (10, 10, 12), (2, 2, 3), False),
    "shellac": (15, 65, (12, 12, 15), (3, 3, 8), False),
    "lacquer_nitro": (15, 65, (8, 8, 10), (3, 3, 5), False),
    "lacquer_acid_cured": (18, 65, (8, 8, 10), (2, 2, 3), False),
    "polyurethane_two_part": (15, 70, (8, 8, 10), (2, 2, 3), False),
    "epoxy_coat": (18, 70, (5, 5, 10), (1, 1, 3), False),
    "wax_paste": (15, None, (30,), (1, 1, 2), True),  # if it holds a drying oil or solvent
    "mineral_oil": (10, None, (15,), (2, 2, 3), False),
    "casein_paint": (10, 75, (8, 8, 10), (2,), False),
    "stain_water": (12, 75, (12, 12, 20), (1,), False),
    "stain_spirit": (12, 75, (12, 12, 20), (1,), False),
    "stain_oil": (12, 75, (12, 12, 20), (1,), True),
    "filler_water": (12, 75, None, (1,), False),
    "filler_oil": (12, 75, None, (1,), True),
    "wax_emulsion": (5, None, (5, 5, 8), (2,), False),
}
PVA = ("pva_interior", "pva_yellow", "pva_cross_linking", "pva_slow")


def cell(figure):
    """A figure as the tables above write it."""
    if figure is None:
        return None
    ranged = (figure.value, figure.low, figure.high)
    return ranged if figure.high is not None else (figure.value,)


def ends(span):
    return None if span is None else (span.low, span.high)


@pytest.mark.parametrize(("key", "row"), GLUES.items(), ids=GLUES)
def test_each_glue_has_the_air_wood_pressure_and_shelf_of_its_row(key, row):
    glue = adhesives()[key]
    assert (
        cell(glue.min_c),
        glue.below_min,
        ends(glue.wood_moisture_pct),
        ends(glue.pressure_mpa),
        cell(glue.spread_g_m2),
        cell(glue.shelf_months),
    ) == row


@pytest.mark.parametrize(("key", "row"), COATS.items(), ids=COATS)
def test_each_finish_has_the_air_coverage_coats_and_rags_of_its_row(key, row):
    coat = finishes()[key]
    assert (
        coat.min_c.value,
        None if coat.max_rh_pct is None else coat.max_rh_pct.value,
        cell(coat.coverage_m2_l),
        cell(coat.coats),
        coat.rags_self_heat,
    ) == row


def test_both_tables_hold_every_family_of_the_trade():
    assert set(COATS) == set(finishes())
    assert {key for key, glue in adhesives().items() if glue.response != "table"} == set(GLUES)


@pytest.mark.parametrize("key", PVA)
def test_pva_creeps_stains_softens_and_must_not_freeze(key):
    glue = adhesives()[key]
    assert (glue.creeps, glue.stains_with_iron, glue.frost) == (True, True, "no_frost")
    assert cell(glue.heat_softens_c) == (60, 60, 70)


@pytest.mark.parametrize(
    ("key", "fraction"),
    [*((key, 0.5) for key in PVA), ("urea_powder", 0.4), ("hide_hot", 0.6), ("hide_liquid", 0.6)],
)
def test_water_in_the_glue(key, fraction):
    assert adhesives()[key].water_fraction.value == fraction


def test_strength_classes_are_names_only():
    assert family("pva_interior").strength_classes == ("D1", "D2")
    assert family("pva_cross_linking").strength_classes == ("D3", "D4")
    assert family("epoxy_slow").strength_classes == ()


def test_small_cells_of_single_glues():
    assert cell(family("epoxy_slow").pot_mass_g) == (100,)
    assert family("epoxy_quick").pot_mass_g is None
    assert cell(family("polyurethane").shelf_opened_months) == (2, 2, 3)
    assert cell(family("contact").dry_before_joining_min) == (30, 10, 30)
    assert family("contact").both_faces
    assert cell(family("hide_hot").pot_temp_c) == (60, 60, 71)
    assert family("hide_hot").gates["pot_life"].by_wall


@pytest.mark.parametrize("key", [key for key, glue in adhesives().items()])
def test_fresh_faces_wait_a_day_and_oily_ones_an_hour(key):
    glue = adhesives()[key]
    assert (cell(glue.fresh_face_h), cell(glue.fresh_face_oily_h)) == ((24,), (1, 1, 4))


def test_no_glue_states_a_mixing_ratio_or_a_maximum_that_nobody_printed():
    assert [key for key, glue in adhesives().items() if glue.mixing_ratio] == ["phenol_resorcinol"]
    printed = {"urea_two_part_fast", "urea_two_part_normal"}
    assert {key for key, glue in adhesives().items() if glue.max_c} == printed


def test_a_glue_never_sleeps_at_the_temperature_its_figures_speak_of():
    sleepers = [glue for glue in adhesives().values() if glue.below_min == "sleeps"]
    assert len(sleepers) == 4
    assert all(glue.min_c.value <= glue.label_temp_c.value for glue in sleepers)


def test_holds_say_what_they_bear_and_when_they_must_be_off():
    assert holds()["hot_melt"].remove_before == ("cnc", "lathe", "finish")
    assert holds()["hot_melt"].fit_for == ("saw",)
    assert holds()["hot_melt"].heat_softens_c.value == 50
    assert cell(holds()["hot_melt"].open_time_min) == (0.3, 0.3, 1)
    assert holds()["paper_joint"].remove_before == ("finish_of_that_end",)
    assert holds()["paper_joint"].as_glue
    assert holds()["double_sided_tape"].remove_before == ("end_of_day",)
    assert holds()["double_sided_tape"].fit_for == ("rout", "light")
    assert all("hold_turning" in hold.cautions for hold in holds().values())


@pytest.mark.parametrize(
    ("key", "caution"),
    [
        ("polyurethane", "isocyanate"),
        ("epoxy_slow", "epoxy"),
        ("epoxy_quick", "epoxy"),
        ("urea_powder", "formaldehyde"),
        ("resorcinol", "formaldehyde"),
        ("cyanoacrylate", "cyanoacrylate"),
        ("contact", "solvents"),
        ("hide_hot", "hot_pot"),
        ("hardwax_oil_two_part", "isocyanate"),
        ("water_two_part", "isocyanate"),
        ("polyurethane_two_part", "isocyanate"),
        ("lacquer_acid_cured", "formaldehyde"),
        ("lacquer_nitro", "solvents"),
        ("shellac", "solvents"),
        ("stain_spirit", "solvents"),
        ("epoxy_coat", "epoxy"),
        *((key, "rags") for key, row in COATS.items() if row[4]),
    ],
)
def test_what_can_hurt_carries_its_caution(key, caution):
    assert caution in family(key).cautions


def test_response_is_doubling_unless_there_is_a_better_basis():
    by_kind = {}
    for one in [*adhesives().values(), *finishes().values(), *holds().values()]:
        by_kind.setdefault(one.response, set()).add(one.key)
    assert by_kind.pop("table") == {
        "urea_two_part_fast", "urea_two_part_normal", "phenol_resorcinol",
    }  # fmt: skip
    assert by_kind.pop("water_loss") == {
        "water_acrylic_pu", "water_two_part", "casein_paint", "stain_water", "filler_water",
        "wax_emulsion",
    }  # fmt: skip
    assert by_kind.pop("wall") == {"hot_melt", "double_sided_tape"}
    assert set(by_kind) == {"doubling"}


def test_modifiers_of_coats():
    assert {key: cell(figure) for key, figure in modifiers().items()} == {
        "oily_wood_first_coat": (3, 1.5, 3),
        "later_oil_coat": (1.2,),
        "still_air": (1.3,),
        "gentle_fan": (0.8,),
    }
