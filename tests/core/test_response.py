"""Responses: one at the label's conditions, warmer is faster, and what a label may not say."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.damp import damp_penalty, drying_share, vapour_share
from cureclock.core.rates import arrhenius, cooling, doubling, energy_of_q, q_of_two_temperatures
from cureclock.core.refusal import Refused
from cureclock.core.response import Kind, Response
from tests.core.airs import DAMP_FELT, RESPONSES, UREA_H, WARMING

UREA = Response(Kind.TABLE, rows=UREA_H)


@pytest.mark.parametrize("name", RESPONSES)
def test_at_the_labels_conditions_an_hour_is_an_hour(name):
    response = RESPONSES[name]
    assert response.rate(response.label_temp_c, response.label_rh_pct) == pytest.approx(1)


@pytest.mark.parametrize("name", WARMING)
@given(st.floats(-40, 60), st.floats(0.001, 40), st.floats(0, 100) | st.just(np.nan))
def test_warmer_is_never_slower(name, temp, more, rh):
    assert RESPONSES[name].rate(temp + more, rh) >= RESPONSES[name].rate(temp, rh) * (1 - 1e-12)


@given(st.floats(-40, 60), st.floats(0.001, 40))
def test_a_glue_that_stands_by_cooling_is_never_faster_in_the_warm(temp, more):
    hide = RESPONSES["cooling"]
    assert hide.rate(temp + more, 50) <= hide.rate(temp, 50)


@given(st.floats(-40, 60), st.floats(0, 99), st.floats(0.001, 1))
def test_damp_slows_what_dries_and_feeds_what_sets_with_it(temp, rh, more):
    for name in ("water loss", "water loss, closed", "oxidation"):
        assert RESPONSES[name].rate(temp, rh + more) <= RESPONSES[name].rate(temp, rh)
    glue = RESPONSES["moisture cure"]
    assert glue.rate(temp, rh + more) >= glue.rate(temp, rh)


@pytest.mark.parametrize("name", RESPONSES)
def test_humidity_matters_only_where_it_is_said_to(name):
    dry, damp = RESPONSES[name].rate(20, 10), RESPONSES[name].rate(20, 95)
    assert (dry != damp) == (name in DAMP_FELT)


@pytest.mark.parametrize("name", DAMP_FELT)
def test_without_humidity_temperature_alone_counts(name):
    response = RESPONSES[name]
    unknown = response.rate([10.0, 20.0, 25.0], np.nan)
    alone = (
        doubling([10, 20, 25])
        if response.ea_kj_mol is None
        else arrhenius([10, 20, 25], 20, response.ea_kj_mol)
    )
    assert unknown == pytest.approx(alone)


def test_the_smaller_of_warmth_and_drying_power_rules_water_loss():
    open_film = Response(Kind.WATER_LOSS)
    assert open_film.rate(14, 78) == pytest.approx(float(drying_share(14, 78, 20, 50, 1)))
    assert open_film.rate(14, 40) == pytest.approx(float(doubling(14)))
    closed = Response(Kind.WATER_LOSS, air_weight=0.0)
    assert closed.rate(20, 95) == 1, "between dry faces the air does not count"


def test_moisture_cure_is_warmth_and_the_airs_water_together():
    glue = Response(Kind.MOISTURE_CURE, ea_kj_mol=45, damp_power=0.5)
    half = float(vapour_share(20, 25, 20, 50, 0.5))
    assert half == pytest.approx(0.5**0.5)
    assert glue.rate(20, 25) == pytest.approx(half)


def test_solvent_goes_as_its_vapour_pressure():
    """Ethanol: 5.95 kPa at 20 degC, 10.5 at 30 (from memory): a ratio of 1.76."""
    spirit = Response(Kind.SOLVENT_LOSS, ea_kj_mol=42)
    assert spirit.rate(30, 50) == pytest.approx(1.76, abs=0.03)


def test_oil_slows_only_in_air_damper_than_its_label_allows():
    oil = Response(Kind.OXIDATION, ea_kj_mol=76, damp_above_pct=75)
    assert oil.rate(20, [40, 75]).tolist() == [1, 1]
    assert oil.rate(20, 100) == pytest.approx(0.5)
    assert damp_penalty(87.5, 75) == pytest.approx(0.75)


def test_hot_hide_gels_by_newtons_law():
    """From 60 to 33 degC in air of 20: ln(40/13); in air of 5: ln(55/28)."""
    assert cooling(5, 60, 33, 20) == pytest.approx(np.log(40 / 13) / np.log(55 / 28))
    hide = Response(Kind.COOLING, pot_c=60, solid_c=33)
    assert hide.rate([30.9, 31.0, 40.0], 50).tolist()[1:] == [0, 0]
    assert hide.rate(30.9, 50) > 0


def test_asleep_below_its_temperature_and_awake_on_it():
    epoxy = Response(Kind.DOUBLING, sleep_below_c=10)
    assert epoxy.rate([9.99, 10.0], 50).tolist() == [0.0, 0.5]


def test_a_table_counts_its_rows_and_stands_still_below_them():
    rates = UREA.rate([15, 20, 25, 40, 9.9], 50)
    assert rates[:3] == pytest.approx([1.75 / 2.75, 1, 1.75 / 1.25])
    assert rates[3] == pytest.approx(1.75), "the warmest row's rate above it"
    assert rates[4] == 0


def test_a_table_refuses_a_start_outside_its_rows_in_words():
    UREA.refuse_outside_rows(10.0)
    for temp in (9.9, 30.1):
        with pytest.raises(Refused) as refused:
            UREA.refuse_outside_rows(temp)
        assert str(refused.value) == (
            f"temperature {temp} degC is outside the valid range: "
            "the label's rows, 10 to 30 degC; outside them it promises nothing"
        )
    Response(Kind.DOUBLING).refuse_outside_rows(-30.0)


@given(st.floats(10, 30))
def test_told_minutes_are_on_the_safe_side(temp):
    hours = float(UREA.row_hours(temp))
    up, down = (UREA.row_minutes(temp, opens=opens) for opens in (True, False))
    assert down <= hours * 60 + 1e-6
    assert up >= hours * 60 - 1e-6
    assert up - down <= 1


def test_a_printed_row_is_told_as_printed():
    for temp, hours in UREA_H:
        assert UREA.row_minutes(temp, opens=True) == hours * 60
        assert UREA.row_minutes(temp, opens=False) == hours * 60
    with pytest.raises(Refused, match="rows"):
        UREA.row_minutes(35, opens=True)


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        (((20.0, 1.0),), "two or more"),
        (((20.0, 1.0), (10.0, 2.0)), "rising"),
        (((10.0, 1.0), (20.0, 2.0)), "never longer in the warm"),
        (((10.0, 2.0), (20.0, float("nan"))), "row time"),
        ((("a", 2.0), (20.0, 1.0)), "pairs"),
        (((10.0, 2.0), (19.0, 1.0)), "label temperature"),
    ],
)
def test_rows_that_are_no_table_are_refused(rows, said):
    with pytest.raises(Refused, match=said):
        Response(Kind.TABLE, rows=rows)


@pytest.mark.parametrize(
    "wrong",
    [
        {"q": 1.4}, {"q": 3.1}, {"q": float("nan")}, {"label_temp_c": 68}, {"label_rh_pct": 0.5},
        {"air_weight": 1.1}, {"sleep_below_c": -31}, {"ea_upper_kj_mol": 5}, {"kind": "magic"},
        {"kind": Kind.CHEMICAL}, {"kind": Kind.MOISTURE_CURE}, {"kind": Kind.OXIDATION},
        {"kind": Kind.SOLVENT_LOSS}, {"kind": Kind.COOLING}, {"damp_power": 0.4},
        {"kind": Kind.COOLING, "pot_c": 60, "solid_c": 22}, {"damp_above_pct": 100},
        {"kind": Kind.COOLING, "pot_c": 40, "solid_c": 33},
    ],
)  # fmt: skip
def test_a_response_that_cannot_be_is_refused(wrong):
    with pytest.raises(Refused):
        Response(**{"kind": Kind.DOUBLING, **wrong})


def test_humidity_and_temperatures_that_do_not_match_are_refused():
    with pytest.raises(Refused, match="as many"):
        Response(Kind.WATER_LOSS).rate([20.0, 21.0], [50.0, 50.0, 50.0])


def test_doubt_is_the_upper_published_energy_below_the_label_and_nothing_above():
    epoxy = Response(Kind.DOUBLING, ea_upper_kj_mol=70.7)
    own, upper = doubling(10), arrhenius(10, 20, 70.7)
    assert epoxy.doubt(np.array([10.0, 20.0, 30.0])) == pytest.approx([own / upper, 1, 1])
    mild = Response(Kind.DOUBLING, ea_upper_kj_mol=40)
    assert mild.doubt(np.array([10.0])) == 1, "doubt never hastens"


def test_doubt_without_a_published_energy_is_a_fortieth_a_kelvin():
    assert Response(Kind.DOUBLING).doubt(np.array([10.0, 0.0])) == pytest.approx([1.25, 1.5])


@pytest.mark.parametrize("name", ["states its rule", "table", "wall", "cooling"])
def test_nothing_is_doubted_where_the_label_itself_says_how(name):
    assert (RESPONSES[name].doubt(np.array([-20.0, 0.0, 30.0])) == 1).all()


def test_the_labels_two_temperatures_give_its_factor_within_bounds():
    assert q_of_two_temperatures(10, 12, 20, 5) == pytest.approx(2.4)
    assert q_of_two_temperatures(15, 9, 20, 6) == pytest.approx((9 / 6) ** 2)
    assert q_of_two_temperatures(10, 50, 20, 5) == 3
    assert q_of_two_temperatures(10, 5.1, 20, 5) == 1.5
    for wrong in ((20, 5, 10, 12), (10, 5, 20, 12), (10, 12, 10.5, 5), (10, 12, 20, 0)):
        with pytest.raises(Refused):
            q_of_two_temperatures(*wrong)


def test_the_factor_for_ten_kelvin_stands_for_an_energy():
    energy = energy_of_q(2, 20)
    assert energy == pytest.approx(51.2, abs=0.05)
    assert arrhenius(30, 20, energy) == pytest.approx(2)


def test_where_the_doubling_rule_reaches_a_rate():
    assert Response(Kind.DOUBLING).reaches_c(4 / 3) == pytest.approx(20 + 10 * np.log2(4 / 3))
    assert Response(Kind.CHEMICAL, ea_kj_mol=50).reaches_c(2) is None


def test_the_ends_of_what_a_response_may_be_told():
    assert Response(Kind.WATER_LOSS, label_rh_pct=1).label_rh_pct == 1
    assert Response(Kind.DOUBLING).reaches_c(1e6) == pytest.approx(20 + 60 * np.log2(10))
    with pytest.raises(Refused, match="rate"):
        Response(Kind.DOUBLING).reaches_c(np.nextafter(1e6, 2e6))
    assert drying_share(20, 50, 20, 95, 1) == pytest.approx(10)
    with pytest.raises(Refused, match="label humidity"):
        drying_share(20, 50, 20, np.nextafter(95, 99), 1)


@pytest.mark.parametrize("wrong", [{"air_weight": 1.5}, {"damp_power": 1.5}, {"damp_power": 0.4}])
def test_shares_beyond_the_whole_are_refused(wrong):
    with pytest.raises(Refused):
        Response(Kind.WATER_LOSS, **wrong)


def test_cooling_needs_a_solid_point_three_degrees_above_the_label():
    assert cooling(20, 60, 23, 20) == pytest.approx(1)
    with pytest.raises(Refused, match="solid point"):
        cooling(20, 60, np.nextafter(23, 0), 20)
