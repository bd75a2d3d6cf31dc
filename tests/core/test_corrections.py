"""What was announced and is not so after all."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.coat.shop_hours import ShopHours
from cureclock.core.reminding.corrections import BY_US, corrections
from cureclock.core.reminding.due import wanted
from cureclock.core.reminding.facts import Facts, GateFact, PieceFact, Shop
from cureclock.core.reminding.kinds import Kind
from cureclock.core.reminding.wants import Said
from cureclock.core.reminding.who import Hand
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US, SECOND_US

HOURS = ShopHours([8 * HOUR_US], [18 * HOUR_US])
SHOP = Shop("shed", (Hand("maker", minds_shop=True), Hand("helper", hours=HOURS)), HOURS)
SAID_AT = 10 * HOUR_US
LIST = {Kind.MORNING, Kind.BEFORE_GO}


def _told(facts, at_us=SAID_AT):
    wants = [one for one in wanted(facts, SHOP, at_us) if one.kind not in LIST]
    return [Said.of(one, at_us) for one in wants if one.at_us <= at_us]


def _gate(gate, act_us, **said):
    return Facts(gates=[GateFact("g1", "1", gate, act_us, **said)])


def _piece(sure_us, **said):
    return Facts(pieces=[PieceFact("b", "1", sure_us, **said)])


def _corrected(before, after, at_us=SAID_AT + MINUTE_US):
    return corrections(_told(before), after, SHOP, at_us)


def test_an_opening_that_is_later_by_ten_minutes_is_corrected_once_with_both_times():
    later = SAID_AT + 2 * HOUR_US
    (one,) = _corrected(_gate("heavy", SAID_AT), _gate("heavy", later))
    assert (one.was_us, one.wanted.about_us) == (SAID_AT, later)
    assert one.wanted.kind == Kind.CORRECTION
    assert one.wanted.tags == ("1",)
    assert one.wanted.at_us == SAID_AT + MINUTE_US
    assert not one.suspect


def test_an_ordinary_gate_out_by_less_than_ten_minutes_is_not_corrected():
    before = _gate("heavy", SAID_AT)
    assert _corrected(before, _gate("heavy", SAID_AT + BY_US - 1)) == ()
    assert len(_corrected(before, _gate("heavy", SAID_AT + BY_US))) == 1


@pytest.mark.parametrize("gate", ["service", "wet_use"])
def test_a_gate_that_can_hurt_is_corrected_whatever_the_size(gate):
    after = _gate(gate, SAID_AT + 2 * MINUTE_US)
    assert len(_corrected(_gate(gate, SAID_AT), after)) == 1


def test_the_lathe_is_corrected_whatever_the_size():
    (one,) = _corrected(_piece(SAID_AT), _piece(SAID_AT + MINUTE_US + 1))
    assert one.wanted.gate == "spin"


def test_what_opened_later_than_said_but_is_open_now_needs_no_correction():
    after = SAID_AT + HOUR_US
    assert _corrected(_gate("heavy", SAID_AT), _gate("heavy", after), at_us=after) == ()
    assert _corrected(_piece(SAID_AT), _piece(after), at_us=after) == ()


@pytest.mark.parametrize(
    "after", [_piece(SAID_AT, barred=True), _piece(None), _piece(SAID_AT + DAY_US)]
)
def test_a_piece_told_for_the_lathe_that_is_barred_or_short_is_corrected(after):
    (one,) = _corrected(_piece(SAID_AT), after)
    assert one.suspect == after.pieces[0].barred
    if after.pieces[0].barred:
        assert one.wanted.about_us is None


def test_a_joint_found_suspect_is_corrected_for_machining_but_not_for_its_clamps():
    heavy = _corrected(_gate("heavy", SAID_AT), _gate("heavy", SAID_AT, suspect=True))
    assert [one.suspect for one in heavy] == [True]
    clamps = _corrected(_gate("clamps_off", SAID_AT), _gate("clamps_off", SAID_AT, suspect=True))
    assert clamps == ()


def test_what_is_over_is_not_corrected():
    later = SAID_AT + 2 * HOUR_US
    assert _corrected(_gate("heavy", SAID_AT), _gate("heavy", later, over=True)) == ()
    assert _corrected(_piece(SAID_AT), _piece(later, over=True)) == ()


def test_a_window_that_shuts_sooner_than_was_said_is_corrected():
    before = _gate("recoat_closes", 12 * HOUR_US, hands_us=2 * HOUR_US)
    assert [one.kind for one in _told(before)] == [Kind.CLOSING]
    sooner = _gate("recoat_closes", 11 * HOUR_US)
    (one,) = _corrected(before, sooner)
    assert (one.was_us, one.wanted.about_us) == (12 * HOUR_US, 11 * HOUR_US)
    assert _corrected(before, _gate("recoat_closes", 13 * HOUR_US)) == ()
    assert _corrected(before, sooner, at_us=11 * HOUR_US) == ()


def test_who_was_told_is_told_again_though_gone_home():
    later = _gate("heavy", SAID_AT + DAY_US)
    (one,) = _corrected(_gate("heavy", SAID_AT), later, at_us=20 * HOUR_US)
    assert [to.person for to in one.wanted.to] == ["maker", "helper"]
    assert not one.wanted.listed


@pytest.mark.parametrize("gate", ["scrape_opens", "rewipe", "drip_check"])
def test_a_call_to_an_act_is_not_taken_back(gate):
    assert _corrected(_gate(gate, SAID_AT), _gate(gate, SAID_AT + DAY_US)) == ()


def test_a_corrected_alert_is_not_corrected_again():
    (said,) = _told(_gate("heavy", SAID_AT))
    after = _gate("heavy", SAID_AT + DAY_US)
    taken_back = Said(
        said.key, said.kind, said.gate, said.subject, said.tags, about_us=SAID_AT, stands=False
    )
    assert corrections([taken_back], after, SHOP, SAID_AT + SECOND_US) == ()


@given(
    st.sampled_from(["heavy", "service", "recoat_opens", "wrap"]),
    st.integers(-DAY_US, DAY_US),
    st.integers(0, DAY_US),
)
def test_what_still_holds_at_the_moment_of_asking_is_never_corrected(gate, shift_us, after_us):
    at_us = SAID_AT + after_us
    found = _corrected(_gate(gate, SAID_AT), _gate(gate, SAID_AT + shift_us), at_us=at_us)
    assert bool(found) <= (SAID_AT + shift_us > at_us)
    if SAID_AT + shift_us > at_us and (gate == "service" or shift_us >= BY_US):
        assert found


@given(st.integers(0, DAY_US), st.integers(0, DAY_US))
def test_facts_that_did_not_change_correct_nothing(act_us, after_us):
    facts = Facts(
        gates=[GateFact("g1", "1", "heavy", act_us), GateFact("g1", "1", "recoat_closes", act_us)],
        pieces=[PieceFact("b", "1", act_us)],
    )
    assert corrections(_told(facts, DAY_US), facts, SHOP, DAY_US + after_us) == ()
