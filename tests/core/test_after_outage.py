"""After an outage: one summary, never a burst, nothing lost."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.reminding.after_outage import LATE_US, item_of, sort_out
from cureclock.core.reminding.kinds import CLOSES, HURTS, OPENS, Kind
from cureclock.core.reminding.lists import Item
from cureclock.core.reminding.wants import Wanted
from cureclock.core.reminding.who import To
from cureclock.core.units import DAY_US, HOUR_US

NOW = 30 * HOUR_US


def _due(kind, gate="", *, subject="c1", at_us=NOW - 5 * HOUR_US, about_us=None, tags=("1", "2")):
    return Wanted(
        key=f"{subject} {gate} {kind} {at_us}",
        kind=kind,
        gate=gate,
        subject=subject,
        tags=tags,
        at_us=at_us,
        to=(To("maker", at_us),),
        about_us=at_us if about_us is None else about_us,
    )


def _items(*due):
    return [(one.item, one.of.gate) for one in sort_out(due, NOW).summed]


def test_what_is_just_due_goes_out_by_itself():
    fresh = _due(Kind.OPENS, "touch", at_us=NOW - LATE_US + 1)
    late = _due(Kind.OPENS, "touch", at_us=NOW - LATE_US)
    assert sort_out([fresh, late], NOW).alone == (fresh,)


def test_what_the_quiet_held_back_is_not_late():
    held = replace(_due(Kind.UNSURE), to=(To("maker", NOW),))
    assert sort_out([held], NOW).alone == (held,)


def test_rags_ring_by_themselves_however_late():
    rags = _due(Kind.RAGS)
    assert sort_out([rags, _due(Kind.UNSURE)], NOW).alone == (rags,)


def test_a_limit_of_minutes_still_ahead_rings_by_itself_one_past_is_summed_up():
    ahead = _due(Kind.CLOSING, "wipe_off", about_us=NOW + 1)
    past = _due(Kind.CLOSING, "wipe_off", subject="c2", about_us=NOW)
    found = sort_out([ahead, past], NOW)
    assert found.alone == (ahead,)
    assert [(one.item, one.of) for one in found.summed] == [(Item.CLOSED, past)]


@pytest.mark.parametrize("gate", sorted(HURTS))
def test_a_correction_that_can_hurt_rings_by_itself(gate):
    wrong = _due(Kind.CORRECTION, gate)
    assert sort_out([wrong], NOW).alone == (wrong,)
    assert _items(_due(Kind.CORRECTION, "heavy")) == [(Item.CORRECTION, "heavy")]


def test_a_window_corrected_to_shut_sooner_is_said_as_closing_or_shut():
    ahead = _due(Kind.CORRECTION, "tape_off", about_us=NOW + HOUR_US)
    past = _due(Kind.CORRECTION, "tape_off", subject="c2", about_us=NOW)
    assert _items(ahead, past) == [(Item.CLOSING, "tape_off"), (Item.CLOSED, "tape_off")]


def test_the_latest_gate_of_a_coat_says_the_earlier_ones_too():
    gates = ["drip_check", "dust_free", "touch", "handle"]
    due = [_due(Kind.OPENS, gate, at_us=n * HOUR_US) for n, gate in enumerate(gates)]
    assert _items(*due) == [(Item.OPENS, "handle")]


def test_of_a_joint_the_clamps_and_the_latest_gate_are_said():
    gates = ["scrape_opens", "clamps_off", "light", "heavy"]
    due = [_due(Kind.OPENS, gate, at_us=n * HOUR_US) for n, gate in enumerate(gates)]
    assert _items(*due) == [(Item.OPENS, "clamps_off"), (Item.OPENS, "heavy")]


def test_a_window_that_shut_is_said_once_as_scuff_and_no_longer_as_recoat():
    due = [
        _due(Kind.OPENS, "recoat_opens", at_us=1 * HOUR_US),
        _due(Kind.CLOSING, "recoat_closes", at_us=2 * HOUR_US, about_us=3 * HOUR_US),
        _due(Kind.CLOSED, "recoat_closes", at_us=4 * HOUR_US, about_us=3 * HOUR_US),
    ]
    assert _items(*due) == [(Item.SCUFF, "recoat_closes")]
    assert _items(*due[:2]) == [(Item.SCUFF, "recoat_closes")]


def test_a_window_still_open_is_said_with_its_end():
    late = _due(Kind.CLOSING, "recoat_closes", about_us=NOW + HOUR_US)
    assert _items(late) == [(Item.CLOSING, "recoat_closes")]


def test_a_window_that_closes_in_parts_says_its_opening_too():
    opened = _due(Kind.OPENS, "recoat_opens", tags=("2", "3"))
    parts = [
        _due(Kind.CLOSING, "recoat_closes", about_us=NOW + HOUR_US, tags=tags)
        for tags in (("1", "2"), ("3", "4"))
    ]
    assert _items(opened, *parts) == [(Item.CLOSING, "recoat_closes")] * 2
    assert (Item.OPENS, "recoat_opens") in _items(opened, parts[0])


def test_other_pieces_of_the_group_keep_their_line():
    due = [
        _due(Kind.OPENS, "touch", at_us=1 * HOUR_US, tags=("1", "2")),
        _due(Kind.OPENS, "handle", at_us=2 * HOUR_US, tags=("1",)),
    ]
    assert _items(*due) == [(Item.OPENS, "touch"), (Item.OPENS, "handle")]


def test_the_lathe_is_only_ever_called_to_be_asked():
    due = [_due(Kind.SURE, "spin", subject="b1"), _due(Kind.ASK_LATHE, "spin", subject="b2")]
    assert _items(*due) == [(Item.ASK_LATHE, "spin")] * 2


def test_a_try_and_an_old_list_are_no_longer_worth_a_word():
    due = [_due(Kind.CHECK, "recoat_opens"), _due(Kind.MORNING), _due(Kind.BEFORE_GO)]
    assert sort_out(due, NOW).passed_over == tuple(due)


MOMENTS = st.integers(0, NOW + DAY_US)
DUE = st.lists(
    st.builds(
        _due,
        st.sampled_from(Kind),
        st.sampled_from(sorted(OPENS | CLOSES)),
        subject=st.sampled_from(["c1", "c2"]),
        at_us=st.integers(0, NOW),
        about_us=MOMENTS,
        tags=st.sampled_from([("1",), ("2",), ("1", "2")]),
    ),
    max_size=25,
    unique_by=lambda one: one.key,
)


@given(DUE)
def test_every_one_is_sent_summed_up_or_passed_over_exactly_once(due):
    found = sort_out(due, NOW)
    parts = [*found.alone, *(one.of for one in found.summed), *found.passed_over]
    assert sorted(one.key for one in parts) == sorted(one.key for one in due)


@given(DUE)
def test_who_is_passed_over_has_a_line_for_its_group_or_was_no_longer_worth_one(due):
    found = sort_out(due, NOW)
    for one in found.passed_over:
        if item_of(one, NOW) is not None:
            lines = [line.of for line in found.summed if line.of.subject == one.subject]
            assert any(set(one.tags) <= set(line.tags) for line in lines)


@given(DUE)
def test_never_a_burst(due):
    """By itself goes out only what is fresh, rags, or what breaks the quiet."""
    for one in sort_out(due, NOW).alone:
        fresh = NOW - one.at_us < LATE_US
        assert fresh or one.kind in {
            Kind.RAGS,
            Kind.COLD,
            Kind.CORRECTION,
            Kind.CLOSING,
            Kind.CLOSED,
        }


@given(DUE)
def test_nothing_shut_is_offered(due):
    for one in sort_out(due, NOW).summed:
        if one.item in {Item.RECOAT_OR_SCUFF, Item.CLOSING}:
            assert one.of.about_us > NOW
