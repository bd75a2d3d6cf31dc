"""Wanted reminders from facts, and what to change of those pending."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.refusal import Refused
from cureclock.core.reminding.due import changes, wanted
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
from cureclock.core.reminding.wall import Weekly, is_there
from cureclock.core.reminding.wants import Said
from cureclock.core.reminding.who import Hand
from cureclock.core.units import DAY_US, HOUR_US, MINUTE_US, SECOND_US, instant_us

ZONE = ZoneInfo("UTC")


def _at(text: str) -> int:
    return instant_us(datetime.fromisoformat(f"2024-02-{text}").replace(tzinfo=UTC))


NOW = _at("15 11:00")  # a Thursday
HOURS = Weekly.of({str(day): ["08:00", "18:00"] for day in range(6)}).spells(ZONE, NOW)
MAKER = Hand("maker", hours=HOURS, minds_shop=True)
HELPER = Hand("helper", hours=HOURS, second=True)
SHOP = Shop("shed", (MAKER, HELPER), HOURS)


def _gate(gate, act, tag="1", **said):
    act_us = None if act is None else _at(act)
    return GateFact("g1", tag, gate, act_us, **said)


def _wants(*gates, said=(), at=NOW, **facts):
    found = wanted(Facts(gates=gates, **facts), SHOP, at, said)
    return [one for one in found if one.kind not in {Kind.MORNING, Kind.BEFORE_GO}]


def test_a_gate_that_opens_is_told_when_it_opens_to_who_is_there():
    (one,) = _wants(_gate("clamps_off", "15 13:25"))
    assert (one.kind, one.gate, one.at_us) == (Kind.OPENS, "clamps_off", _at("15 13:25"))
    assert [to.person for to in one.to] == ["maker", "helper"]
    assert not one.listed


def test_a_gate_that_opens_at_night_is_listed_and_rings_nobody():
    (one,) = _wants(_gate("recoat_opens", "15 20:57"))
    assert one.listed
    assert one.to == ()


def test_a_group_opens_with_its_last_piece():
    (one,) = _wants(_gate("touch", "15 13:00"), _gate("touch", "15 13:20", tag="2"))
    assert (one.at_us, one.tags) == (_at("15 13:20"), ("1", "2"))


def test_pieces_more_than_half_an_hour_apart_are_told_apart():
    first, second = _wants(_gate("touch", "15 13:00"), _gate("touch", "15 13:31", tag="2"))
    assert (first.tags, first.part) == (("1",), 0)
    assert (second.tags, second.part) == (("2",), 1)
    assert first.key != second.key


def test_a_part_already_told_does_not_swallow_the_next():
    gates = [_gate("touch", "15 13:00"), _gate("touch", "15 14:00", tag="2")]
    first, second = _wants(*gates)
    said = [Said.of(first, first.at_us)]
    assert _wants(*gates, said=said) == [second]
    over = [_gate("touch", "15 13:00", over=True), gates[1]]
    assert _wants(*over, said=said) == [second]


def test_what_was_told_and_corrected_is_told_again_as_another():
    gate = _gate("touch", "15 13:00")
    (one,) = _wants(gate)
    standing = Said.of(one, one.at_us)
    assert _wants(gate, said=[standing]) == []
    taken_back = Said(standing.key, one.kind, one.gate, one.subject, one.tags, stands=False)
    (again,) = _wants(gate, said=[taken_back])
    assert again.part == 1
    assert again.key != one.key


@pytest.mark.parametrize("state", [{"over": True}, {"suspect": True}])
def test_an_act_that_is_over_and_a_suspect_joint_want_nothing(state):
    assert _wants(_gate("heavy", "15 13:00", **state)) == []


def test_clamps_come_off_a_suspect_joint_all_the_same():
    (one,) = _wants(_gate("clamps_off", "15 13:00", suspect=True))
    assert one.gate == "clamps_off"


def test_a_gate_out_of_reach_wants_nothing():
    assert _wants(_gate("heavy", None)) == []


def test_a_try_is_told_before_the_gate_opens_and_only_where_it_teaches():
    tried = _gate("recoat_opens", "15 15:00", check_us=_at("15 14:00"))
    kinds = [(one.kind, one.at_us) for one in _wants(tried)]
    assert kinds == [(Kind.CHECK, _at("15 14:00")), (Kind.OPENS, _at("15 15:00"))]
    assert Kind.CHECK not in {o.kind for o in _wants(_gate("touch", "15 15:00", check_us=NOW))}
    late = _gate("recoat_opens", "15 15:00", check_us=_at("15 15:00"))
    assert [one.kind for one in _wants(late)] == [Kind.OPENS]


def test_a_window_that_shuts_in_the_night_is_told_before_home_and_again_in_the_morning():
    gate = _gate("recoat_closes", "16 03:00", hands_us=45 * MINUTE_US)
    closing, closed = _wants(gate)
    assert (closing.kind, closing.at_us) == (Kind.CLOSING, _at("15 16:45"))
    assert closing.before_home
    assert closing.start_by_us == _at("15 17:15")
    assert closing.about_us == _at("16 03:00")
    assert (closed.kind, closed.at_us) == (Kind.CLOSED, _at("16 08:00"))


def test_a_group_closes_with_its_first_piece():
    rows = [_gate("recoat_closes", f"15 16:{m}0", tag=f"{m}", hands_us=HOUR_US) for m in (0, 2)]
    closing = _wants(*rows)[0]
    assert closing.about_us == _at("15 16:00")
    assert closing.start_by_us == _at("15 15:20")
    assert closing.tags == ("0", "2")


def test_part_of_a_group_needs_its_share_of_the_hands():
    rows = [
        _gate("recoat_closes", "15 15:00", tag="1", hands_us=2 * HOUR_US),
        _gate("recoat_closes", "15 17:00", tag="2", hands_us=2 * HOUR_US),
    ]
    starts = [one.start_by_us for one in _wants(*rows) if one.kind == Kind.CLOSING]
    assert starts == [_at("15 14:00"), _at("15 16:00")]


def test_pieces_done_in_turn_have_to_be_begun_so_that_each_is_in_time():
    """Ten minutes each: the first by 15:00 and the third by 15:25 is a start by 14:50."""
    shuts = {"1": "15 15:00", "2": "15 15:20", "10": "15 15:25"}
    rows = [
        _gate("recoat_closes", shut, tag=tag, hands_us=30 * MINUTE_US)
        for tag, shut in shuts.items()
    ]
    assert _wants(*rows)[0].start_by_us == _at("15 14:50")
    rows[2] = _gate("recoat_closes", "15 15:15", tag="10", hands_us=30 * MINUTE_US)
    assert _wants(*rows)[0].start_by_us == _at("15 14:45")


def test_of_a_group_recoated_in_part_it_is_told_how_many_are_left():
    rows = [_gate("recoat_closes", "15 15:00", tag=str(n), over=n < 3) for n in range(1, 6)]
    left, closed = _wants(*rows)
    assert (left.kind, left.tags) == (Kind.COAT_LEFT, ("3", "4", "5"))
    assert (closed.kind, closed.tags) == (Kind.CLOSED, ("3", "4", "5"))


def test_wipe_off_rings_at_night():
    gate = GateFact("g1", "1", "wipe_off", _at("15 22:20"))
    closing, closed = _wants(gate, at=_at("15 22:00"))
    assert closing.at_us == _at("15 22:15")
    assert [to.not_before_us for to in closing.to] == [closing.at_us]
    assert closed.at_us == _at("15 22:20")


def test_one_piece_past_every_joint_is_told_alone_several_are_called_to_ask():
    pieces = [PieceFact("b", tag, _at("15 14:07")) for tag in ("L-02", "L-01")]
    (both,) = _wants(pieces=pieces)
    assert (both.kind, both.tags) == (Kind.ASK_LATHE, ("L-01", "L-02"))
    (one,) = _wants(pieces=pieces[:1])
    assert (one.kind, one.tags) == (Kind.SURE, ("L-02",))


def test_a_piece_told_once_for_the_lathe_is_not_told_again_in_another_way():
    pieces = [PieceFact("b", tag, _at("15 14:07")) for tag in ("L-01", "L-02")]
    (both,) = _wants(pieces=pieces)
    said = [Said.of(both, both.at_us)]
    assert _wants(pieces=pieces, said=said) == []
    third = PieceFact("b", "L-03", _at("15 14:07"))
    (one,) = _wants(pieces=[*pieces, third], said=said)
    assert (one.kind, one.tags) == (Kind.SURE, ("L-03",))


@pytest.mark.parametrize(
    "piece",
    [
        PieceFact("b", "1", _at("15 14:07"), barred=True),
        PieceFact("b", "1", _at("15 14:07"), over=True),
        PieceFact("b", "1", None),
    ],
)
def test_a_barred_piece_is_never_told_for_the_lathe(piece):
    assert _wants(pieces=[piece]) == []


def test_spin_is_never_told_of_a_glue_up():
    assert _wants(_gate("spin", "15 14:00")) == []


def test_rags_ring_again_until_they_are_answered():
    rags = RagFact("c1", _at("15 12:23"))
    (first,) = _wants(rags=[rags])
    assert first.at_us == _at("15 12:28")
    (again,) = _wants(rags=[rags], said=[Said.of(first, first.at_us)])
    assert again.at_us == _at("15 12:38")
    assert _wants(rags=[RagFact("c1", rags.wiped_us, "under_water")]) == []


def test_an_answer_that_puts_rags_in_the_bin_is_refused():
    with pytest.raises(Refused, match="where the rags are"):
        RagFact("c1", 0, "in the bin")


def test_what_is_found_is_told_once_for_each_piece_and_cause():
    cold = DoubtFact("g11", Kind.SUSPECT, ("17", "18"), NOW, "cold")
    (one,) = _wants(doubts=[cold])
    said = [Said.of(one, NOW)]
    assert _wants(doubts=[cold], said=said) == []
    wider = DoubtFact("g11", Kind.SUSPECT, ("17", "18", "19"), NOW, "cold")
    assert [one.tags for one in _wants(doubts=[wider], said=said)] == [("19",)]
    other = DoubtFact("g11", Kind.SUSPECT, ("17", "18"), NOW, "off_early")
    assert [one.tags for one in _wants(doubts=[other], said=said)] == [("17", "18")]


def test_a_joint_about_to_be_spoiled_rings_at_night():
    (one,) = _wants(doubts=[DoubtFact("g11", Kind.COLD, ("17",), _at("15 23:00"))])
    assert [to.not_before_us for to in one.to] == [_at("15 23:00")]
    (later,) = _wants(doubts=[DoubtFact("g11", Kind.SUSPECT, ("17",), _at("15 23:00"))])
    assert later.listed


def test_a_silent_place_is_told_of_once_for_each_silence_and_only_if_something_waits_there():
    quiet = PlaceFact("shed", _at("15 09:00"), _at("14 12:00"))
    (one,) = _wants(places=[quiet])
    assert (one.kind, one.at_us) == (Kind.UNSURE, _at("15 13:00"))
    assert _wants(places=[quiet], said=[Said.of(one, NOW)]) == []
    assert _wants(places=[PlaceFact("shed", _at("15 09:00"), None)]) == []
    (anew,) = _wants(places=[PlaceFact("shed", _at("15 13:30"), NOW)], said=[Said.of(one, NOW)])
    assert anew.at_us == _at("15 17:30")


def test_a_place_never_read_is_told_of_when_something_waits_there():
    (one,) = _wants(places=[PlaceFact("shed", None, _at("15 12:00"))])
    assert (one.at_us, one.about_us) == (_at("15 12:00"), None)


def test_the_last_look_and_the_morning_list_come_before_home_and_before_opening():
    found = wanted(Facts(), SHOP, NOW)
    assert [(one.kind, one.at_us) for one in found] == [
        (Kind.BEFORE_GO, _at("15 17:45")),
        (Kind.MORNING, _at("16 07:40")),
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
    (one,) = _wants(_gate("touch", "15 13:00"))
    (near,) = _wants(GateFact("g1", "1", "touch", _at("15 13:00") + SECOND_US - 1))
    (far,) = _wants(GateFact("g1", "1", "touch", _at("15 13:00") + SECOND_US))
    assert changes([near], [one], NOW).move == ()
    assert changes([far], [one], NOW).move == (far,)


def test_what_is_due_and_stays_due_is_left_alone():
    (one,) = _wants(_gate("touch", "15 13:00"))
    (later,) = _wants(_gate("touch", "15 13:10"))
    assert changes([later], [one], _at("15 13:10")).move == ()
    assert changes([later], [one], _at("15 13:09")).move == (later,)


def test_other_pieces_are_written_though_the_time_stays():
    (one,) = _wants(_gate("touch", "15 13:00"))
    (both,) = _wants(_gate("touch", "15 13:00"), _gate("touch", "15 13:00", tag="2"))
    assert changes([both], [one], NOW).move == (both,)
