"""Wanted reminders from facts, and what to change of those pending."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.refusal import Refused
from cureclock.core.reminding.due import SILENT_US, changes, patience_us, wanted
from cureclock.core.reminding.facts import (
    DoubtFact,
    Facts,
    GateFact,
    PieceFact,
    PlaceFact,
    RagFact,
    Shop,
)
from cureclock.core.reminding.kinds import CLOSES, OPENS, Kind
from cureclock.core.reminding.wall import is_there
from cureclock.core.reminding.wants import Said
from cureclock.core.units import DAY_US, HOUR_US, SECOND_US
from tests.core.due_samples import HOURS, MAKER, NOW, SHOP, gate, on, wants


def test_rags_ring_again_until_they_are_answered():
    rags = RagFact("c1", on("15 12:23"))
    (first,) = wants(rags=[rags])
    assert first.at_us == on("15 12:28")
    (again,) = wants(rags=[rags], said=[Said.of(first, first.at_us)])
    assert again.at_us == on("15 12:38")
    assert wants(rags=[RagFact("c1", rags.wiped_us, "under_water")]) == []


def test_an_answer_that_puts_rags_in_the_bin_is_refused():
    with pytest.raises(Refused, match="where the rags are"):
        RagFact("c1", 0, "in the bin")


def test_what_is_found_is_told_once_for_each_piece_and_cause():
    cold = DoubtFact("g11", Kind.SUSPECT, ("17", "18"), NOW, "cold")
    (one,) = wants(doubts=[cold])
    said = [Said.of(one, NOW)]
    assert wants(doubts=[cold], said=said) == []
    wider = DoubtFact("g11", Kind.SUSPECT, ("17", "18", "19"), NOW, "cold")
    assert [one.tags for one in wants(doubts=[wider], said=said)] == [("19",)]
    other = DoubtFact("g11", Kind.SUSPECT, ("17", "18"), NOW, "off_early")
    assert [one.tags for one in wants(doubts=[other], said=said)] == [("17", "18")]


def test_a_joint_about_to_be_spoiled_rings_at_night():
    (one,) = wants(doubts=[DoubtFact("g11", Kind.COLD, ("17",), on("15 23:00"))])
    assert [to.not_before_us for to in one.to] == [on("15 23:00")]
    (later,) = wants(doubts=[DoubtFact("g11", Kind.SUSPECT, ("17",), on("15 23:00"))])
    assert later.listed


def test_a_silent_place_is_told_of_once_for_each_silence_and_only_if_something_waits_there():
    quiet = PlaceFact("shed", on("15 09:00"), on("14 12:00"))
    (one,) = wants(places=[quiet])
    assert (one.kind, one.at_us) == (Kind.UNSURE, on("15 13:00"))
    assert wants(places=[quiet], said=[Said.of(one, NOW)]) == []
    assert wants(places=[PlaceFact("shed", on("15 09:00"), None)]) == []
    (anew,) = wants(places=[PlaceFact("shed", on("15 13:30"), NOW)], said=[Said.of(one, NOW)])
    assert anew.at_us == on("15 17:30")


def test_a_place_never_read_is_told_of_when_something_waits_there():
    (one,) = wants(places=[PlaceFact("shed", None, on("15 12:00"))])
    assert (one.at_us, one.about_us) == (on("15 12:00"), None)


def test_the_last_look_and_the_morning_list_come_before_home_and_before_opening():
    found = wanted(Facts(), SHOP, NOW)
    assert [(one.kind, one.at_us) for one in found] == [
        (Kind.BEFORE_GO, on("15 17:45")),
        (Kind.MORNING, on("16 07:40")),
    ]
    assert all(one.to for one in found)


def test_a_shop_nobody_comes_to_has_no_lists():
    assert wanted(Facts(), Shop("s", (MAKER,), None), NOW) == ()


def test_a_shop_without_people_is_refused():
    with pytest.raises(Refused, match="people of the shop"):
        Shop("s", (), HOURS)


def test_a_gate_nobody_is_told_of_is_refused():
    with pytest.raises(Refused, match="gate keep_warm"):
        GateFact("g1", "1", "keep_warm", 0)


MOMENTS = st.integers(NOW - DAY_US, NOW + 3 * DAY_US)
GATES = st.builds(
    GateFact,
    subject=st.sampled_from(["g1", "g2"]),
    tag=st.sampled_from(["1", "2", "3"]),
    gate=st.sampled_from(sorted(OPENS | CLOSES)),
    act_us=st.none() | MOMENTS,
    check_us=st.none() | MOMENTS,
    warn_us=st.none() | MOMENTS,
    window_us=st.none() | MOMENTS,
    hands_us=st.integers(0, 2 * HOUR_US),
    over=st.booleans(),
    suspect=st.booleans(),
)
FACTS = st.builds(
    Facts,
    gates=st.lists(GATES, max_size=12, unique_by=lambda one: (one.subject, one.tag, one.gate)),
    pieces=st.lists(
        st.builds(
            PieceFact, st.just("b"), st.sampled_from("1234"), st.none() | MOMENTS, st.booleans()
        ),
        max_size=4,
        unique_by=lambda one: one.tag,
    ),
    rags=st.lists(
        st.builds(RagFact, st.sampled_from(["c1", "c2"]), MOMENTS), unique_by=lambda one: one.coat
    ),
    places=st.lists(
        st.builds(PlaceFact, st.just("shed"), st.none() | MOMENTS, st.none() | MOMENTS), max_size=1
    ),
)


@given(FACTS, MOMENTS)
def test_every_key_is_wanted_once(facts, at_us):
    keys = [one.key for one in wanted(facts, SHOP, at_us)]
    assert len(keys) == len(set(keys))


@given(FACTS, MOMENTS, st.randoms())
def test_the_order_of_facts_does_not_matter(facts, at_us, random):
    gates = list(facts.gates)
    random.shuffle(gates)
    other = Facts(gates, facts.pieces[::-1], facts.rags[::-1], facts.doubts, facts.places)
    assert wanted(facts, SHOP, at_us) == wanted(other, SHOP, at_us)


@given(FACTS, MOMENTS)
def test_who_is_rung_is_rung_when_somebody_is_there_unless_it_breaks_the_quiet(facts, at_us):
    for one in wanted(facts, SHOP, at_us):
        if one.kind in {Kind.OPENS, Kind.CHECK, Kind.UNSURE, Kind.SURE, Kind.ASK_LATHE}:
            assert one.listed == (not is_there(HOURS, one.at_us))
            assert one.listed == (not one.to)


@given(FACTS, MOMENTS)
def test_no_piece_is_told_the_same_twice(facts, at_us):
    told = [
        (one.subject, one.gate, one.kind, one.cause, tag)
        for one in wanted(facts, SHOP, at_us)
        for tag in one.tags
    ]
    assert len(told) == len(set(told))


@given(FACTS, MOMENTS)
def test_once_all_is_said_only_what_repeats_is_wanted(facts, at_us):
    found = wanted(facts, SHOP, at_us)
    said = [Said.of(one, one.at_us) for one in found]
    left = wanted(facts, SHOP, at_us, said)
    assert {one.kind for one in left} <= {Kind.RAGS}
    assert not {one.key for one in left} & {one.key for one in said}


def _applied(pending, found):
    rows = {one.key: one for one in pending}
    rows.update({one.key: one for one in (*found.add, *found.move)})
    return [one for key, one in rows.items() if key not in found.withdraw]


@given(FACTS, FACTS, MOMENTS)
def test_after_the_changes_what_is_pending_is_what_is_wanted(before, after, at_us):
    pending = wanted(before, SHOP, at_us)
    wants = wanted(after, SHOP, at_us)
    rows = _applied(pending, changes(wants, pending, at_us))
    assert {one.key for one in rows} == {one.key for one in wants}
    now = {one.key: one for one in wants}
    for row in rows:
        both_due = row.at_us <= at_us and now[row.key].at_us <= at_us
        assert both_due or abs(row.at_us - now[row.key].at_us) < SECOND_US
        assert row.tags == now[row.key].tags


@given(FACTS, MOMENTS)
def test_what_is_pending_already_changes_nothing(facts, at_us):
    wants = wanted(facts, SHOP, at_us)
    assert changes(wants, wants, at_us) == changes([], [], at_us)


@given(FACTS, MOMENTS, st.integers(0, 10 * HOUR_US))
def test_time_going_by_moves_nothing_that_is_still_to_come(facts, at_us, by_us):
    """Unless its moment has passed meanwhile, a reminder keeps its time."""
    before = {one.key: one for one in wanted(facts, SHOP, at_us)}
    for one in wanted(facts, SHOP, at_us + by_us):
        old = before.get(one.key)
        if old is not None and one.at_us > at_us + by_us and one.kind != Kind.CLOSING:
            assert one.at_us == old.at_us


def test_a_move_by_less_than_a_second_is_not_written():
    (one,) = wants(gate("touch", "15 13:00"))
    (near,) = wants(GateFact("g1", "1", "touch", on("15 13:00") + SECOND_US - 1))
    (far,) = wants(GateFact("g1", "1", "touch", on("15 13:00") + SECOND_US))
    assert changes([near], [one], NOW).move == ()
    assert changes([far], [one], NOW).move == (far,)


def test_what_is_due_and_stays_due_is_left_alone():
    (one,) = wants(gate("touch", "15 13:00"))
    (later,) = wants(gate("touch", "15 13:10"))
    assert changes([later], [one], on("15 13:10")).move == ()
    assert changes([later], [one], on("15 13:09")).move == (later,)


def test_other_pieces_are_written_though_the_time_stays():
    (one,) = wants(gate("touch", "15 13:00"))
    (both,) = wants(gate("touch", "15 13:00"), gate("touch", "15 13:00", tag="2"))
    assert changes([both], [one], NOW).move == (both,)


def test_a_sensor_is_waited_for_by_its_middle_step_and_without_any_by_what_was_said_of_it():
    """The middle of 1, 8 and 24 h is 8, and a quarter more 10."""
    assert patience_us(HOUR_US) == patience_us(HOUR_US, []) == SILENT_US
    assert patience_us(HOUR_US, [8 * HOUR_US, 24 * HOUR_US, HOUR_US]) == 10 * HOUR_US
    assert patience_us(12 * HOUR_US, [HOUR_US]) == 15 * HOUR_US
    assert patience_us(0, [24 * HOUR_US]) == SILENT_US
