"""A workshop's own label: what was read counts, what was not is typical and marked."""

import json
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cureclock.core.materials import vocabulary as words
from cureclock.core.materials.label import Label, LabelGate
from cureclock.core.materials.library import family, library
from cureclock.core.materials.merge import PARAMETERS, with_label
from cureclock.core.refusal import Refused

PVA = family("pva_interior")


def figures(label, name):
    gate = label.gate(name)
    return gate.hours, gate.upper_hours, gate.read


def test_a_read_figure_counts_as_it_is():
    label = with_label(PVA, {"clamps_off": 0.75, "spin": 24})
    assert figures(label, "clamps_off") == (0.75, 0.75, True)
    assert figures(label, "spin") == (24, 24, True)


def test_an_unread_figure_counts_at_the_end_of_its_range_or_half_as_long_again():
    label = with_label(PVA)
    assert figures(label, "clamps_off") == (0.75, 1.0, False)
    assert figures(label, "heavy") == (12, 24, False)
    assert figures(label, "spin") == (24, 36, False)
    assert figures(label, "service") == (72, 108, False)
    assert figures(label, "total_assembly") == (10 / 60, 10 / 60, False)


def test_a_guess_is_not_a_reading():
    label = with_label(PVA, {"spin": 10, "heavy": 9, "open_time": 0.1}, read=False)
    assert figures(label, "spin") == (10, 36, False)  # never below the typical upper end
    assert figures(label, "heavy") == (9, 24, False)
    assert figures(label, "open_time") == (0.1, 0.1, False)
    assert figures(with_label(PVA, {"spin": 40}, read=False), "spin") == (40, 60, False)


def test_an_unread_gate_never_comes_before_a_read_one_that_has_to_be_first():
    label = with_label(PVA, {"clamps_off": 6, "heavy": 30})
    assert figures(label, "clamps_off_stressed") == (6, 6, False)
    assert figures(label, "light") == (6, 6, False)
    assert figures(label, "spin") == (30, 36, False)
    assert figures(label, "service") == (72, 108, False)
    no_spin = with_label(family("epoxy_quick"), {"heavy": 90})
    assert figures(no_spin, "service") == (90, 90, False)


def test_a_gate_the_label_denies_is_not_offered():
    label = with_label(family("varnish_wiping"), {"recoat_closes": None})
    assert label.gate("recoat_closes") is None
    assert label.gate("recoat_opens").hours == 8


def test_a_label_may_offer_what_the_trade_left_to_it():
    assert with_label(family("epoxy_quick")).gate("spin") is None
    assert figures(with_label(family("epoxy_quick"), {"spin": 48}), "spin") == (48, 48, True)
    assert figures(with_label(PVA, {"wet_use": 336}), "wet_use") == (336, 336, True)


@pytest.mark.parametrize("key", ["contact", "cyanoacrylate"])
def test_no_label_makes_a_glue_fit_for_the_lathe_that_never_is(key):
    with pytest.raises(Refused, match=f"{key}, spin"):
        with_label(family(key), {"spin": 24})


def test_gates_stand_in_the_order_of_the_trade_whoever_read_them():
    names = [gate.name for gate in with_label(PVA, {"spin": 24, "clamps_off": 1}).gates]
    assert names == [name for name in words.JOINT_GATES if name in names]


def test_clock_hours_are_kept_apart_from_label_hours():
    label = with_label(family("varnish_wiping"), {"recoat_closes": {"hours": 24, "by_wall": True}})
    assert label.gate("recoat_closes").by_wall
    assert not label.gate("recoat_opens").by_wall
    assert with_label(family("hide_hot"), {"pot_life": 30}).gate("pot_life").by_wall


def test_later_calls_of_a_gate_are_kept():
    label = with_label(family("oil_raw"))
    assert (label.gate("rewipe").hours, label.gate("rewipe").then_hours) == (0.5, (1.0, 2.0))
    own = with_label(family("oil_raw"), {"rewipe": {"hours": 0.25, "then_hours": [0.5]}})
    assert own.gate("rewipe").then_hours == (0.5,)


def test_second_temperature_gives_the_factor_kept_between_one_and_a_half_and_three():
    """q = (t_cold / t_warm) ^ (10 / (T_warm - T_cold)); common practice."""

    def q(temp_c, hours):
        second = {"gate": "clamps_off", "temp_c": temp_c, "hours": hours}
        return with_label(PVA, {"clamps_off": 1, "second": second}).q

    assert q(10, 2.5) == pytest.approx(2.5)
    assert q(15, 2**0.5) == pytest.approx(2)
    assert q(30, 0.5) == pytest.approx(2)
    assert q(10, 9) == 3
    assert q(10, 1) == 1.5
    assert with_label(PVA).q == 2


@pytest.mark.parametrize(
    ("second", "named"),
    [
        ({"gate": "clamps_off", "temp_c": 10, "hours": 0.5}, "second, hours"),
        ({"gate": "clamps_off", "temp_c": 20.5, "hours": 1}, "second, temp_c"),
        ({"gate": "clamps_off", "temp_c": 400, "hours": 1}, "second, temp_c"),
        ({"gate": "wet_use", "temp_c": 10, "hours": 2}, "second, gate"),
        ({"temp_c": 10, "hours": 2}, "second, gate"),
        ({"gate": "clamps_off", "temp_c": 10}, "second, hours"),
        ({"gate": "clamps_off", "temp_c": 10, "hours": 2, "rh": 50}, "second, rh"),
        (2.5, "second"),
    ],
)
def test_an_impossible_second_temperature_is_refused_by_field(second, named):
    with pytest.raises(Refused) as refused:
        with_label(PVA, {"clamps_off": 1, "second": second})
    assert refused.value.quantity.startswith(named)


def test_typical_figures_are_said_at_the_labels_own_temperature():
    """By pencil: 24 h at 20 degC is 24 x 2^((20 - 10)/10) = 48 h at 10, and 12 h at 30."""
    cold = with_label(PVA, {"label_temp_c": 10, "clamps_off": 2})
    assert figures(cold, "spin") == (48, 72, False)
    assert figures(cold, "clamps_off") == (2, 2, True)
    warm = with_label(PVA, {"label_temp_c": 30})
    assert figures(warm, "spin") == (12, 18, False)
    assert warm.gate("total_assembly").hours == pytest.approx(5 / 60)
    wall = with_label(family("hide_hot"), {"label_temp_c": 30})
    assert wall.gate("pot_life").hours == 48  # by the clock on the wall: unchanged


def test_printed_rows_make_the_gate_a_table():
    rows = [[10, 5.5], [15, 2.75], [20, 1.75]]
    label = with_label(family("urea_powder"), {"clamps_off": {"rows": rows}})
    assert label.gate("clamps_off").rows == ((10, 5.5), (15, 2.75), (20, 1.75))
    assert label.gate("clamps_off").hours == 1.75
    assert label.response_kind == "doubling"  # the gates without rows


@pytest.mark.parametrize(
    ("said", "named"),
    [
        ({"rows": [[10, 5], [15, 3]]}, "clamps_off"),  # no row at the label temperature
        ({"hours": 2, "rows": [[10, 5], [20, 3]]}, "clamps_off"),  # says two things
        ({"rows": [[20, 3]]}, "clamps_off, rows"),
        ({"rows": [[20, 3], [10, 5]]}, "clamps_off, rows"),
        ({"rows": "all"}, "clamps_off"),
        ({"hours": 2, "rows": "all"}, "rows"),
        ({"hours": 2, "rows": [[1, 2, 3]]}, "rows"),
        ({"hours": 2, "then_hours": 3}, "then_hours"),
        ({"hours": 2, "by_wall": "yes"}, "clamps_off by_wall"),
        ({"hours": 2, "rows": [[10, 5], [20, 2], [130, 1]]}, "clamps_off, row temperature"),
        ({"hours": 2, "rows": [[10, 1e6], [20, 2]]}, "clamps_off, row"),
        ({"hours": 2, "minutes": 3}, "clamps_off, minutes"),
        ({}, "clamps_off"),
    ],
)
def test_an_impossible_gate_is_refused_by_name(said, named):
    with pytest.raises(Refused) as refused:
        with_label(PVA, {"clamps_off": said})
    assert refused.value.quantity.startswith(named)


@pytest.mark.parametrize(
    ("values", "named"),
    [
        ({"spin": 0}, "spin"),
        ({"spin": -24}, "spin"),
        ({"spin": "24"}, "spin"),
        ({"spin": True}, "spin"),
        ({"spin": float("nan")}, "spin"),
        ({"spin": 1e6}, "spin"),
        ({"spnn": 24}, "pva_interior, spnn"),
        ({"touch": 4}, "pva_interior, touch"),
        ({"label_temp_c": 400}, "label_temp_c"),
        ({"label_temp_c": 60.5}, "label_temp_c"),
        ({"label_rh_pct": 130}, "label_rh_pct"),
        ({"q": 4}, "q"),
        ({"states_rule": "yes"}, "states_rule"),
        ({"min_c": -31}, "min_c"),
        ({"max_c": 120.5}, "max_c"),
        ({"pot_mass_g": 100_000.5}, "pot_mass_g"),
        ({"air_weight": 1.2}, "air_weight"),
        ({"response_kind": "magic"}, "response_kind"),
        ({"min_c": 20, "max_c": 15}, "max_c"),
        ({"min_c": None}, "keep_warm"),
        ({"keep_warm": None}, "keep_warm"),
        ({"sleep_below_c": 5}, "sleep_below_c"),
        ({"max_rh_pct": 0}, "max_rh_pct"),
        ({"pot_mass_g": 0}, "pot_mass_g"),
        ({"clamps_off": 6, "light": 4}, "light"),
        ({"heavy": 24, "spin": 12}, "spin"),
        ({"clamps_off": 100, "spin": 24}, "spin"),
        ({"clamps_off": 100, "service": 72}, "service"),
        ({"clamps_off": 100, "light": {"hours": 4, "by_wall": True}, "spin": 24}, "spin"),
        ({"open_time": 0.5, "total_assembly": 0.2}, "total_assembly"),
        ({"scrape_opens": 2}, "scrape_closes"),
    ],
)
def test_an_impossible_label_is_refused_by_field(values, named):
    with pytest.raises(Refused) as refused:
        with_label(PVA, values)
    assert refused.value.quantity.startswith(named)


def test_a_sleeper_sleeps_below_the_minimum_of_its_own_label():
    assert with_label(family("epoxy_slow")).sleep_below_c == 15
    assert with_label(family("epoxy_slow"), {"min_c": 8}).sleep_below_c == 8
    assert with_label(family("epoxy_slow"), {"sleep_below_c": None}).sleep_below_c is None
    assert with_label(PVA).sleep_below_c is None
    with pytest.raises(Refused, match="sleep_below_c"):
        with_label(family("epoxy_slow"), {"min_c": 22})  # it would sleep at its own figures


def test_what_spoils_keeps_its_minimum_and_its_keep_warm_hours():
    label = with_label(PVA, {"min_c": 8, "keep_warm": 3})
    assert (label.spoils, label.min_c, label.keep_warm_hours) == (True, 8, 3)
    assert with_label(family("shellac")).keep_warm_hours is None


def test_parameters_of_doubt_and_air():
    assert with_label(family("oil_raw")).ea_upper_kj_mol == 100
    assert with_label(family("epoxy_slow")).ea_upper_kj_mol == 70.7
    assert with_label(PVA).ea_upper_kj_mol is None
    water = with_label(family("water_acrylic_pu"))
    assert (water.response_kind, water.air_weight, water.label_rh_pct) == ("water_loss", 1, 50)
    assert with_label(family("water_acrylic_pu"), {"air_weight": 0.4}).air_weight == 0.4
    assert with_label(PVA, {"states_rule": True}).states_rule


@pytest.mark.parametrize("key", sorted(library().families))
def test_a_label_goes_through_json_and_back_unchanged(key):
    label = with_label(family(key))
    back = Label.from_json(json.loads(json.dumps(label.to_json())))
    assert back == label
    assert hash(back) == hash(label)


@pytest.mark.parametrize(
    "kept",
    [
        None,
        [],
        {},
        {"family": "x", "role": "hold"},
        {"family": "x", "role": "ship", "response_kind": "wall"},
        {"family": "", "role": "hold", "response_kind": "wall"},
        {"family": "x", "role": "hold", "response_kind": "wall", "smell": 1},
        {"family": "x", "role": "hold", "response_kind": "wall", "gates": 3},
        {"family": "x", "role": "hold", "response_kind": "wall", "gates": [3]},
        {"family": "x", "role": "hold", "response_kind": "wall", "gates": [{"name": "holds"}]},
        {"family": "x", "role": "hold", "response_kind": "wall",
         "gates": [{"name": ["holds"], "hours": 1, "upper_hours": 1}]},
        {"family": "x", "role": "hold", "response_kind": "wall",
         "gates": [{"name": "spin", "hours": 1, "upper_hours": 1}]},
        {"family": "x", "role": "hold", "response_kind": "wall",
         "gates": [{"name": "holds", "hours": 1, "upper_hours": 1}] * 2},
        {"family": "x", "role": "hold", "response_kind": "wall",
         "gates": [{"name": "holds", "hours": 2, "upper_hours": 1}]},
        {"family": "x", "role": "hold", "response_kind": "wall",
         "gates": [{"name": "holds", "hours": 1, "upper_hours": 2, "read": True}]},
    ],
)  # fmt: skip
def test_what_was_kept_wrongly_is_refused(kept):
    with pytest.raises(Refused):
        Label.from_json(kept)


ANY_NUMBER = st.one_of(st.floats(), st.integers(), st.none(), st.booleans(), st.text(max_size=3))
ANY_VALUE = st.one_of(
    ANY_NUMBER,
    st.lists(ANY_NUMBER, max_size=3),
    st.dictionaries(
        st.sampled_from(["hours", "by_wall", "rows", "then_hours", "gate", "temp_c", "x"]),
        st.one_of(
            ANY_NUMBER,
            st.lists(st.lists(ANY_NUMBER, max_size=3), max_size=3),
            st.lists(ANY_NUMBER, max_size=3),
        ),
        max_size=4,
    ),
)
ANY_NAME = st.sampled_from([*words.JOINT_GATES, *words.COAT_GATES, *PARAMETERS, "second", "odd"])


@settings(max_examples=300, deadline=None)
@given(
    key=st.sampled_from(sorted(library().families)),
    values=st.dictionaries(ANY_NAME, ANY_VALUE, max_size=4),
    read=st.booleans(),
)
def test_any_values_give_a_label_or_a_refusal(key, values, read):
    try:
        label = with_label(family(key), values, read=read)
    except Refused:
        return
    assert Label.from_json(json.loads(json.dumps(label.to_json()))) == label
    assert all(gate.upper_hours >= gate.hours > 0 for gate in label.gates)


@settings(max_examples=100, deadline=None)
@given(
    clamps=st.floats(0.1, 200),
    spin=st.floats(0.1, 400),
    key=st.sampled_from(["pva_interior", "polyurethane", "epoxy_slow", "resorcinol"]),
)
def test_reading_a_longer_figure_never_shortens_another(clamps, spin, key):
    typical = with_label(family(key))
    try:
        label = with_label(family(key), {"clamps_off": clamps, "spin": spin})
    except Refused:
        assert spin < clamps
        return
    assert spin >= clamps
    for gate in label.gates:
        if not gate.read:
            assert gate.hours >= typical.gate(gate.name).hours
            assert gate.upper_hours >= typical.gate(gate.name).upper_hours


@settings(max_examples=200, deadline=None)
@given(
    hours=st.floats(),
    upper=st.floats(),
    rows=st.lists(st.tuples(st.floats(), st.floats()), max_size=3),
)
def test_any_floats_make_a_gate_or_a_refusal(hours, upper, rows):
    try:
        gate = LabelGate(name="spin", hours=hours, upper_hours=upper, rows=tuple(rows))
    except Refused:
        return
    assert gate.upper_hours >= gate.hours > 0


@pytest.mark.parametrize(
    ("name", "inside", "outside"),
    [
        ("label_temp_c", 60, 60.5),
        ("max_c", 120, 120.5),
        ("min_c", -30, -30.5),
        ("min_c", 60, 60.5),
        ("max_c", -30, -30.5),
        ("ea_upper_kj_mol", 250, 250.5),
        ("pot_mass_g", 100_000, 100_000.5),
        ("spoils", False, "no"),
    ],
)
def test_a_label_holds_what_is_in_its_range_and_nothing_else(name, inside, outside):
    plain = Label(family="x", role="adhesive", response_kind="doubling", gates=())
    assert getattr(replace(plain, **{name: inside}), name) == inside
    with pytest.raises(Refused, match=name):
        replace(plain, **{name: outside})
