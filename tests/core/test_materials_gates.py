"""The trade's table of waits, row by row, against the sheets that ship.

All figures are common practice, no source, at 20 degC and 50 to 60 % humidity, unless the sheet
names one. A cell is written as the trade writes it: "0.75 (0.5-1) h", or a bare range "5-10 min".
A gate that is not in a row is an empty cell and must not be offered.
"""

import re

import pytest

from cureclock.core.materials import vocabulary as words
from cureclock.core.materials.library import adhesives, family, finishes, holds, library

PVA_SCRAPE = {"scrape_opens": "25 min", "scrape_closes": "60 min"}
WATER = {"final_surfacing": "7 (2-7) d"}
DRY = {"final_surfacing": "1 d"}
JOINTS = {
    "pva_interior": {
        "open_time": "5-10 min", "total_assembly": "10-15 min", "keep_warm": "2 h",
        "clamps_off": "0.75 (0.5-1) h", "clamps_off_stressed": "4 h", "light": "4 h",
        "heavy": "12 (8-24) h", "spin": "24 h", "service": "72 h", **PVA_SCRAPE, **WATER,
    },
    "pva_yellow": {
        "open_time": "4-8 min", "total_assembly": "8-12 min", "keep_warm": "2 h",
        "clamps_off": "0.75 h", "clamps_off_stressed": "3 h", "light": "3 h", "heavy": "10 h",
        "spin": "24 h", "service": "72 h", **PVA_SCRAPE, **WATER,
    },
    "pva_cross_linking": {
        "pot_life": "24 h", "open_time": "5-8 min", "total_assembly": "10-12 min",
        "keep_warm": "3 h", "clamps_off": "1.5 (1-2) h", "clamps_off_stressed": "4 h",
        "light": "6 h", "heavy": "24 h", "spin": "24 h", "service": "7 d", **PVA_SCRAPE, **WATER,
    },
    "pva_slow": {
        "open_time": "15-20 min", "total_assembly": "25-30 min", "keep_warm": "4 h",
        "clamps_off": "2.5 (2-3) h", "clamps_off_stressed": "6 h", "light": "8 h", "heavy": "24 h",
        "spin": "36 h", "service": "72 h", **PVA_SCRAPE, **WATER,
    },
    "polyurethane": {
        "open_time": "15-25 min", "total_assembly": "25-40 min", "clamps_off": "3 (1-4) h",
        "clamps_off_stressed": "6 h", "light": "6 h", "heavy": "12 h", "spin": "24 h",
        "service": "72 h", "scrape_opens": "2 h", "scrape_closes": "4 h",
        "sand_glue_line": "72 h", **DRY,
    },
    "epoxy_slow": {
        "pot_life": "30-60 min", "open_time": "40-90 min", "total_assembly": "40-90 min",
        "clamps_off": "12 (8-24) h", "light": "24 h", "heavy": "36 h", "spin": "48-72 h",
        "service": "7 d", "scrape_opens": "6 h", "scrape_closes": "10 h",
        "sand_glue_line": "7 d", **DRY,
    },
    "epoxy_quick": {
        "pot_life": "4-25 min", "open_time": "4-20 min", "total_assembly": "4-20 min",
        "clamps_off": "1 (0.5-4) h", "light": "4 h", "heavy": "24 h", "service": "24-72 h",
        "sand_glue_line": "24-72 h", **DRY,
    },
    "urea_powder": {
        "pot_life": "2-4 h", "open_time": "10-20 min", "total_assembly": "20-30 min",
        "clamps_off": "8 (6-14) h", "clamps_off_stressed": "12 h", "light": "12 h",
        "heavy": "24 h", "spin": "48 h", "service": "7 d", **WATER,
    },
    "resorcinol": {
        "pot_life": "2-3 h", "open_time": "10-15 min", "total_assembly": "30-60 min",
        "clamps_off": "14 (12-16) h", "clamps_off_stressed": "24 h", "light": "24 h",
        "heavy": "48 h", "spin": "72 h", "service": "7 d", **WATER,
    },
    "hide_hot": {
        "pot_life": "2 d", "open_time": "0.5-2 min", "total_assembly": "0.5-2 min",
        "clamps_off": "8 (4-12) h", "light": "12 h", "heavy": "24 h", "spin": "48 h",
        "service": "72 h", **WATER,
    },
    "hide_liquid": {
        "open_time": "8-10 min", "total_assembly": "15-20 min", "clamps_off": "12 (8-12) h",
        "light": "16 h", "heavy": "24 h", "spin": "36 h", "service": "72 h", **WATER,
    },
    "cyanoacrylate": {"light": "0.5 h", "heavy": "2 h", "service": "24 h"},
    "contact": {
        "total_assembly": "60-120 min", "light": "4 h", "heavy": "24 h", "service": "72 h",
    },
}  # fmt: skip
OIL = {"rewipe": "30 min"}
DRIP = {"drip_check": "10 (5-10) min"}
COATS = {
    "oil_raw": {
        "wipe_off": "20-30 min", "dust_free": "24 h", "touch": "48 h", "handle": "72 h",
        "recoat_opens": "48 (24-96) h", "wrap": "14 d", "full_cure": "30-60 d", **OIL,
    },
    "oil_boiled": {
        "wipe_off": "15-20 min", "dust_free": "12 h", "touch": "24 h", "handle": "36 h",
        "recoat_opens": "24 h", "wrap": "10 d", "full_cure": "30 d", **OIL,
    },
    "oil_varnish_blend": {
        "wipe_off": "10-20 min", "dust_free": "6 h", "touch": "12 h", "handle": "24 h",
        "recoat_opens": "18 (12-24) h", "recoat_closes": "72 h", "wrap": "7 d",
        "full_cure": "21-30 d", **OIL,
    },
    "hardwax_oil": {
        "wipe_off": "10-20 min", "dust_free": "4 h", "touch": "8 h", "handle": "24 h",
        "recoat_opens": "12 (8-24) h", "recoat_closes": "48 h", "wrap": "5 d",
        "full_cure": "21 d", **OIL,
    },
    "hardwax_oil_two_part": {
        "pot_life": "4-6 h", "wipe_off": "10-20 min", "dust_free": "4 h", "touch": "6 h",
        "handle": "16 h", "wrap": "3 d", "full_cure": "7 d", **OIL,
    },
    "varnish_wiping": {
        "wipe_off": "5-10 min", "dust_free": "2 h", "touch": "4 h", "handle": "12 h",
        "recoat_opens": "8 (6-12) h", "recoat_closes": "24 h", "wrap": "7 d",
        "full_cure": "21-30 d",
    },
    "varnish_brushing": {
        "dust_free": "3 h", "touch": "6 h", "handle": "24 h", "recoat_opens": "20 (16-24) h",
        "recoat_closes": "48 h", "wrap": "9 d", "full_cure": "30 d", **DRIP,
    },
    "water_acrylic_pu": {
        "dust_free": "0.5 h", "touch": "1 h", "handle": "4 h", "recoat_opens": "2.5 (2-4) h",
        "recoat_closes": "12-24 h", "wrap": "3 d", "full_cure": "14 (7-21) d", **DRIP,
    },
    "water_two_part": {
        "pot_life": "2-4 h", "dust_free": "0.5 h", "touch": "1 h", "handle": "4 h",
        "recoat_opens": "3 h", "recoat_closes": "24 h", "wrap": "2 d", "full_cure": "7-10 d",
        **DRIP,
    },
    "shellac": {
        "dust_free": "0.1 h", "touch": "0.3 h", "handle": "2 h", "recoat_opens": "1 (0.5-2) h",
        "wrap": "3 d", "full_cure": "7-14 d", **DRIP,
    },
    "lacquer_nitro": {
        "dust_free": "0.1 h", "touch": "0.4 h", "handle": "2 h",
        "recoat_opens": "0.75 (0.5-1) h", "wrap": "4 d", "full_cure": "14-28 d", **DRIP,
    },
    "lacquer_acid_cured": {
        "pot_life": "8-24 h", "dust_free": "0.3 h", "touch": "0.7 h", "handle": "3 h",
        "recoat_opens": "1.5 (1-2) h", "recoat_closes": "24-72 h", "wrap": "2 d",
        "full_cure": "21-28 d", **DRIP,
    },
    "polyurethane_two_part": {
        "pot_life": "2-4 h", "dust_free": "0.5 h", "touch": "2 h", "handle": "12 h",
        "recoat_opens": "3 (2-4) h", "recoat_closes": "12-24 h", "wrap": "3 d",
        "full_cure": "7-10 d", **DRIP,
    },
    "epoxy_coat": {  # "4-24 on tack": a window, so it opens at 4
        "pot_life": "20-40 min", "dust_free": "6 h", "touch": "12 h", "handle": "24 h",
        "recoat_opens": "4 h", "recoat_closes": "24 h", "wrap": "4 d", "full_cure": "7 d", **DRIP,
    },
    "wax_paste": {
        "wipe_off": "10-60 min", "handle": "1 h", "recoat_opens": "24 h", "wrap": "1 d",
    },
    "mineral_oil": {
        "wipe_off": "0.5-12 h", "handle": "12 h", "recoat_opens": "24 h", "wrap": "2 d",
    },
    "casein_paint": {
        "dust_free": "0.5 h", "touch": "1 h", "handle": "4 h", "recoat_opens": "4 h",
        "wrap": "2 d", "full_cure": "14-30 d",
    },
    "stain_water": {
        "dust_free": "0.5 h", "touch": "1 h", "handle": "4 h", "recoat_opens": "6 h",
    },
    "stain_spirit": {
        "dust_free": "0.5 h", "touch": "1 h", "handle": "1 h", "recoat_opens": "1 h",
    },
    "stain_oil": {
        "wipe_off": "5-15 min", "dust_free": "0.5 h", "touch": "1 h", "handle": "24 h",
        "recoat_opens": "24 (12-72) h",
    },
    "filler_water": {
        "wipe_off": "10-20 min", "dust_free": "1 h", "touch": "2 h", "handle": "4 h",
        "recoat_opens": "4 h",
    },
    "filler_oil": {
        "wipe_off": "10-20 min", "dust_free": "1 h", "touch": "2 h", "handle": "24 h",
        "recoat_opens": "48 (24-72) h",
    },
    "wax_emulsion": {"dust_free": "1 h", "touch": "2-12 h", "handle": "12 h", "recoat_opens": "4 h"},
}  # fmt: skip
HOLDS = {
    "hot_melt": {"holds": "2 min"},
    "paper_joint": {},
    "double_sided_tape": {"holds": "30 s"},
}
PRINTED_ELSEWHERE = {"urea_two_part_fast", "urea_two_part_normal", "phenol_resorcinol"}
NUMBER = r"(\d+(?:\.\d+)?)"
RANGED = re.compile(rf"{NUMBER} \({NUMBER}-{NUMBER}\) (\w+)")
BARE = re.compile(rf"{NUMBER}-{NUMBER} (\w+)")
SINGLE = re.compile(rf"{NUMBER} (\w+)")


def cell(gate, written):
    """Value, low, high and unit of a cell; of a bare range the safe end is the value."""
    if found := RANGED.fullmatch(written):
        value, low, high = map(float, found.groups()[:3])
        return value, low, high, found[4]
    if found := BARE.fullmatch(written):
        low, high = float(found[1]), float(found[2])
        return (low if gate in words.CLOSING else high), low, high, found[3]
    found = SINGLE.fullmatch(written)
    return float(found[1]), None, None, found[2]


CASES = sorted({**JOINTS, **COATS, **HOLDS}.items())


@pytest.mark.parametrize(("key", "row"), CASES, ids=[key for key, _ in CASES])
def test_each_family_has_exactly_the_figures_of_its_row(key, row):
    gates = family(key).gates
    shipped = {
        name: (gate.time.value, gate.time.low, gate.time.high, gate.time.unit)
        for name, gate in gates.items()
    }
    assert shipped == {name: cell(name, written) for name, written in row.items()}


def test_every_family_that_ships_has_a_row_here_or_a_printed_table():
    assert set(adhesives()) == set(JOINTS) | PRINTED_ELSEWHERE
    assert set(finishes()) == set(COATS)
    assert set(holds()) == set(HOLDS)


@pytest.mark.parametrize(
    ("key", "gate"),
    [
        ("epoxy_slow", "clamps_off_stressed"),
        ("epoxy_quick", "scrape_opens"),
        ("hide_hot", "clamps_off_stressed"),
        ("cyanoacrylate", "total_assembly"),
        ("cyanoacrylate", "final_surfacing"),
        ("contact", "pot_life"),
        ("oil_raw", "recoat_closes"),
        ("varnish_brushing", "wipe_off"),
        ("casein_paint", "recoat_closes"),
        ("wax_emulsion", "full_cure"),
        ("wax_emulsion", "wrap"),
        ("hot_melt", "remove_by"),
        ("pva_interior", "pot_life"),
    ],
)
def test_an_empty_cell_is_not_offered(key, gate):
    assert gate not in family(key).gates
    assert gate not in family(key).not_offered


@pytest.mark.parametrize("gate", ["wet_use", "sand", "tape_off", "rub_out"])
def test_a_gate_for_which_the_trade_gives_no_figure_is_offered_by_no_family(gate):
    assert not [one.key for one in library().families.values() if gate in one.gates]


@pytest.mark.parametrize(
    ("key", "gate", "reason"),
    [
        ("epoxy_quick", "spin", "only_if_label_says"),
        ("cyanoacrylate", "spin", "small_repairs_only"),
        ("cyanoacrylate", "open_time", "seconds_to_3_min"),
        ("cyanoacrylate", "clamps_off", "minutes"),
        ("contact", "spin", "never"),
        ("contact", "clamps_off", "at_once"),
        ("shellac", "recoat_closes", "melts_in"),
        ("lacquer_nitro", "recoat_closes", "melts_in"),
        ("hardwax_oil_two_part", "recoat_opens", "one_coat"),
        ("wax_paste", "full_cure", "stays_soft"),
        ("mineral_oil", "full_cure", "never_cures"),
        ("mineral_oil", "dust_free", "never_dries"),
        ("paper_joint", "holds", "as_glue"),
    ],
)
def test_a_cell_of_words_keeps_its_word(key, gate, reason):
    assert family(key).not_offered[gate] == reason


def test_rewiping_is_called_three_times_by_the_clock_on_the_wall():
    gate = family("hardwax_oil").gates["rewipe"]
    assert gate.by_wall
    assert [gate.hours, *(later.hours for later in gate.again)] == [0.5, 1.0, 2.0]


def test_a_figure_nobody_read_counts_at_the_end_of_its_range():
    gates = family("pva_interior").gates
    assert gates["clamps_off"].unread_hours == 1.0
    assert gates["spin"].unread_hours == 36.0  # no range is given: half as long again
    assert gates["open_time"].unread_hours == gates["open_time"].hours  # never stretched
