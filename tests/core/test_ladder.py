"""From a label to its gates: which response each has, and what was learned or never read."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.ladder import floor_c, ladder, response_for
from cureclock.core.materials.label import Label, LabelGate
from cureclock.core.materials.library import adhesives, family, finishes, holds
from cureclock.core.materials.merge import with_label
from cureclock.core.materials.vocabulary import RESPONSES as SAID
from cureclock.core.refusal import Refused
from cureclock.core.response import Kind
from cureclock.core.units import HOUR_US


def gate(name: str, hours: float = 10, **more) -> LabelGate:
    return LabelGate(**{"name": name, "hours": hours, "upper_hours": hours, "read": True, **more})


def label(kind: str = "doubling", *gates: LabelGate, role: str = "adhesive", **more) -> Label:
    return Label(family="x", role=role, response_kind=kind, gates=gates, **more)


def kind_of(said: str, name: str = "spin", role: str = "adhesive", **more) -> Kind:
    told = gate(name, **more)
    return response_for(label(said, told, role=role), told).kind


@pytest.mark.parametrize("said", [word for word in SAID if word not in ("table", "cooling")])
def test_a_label_has_the_response_it_names(said):
    assert kind_of(said) == Kind(said)


def test_every_word_a_label_may_say_is_a_response():
    assert set(SAID) == set(Kind)


def test_rows_are_a_table_and_clock_hours_the_wall_whatever_the_label_names():
    rows = ((10.0, 20.0), (20.0, 10.0))
    assert kind_of("doubling", rows=rows) == Kind.TABLE
    assert kind_of("water_loss", by_wall=True, rows=rows) == Kind.WALL


def test_a_gate_of_a_table_that_prints_no_rows_counts_by_doubling():
    assert kind_of("table") == Kind.DOUBLING


def test_cooling_counts_for_the_hold_and_not_for_the_strength_that_comes_after():
    assert kind_of("cooling", "holds", role="hold") == Kind.COOLING
    assert kind_of("cooling", "clamps_off") == Kind.COOLING
    assert kind_of("cooling", "spin") == kind_of("cooling", "service") == Kind.DOUBLING


def test_a_chemical_response_passes_through_the_labels_own_two_temperatures():
    told = gate("spin")
    response = response_for(label("chemical", told, q=2.5), told)
    assert response.rate(30, 50) == pytest.approx(2.5)
    assert response.rate(20, 50) == 1


def test_oil_minds_the_damp_its_label_names():
    told = gate("touch")
    for said, counted in ((None, 75), (65.0, 65), (100.0, 99)):
        oil = label("oxidation", told, role="finish", max_rh_pct=said)
        assert response_for(oil, told).damp_above_pct == counted


def test_alike_responses_share_a_clock():
    told = gate("spin")
    one = response_for(label("moisture_cure", told, q=2.0), told)
    other = response_for(label("moisture_cure", told, q=2.7), told)
    assert one == other
    assert hash(one) == hash(other)


def test_doubt_comes_from_the_published_energies_of_the_family():
    epoxy = with_label(family("epoxy_slow"))
    told = next(one for one in ladder(epoxy) if one.kind.key == "spin")
    assert told.response.ea_upper_kj_mol == 70.7


@pytest.mark.parametrize("key", [*adhesives(), *finishes(), *holds()])
def test_every_family_of_the_library_has_a_ladder(key):
    own = with_label(family(key))
    offered = {told.name for told in own.gates}
    keys = {one.kind.key for stressed in (False, True) for one in ladder(own, stressed=stressed)}
    assert keys == offered


def test_a_stressed_joint_waits_for_its_own_gate():
    both = label("doubling", gate("clamps_off", 1), gate("clamps_off_stressed", 2))
    assert [one.kind.key for one in ladder(both)] == ["clamps_off"]
    assert [one.kind.key for one in ladder(both, stressed=True)] == ["clamps_off_stressed"]


def test_unread_figures_count_at_their_upper_end_for_sure():
    own = label("doubling", gate("spin", 24, upper_hours=36, read=False))
    (spin,) = ladder(own)
    assert (spin.need_us, spin.doubtful_need_us) == (24 * HOUR_US, 36 * HOUR_US)


def test_what_was_learned_is_what_is_needed_and_never_hides_an_unread_label():
    read = label("doubling", gate("light", 10))
    (light,) = ladder(read, learned_h={"light": 9.5}, margins={"light": 0.1})
    assert (light.need_us, light.margin) == (9.5 * HOUR_US, 0.1)
    assert light.doubtful_need_us == 9.5 * HOUR_US
    unread = label("doubling", gate("light", 10, upper_hours=15, read=False))
    (light,) = ladder(unread, learned_h={"light": 9.5})
    assert light.doubtful_need_us == 15 * HOUR_US
    (light,) = ladder(unread, learned_h={"light": 18})
    assert light.doubtful_need_us == 18 * HOUR_US


def test_only_a_film_that_spoils_has_a_floor():
    pva, urea = (with_label(family(key)) for key in ("pva_interior", "urea_powder"))
    assert floor_c(pva) == pva.min_c
    assert floor_c(urea) is None


def test_only_the_pot_life_is_shorter_in_a_large_pot():
    gates = (gate("pot_life", 0.5), gate("total_assembly", 0.2))
    told = label("doubling", *gates, pot_mass_g=100)
    plain, full = (
        {one.kind.key: one.need_us for one in ladder(told, mixed_g=mass)} for mass in (None, 250)
    )
    assert full["pot_life"] == plain["pot_life"] * 100 // 250
    assert full["total_assembly"] == plain["total_assembly"]
    unsaid = ladder(label("doubling", *gates), mixed_g=250)  # the label speaks of no mass
    assert {one.kind.key: one.need_us for one in unsaid} == plain


figures = st.floats(allow_nan=True, allow_infinity=True) | st.floats(0, 2) | st.floats(0, 500)


@given(st.sampled_from(SAID), figures, figures)
def test_any_margin_and_any_learned_need_make_a_ladder_or_are_refused(said, margin, hours):
    told = label(said, gate("spin"), gate("total_assembly", 0.2))
    if said == "table":
        told = label("doubling", gate("spin", rows=((10.0, 20.0), (20.0, 10.0))))
    try:
        gates = ladder(told, margins={"spin": margin}, learned_h={"spin": hours})
    except Refused:
        return
    spin = next(one for one in gates if one.kind.key == "spin")
    bare, *_, sure = spin.figures()
    assert 0 <= bare.need_us <= sure.need_us
