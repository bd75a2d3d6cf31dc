"""The printed time-temperature tables of three glues, figure by figure.

Source: appendix D of a home-built wooden aircraft's construction manual, reprinting the resin
makers' sheets, https://manualshive.com/en/manual/sequoia-aircraft-corporation/f-8l-falco/1245632
pages 405 (urea) and 409 to 410 (phenol-resorcinol). Read. A dash is not offered.
"""

import pytest

from cureclock.core.ladder import ladder
from cureclock.core.materials.library import adhesives, family
from cureclock.core.materials.merge import with_label
from cureclock.core.refusal import Refused
from cureclock.core.units import celsius_of_fahrenheit

UREA = "two-part urea sheet, homebuilt-aircraft manual page D-2"
RESORCINOL = "phenol-resorcinol sheet, homebuilt-aircraft manual pages D-6 and D-7"
UREA_CLAMP_H = {  # degC: h; "5-6" at 10 degC is rounded up
    "urea_two_part_fast": {10: 6, 15: 2.75, 20: 1.75, 25: 1.25, 30: 1.0},
    "urea_two_part_normal": {15: 3.5, 20: 2.25, 25: 1.5, 30: 1.25},
}
UREA_ASSEMBLY_MIN = {
    "urea_two_part_fast": {10: 30, 15: 20, 20: 10, 25: 5},
    "urea_two_part_normal": {15: 25, 20: 15, 25: 10, 30: 5},
}
RESORCINOL_F = {  # degF
    "pot_life": ({60: 7.5, 70: 3.75, 75: 3.0, 80: 2.5, 90: 1.5, 100: 0.5}, 1),
    "open_time": ({70: 10, 80: 5, 90: 1}, 60),  # none at all at 100: not offered there
    "total_assembly": ({70: 60, 80: 45, 90: 30, 100: 15}, 60),
}


def rows(key, gate):
    return dict(with_label(family(key)).gate(gate).rows)


def response(key, name):
    return next(g for g in ladder(with_label(family(key))) if g.kind.key == name).response


@pytest.mark.parametrize("key", UREA_CLAMP_H)
def test_urea_clamp_and_assembly_times_are_those_printed(key, checked):
    clamp, assembly = UREA_CLAMP_H[key], UREA_ASSEMBLY_MIN[key]
    assert rows(key, "clamps_off") == clamp
    minutes = {temp: hours * 60 for temp, hours in rows(key, "total_assembly").items()}
    checked(
        f"clamp hours of {key}", UREA, list(rows(key, "clamps_off").values()), list(clamp.values())
    )
    checked(f"assembly minutes of {key}", UREA, list(minutes.values()), list(assembly.values()))
    assert minutes == pytest.approx(assembly)


@pytest.mark.parametrize("key", UREA_CLAMP_H)
def test_urea_bent_work_stays_twice_as_long_in_the_clamps(key):
    twice = {temp: 2 * hours for temp, hours in UREA_CLAMP_H[key].items()}
    assert rows(key, "clamps_off_stressed") == twice


def test_the_printed_range_of_five_to_six_hours_is_kept_beside_its_safe_end():
    row = family("urea_two_part_fast").gates["clamps_off"].rows[0]
    assert (row.temp_c, row.time.value, row.time.low, row.time.high) == (10, 6, 5, 6)


def test_dashes_of_the_urea_table_are_not_offered():
    assert 10 not in rows("urea_two_part_normal", "clamps_off")
    assert 30 not in rows("urea_two_part_fast", "total_assembly")
    with pytest.raises(Refused, match="rows"):
        response("urea_two_part_normal", "clamps_off").refuse_outside_rows(12)
    with pytest.raises(Refused, match="rows"):
        response("urea_two_part_fast", "total_assembly").refuse_outside_rows(28)


@pytest.mark.parametrize("gate", RESORCINOL_F)
def test_resorcinol_pot_and_assembly_times_are_those_printed(gate, checked):
    printed, per_hour = RESORCINOL_F[gate]
    exact = {celsius_of_fahrenheit(temp): time / per_hour for temp, time in printed.items()}
    ours = rows("phenol_resorcinol", gate)
    checked(
        f"{gate} of phenol-resorcinol [h]", RESORCINOL, list(ours.values()), list(exact.values())
    )
    assert ours == pytest.approx(exact)
    assert list(ours) == list(exact)


def test_resorcinol_speaks_of_seventy_fahrenheit_and_promises_nothing_after_pressing():
    glue = family("phenol_resorcinol")
    assert glue.label_temp_c.value == celsius_of_fahrenheit(70)
    assert glue.mixing_ratio.value == 5
    for gate in ("clamps_off", "light", "heavy", "spin", "service"):
        assert gate not in glue.gates


def test_between_rows_any_sound_interpolation_agrees(checked):
    """UF normal hardener at 17.5 degC: linear 2.875, log 2.806, Arrhenius 2.801 h.
    Phenol-resorcinol pot at 85 degF: linear 2.00, log 1.936, Arrhenius 1.932 h. Worked out."""
    urea = float(response("urea_two_part_normal", "clamps_off").row_hours(17.5))
    pot_hours = response("phenol_resorcinol", "pot_life").row_hours(celsius_of_fahrenheit(85))
    checked("urea clamp time between rows, 17.5 degC [h]", UREA, urea, 2.801)
    checked("resorcinol pot life between rows, 85 degF [h]", RESORCINOL, float(pot_hours), 1.932)
    assert 2.78 <= urea <= 2.88
    assert 1.92 <= float(pot_hours) <= 2.00


def test_every_figure_of_these_tables_is_marked_published():
    for key in ("urea_two_part_fast", "urea_two_part_normal", "phenol_resorcinol"):
        for gate in adhesives()[key].gates.values():
            assert {row.time.status for row in gate.rows} <= {"published"}


def test_spread_wood_and_pressure_of_the_same_pages():
    urea, resorcinol = family("urea_two_part_fast"), family("phenol_resorcinol")
    assert (urea.spread_g_m2.low, urea.spread_g_m2.high) == (200, 400)
    assert (urea.hardener_g_m2.low, urea.hardener_g_m2.high) == (100, 150)
    assert (urea.wood_moisture_pct.low, urea.wood_moisture_pct.high) == (7, 13)
    assert (resorcinol.spread_g_m2.low, resorcinol.spread_g_m2.high) == (244, 342)
    assert (resorcinol.pressure_mpa.low, resorcinol.pressure_mpa.high) == (0.17, 1.72)
    assert (resorcinol.gap_mm.low, resorcinol.gap_mm.high) == (0.05, 0.18)


def test_sunken_joints_rest_seven_days():
    """E. Wengert, The Wood Doctor's Rx, https://woodweb.com/knowledge_base/Aching_Glue_Joints.html:
    about 7 days are generally enough before planing."""
    figure = family("pva_interior").gates["final_surfacing"].time
    assert (figure.value, figure.unit, figure.status) == (7, "d", "published")
    assert "16 days" in figure.note  # what another handbook is remembered to ask for


def test_ideal_gaps_of_three_kinds_of_glue():
    """E. Wengert, woodworkingnetwork.com: PVA 0.002 to 0.006 in, PUR about 0.009, epoxy 0.020+."""
    inch = 25.4
    assert family("pva_interior").gap_mm.low == pytest.approx(0.002 * inch, abs=0.003)
    assert family("pva_interior").gap_mm.high == pytest.approx(0.006 * inch, abs=0.003)
    assert family("polyurethane").gap_mm.low == pytest.approx(0.009 * inch, abs=0.003)
    assert family("epoxy_slow").gap_mm.low == pytest.approx(0.020 * inch, abs=0.003)
    assert family("epoxy_slow").gap_mm.high is None
