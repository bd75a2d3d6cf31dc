"""What gates and pieces want said."""

import pytest

from cureclock.core.reminding.facts import (
    GateFact,
    PieceFact,
)
from cureclock.core.reminding.kinds import Kind
from cureclock.core.reminding.wants import Said
from cureclock.core.units import HOUR_US, MINUTE_US
from tests.core.due_samples import NOW, gate, on, wants


def test_a_gate_that_opens_is_told_when_it_opens_to_who_is_there():
    (one,) = wants(gate("clamps_off", "15 13:25"))
    assert (one.kind, one.gate, one.at_us) == (Kind.OPENS, "clamps_off", on("15 13:25"))
    assert [to.person for to in one.to] == ["maker", "helper"]
    assert not one.listed


def test_a_gate_that_opens_at_night_is_listed_and_rings_nobody():
    (one,) = wants(gate("recoat_opens", "15 20:57"))
    assert one.listed
    assert one.to == ()


def test_a_group_opens_with_its_last_piece():
    (one,) = wants(gate("touch", "15 13:00"), gate("touch", "15 13:20", tag="2"))
    assert (one.at_us, one.tags) == (on("15 13:20"), ("1", "2"))


def test_pieces_more_than_half_an_hour_apart_are_told_apart():
    first, second = wants(gate("touch", "15 13:00"), gate("touch", "15 13:31", tag="2"))
    assert (first.tags, first.part) == (("1",), 0)
    assert (second.tags, second.part) == (("2",), 1)
    assert first.key != second.key


def test_a_part_already_told_does_not_swallow_the_next():
    gates = [gate("touch", "15 13:00"), gate("touch", "15 14:00", tag="2")]
    first, second = wants(*gates)
    said = [Said.of(first, first.at_us)]
    assert wants(*gates, said=said) == [second]
    over = [gate("touch", "15 13:00", over=True), gates[1]]
    assert wants(*over, said=said) == [second]


def test_what_was_told_and_corrected_is_told_again_as_another():
    row = gate("touch", "15 13:00")
    (one,) = wants(row)
    standing = Said.of(one, one.at_us)
    assert wants(row, said=[standing]) == []
    taken_back = Said(standing.key, one.kind, one.gate, one.subject, one.tags, stands=False)
    (again,) = wants(row, said=[taken_back])
    assert again.part == 1
    assert again.key != one.key


@pytest.mark.parametrize("state", [{"over": True}, {"suspect": True}])
def test_an_act_that_is_over_and_a_suspect_joint_want_nothing(state):
    assert wants(gate("heavy", "15 13:00", **state)) == []


def test_clamps_come_off_a_suspect_joint_all_the_same():
    (one,) = wants(gate("clamps_off", "15 13:00", suspect=True))
    assert one.gate == "clamps_off"


def test_a_gate_out_of_reach_wants_nothing():
    assert wants(gate("heavy", None)) == []


def test_a_try_is_told_before_the_gate_opens_and_only_where_it_teaches():
    tried = gate("recoat_opens", "15 15:00", check_us=on("15 14:00"))
    kinds = [(one.kind, one.at_us) for one in wants(tried)]
    assert kinds == [(Kind.CHECK, on("15 14:00")), (Kind.OPENS, on("15 15:00"))]
    assert Kind.CHECK not in {o.kind for o in wants(gate("touch", "15 15:00", check_us=NOW))}
    late = gate("recoat_opens", "15 15:00", check_us=on("15 15:00"))
    assert [one.kind for one in wants(late)] == [Kind.OPENS]


def test_a_window_that_shuts_in_the_night_is_told_before_home_and_again_in_the_morning():
    row = gate("recoat_closes", "16 03:00", hands_us=45 * MINUTE_US)
    closing, closed = wants(row)
    assert (closing.kind, closing.at_us) == (Kind.CLOSING, on("15 16:45"))
    assert closing.before_home
    assert closing.start_by_us == on("15 17:15")
    assert closing.about_us == on("16 03:00")
    assert (closed.kind, closed.at_us) == (Kind.CLOSED, on("16 08:00"))


def test_a_group_closes_with_its_first_piece():
    rows = [gate("recoat_closes", f"15 16:{m}0", tag=f"{m}", hands_us=HOUR_US) for m in (0, 2)]
    closing = wants(*rows)[0]
    assert closing.about_us == on("15 16:00")
    assert closing.start_by_us == on("15 15:20")
    assert closing.tags == ("0", "2")


def test_part_of_a_group_needs_its_share_of_the_hands():
    rows = [
        gate("recoat_closes", "15 15:00", tag="1", hands_us=2 * HOUR_US),
        gate("recoat_closes", "15 17:00", tag="2", hands_us=2 * HOUR_US),
    ]
    starts = [one.start_by_us for one in wants(*rows) if one.kind == Kind.CLOSING]
    assert starts == [on("15 14:00"), on("15 16:00")]


def test_pieces_done_in_turn_have_to_be_begun_so_that_each_is_in_time():
    """Ten minutes each: the first by 15:00 and the third by 15:25 is a start by 14:50."""
    shuts = {"1": "15 15:00", "2": "15 15:20", "10": "15 15:25"}
    rows = [
        gate("recoat_closes", shut, tag=tag, hands_us=30 * MINUTE_US) for tag, shut in shuts.items()
    ]
    assert wants(*rows)[0].start_by_us == on("15 14:50")
    rows[2] = gate("recoat_closes", "15 15:15", tag="10", hands_us=30 * MINUTE_US)
    assert wants(*rows)[0].start_by_us == on("15 14:45")


def test_of_a_group_recoated_in_part_it_is_told_how_many_are_left():
    rows = [gate("recoat_closes", "15 15:00", tag=str(n), over=n < 3) for n in range(1, 6)]
    left, closed = wants(*rows)
    assert (left.kind, left.tags) == (Kind.COAT_LEFT, ("3", "4", "5"))
    assert (closed.kind, closed.tags) == (Kind.CLOSED, ("3", "4", "5"))


def test_wipe_off_rings_at_night():
    row = GateFact("g1", "1", "wipe_off", on("15 22:20"))
    closing, closed = wants(row, at=on("15 22:00"))
    assert closing.at_us == on("15 22:15")
    assert [to.not_before_us for to in closing.to] == [closing.at_us]
    assert closed.at_us == on("15 22:20")


def test_one_piece_past_every_joint_is_told_alone_several_are_called_to_ask():
    pieces = [PieceFact("b", tag, on("15 14:07")) for tag in ("L-02", "L-01")]
    (both,) = wants(pieces=pieces)
    assert (both.kind, both.tags) == (Kind.ASK_LATHE, ("L-01", "L-02"))
    (one,) = wants(pieces=pieces[:1])
    assert (one.kind, one.tags) == (Kind.SURE, ("L-02",))


def test_a_piece_told_once_for_the_lathe_is_not_told_again_in_another_way():
    pieces = [PieceFact("b", tag, on("15 14:07")) for tag in ("L-01", "L-02")]
    (both,) = wants(pieces=pieces)
    said = [Said.of(both, both.at_us)]
    assert wants(pieces=pieces, said=said) == []
    third = PieceFact("b", "L-03", on("15 14:07"))
    (one,) = wants(pieces=[*pieces, third], said=said)
    assert (one.kind, one.tags) == (Kind.SURE, ("L-03",))


@pytest.mark.parametrize(
    "piece",
    [
        PieceFact("b", "1", on("15 14:07"), barred=True),
        PieceFact("b", "1", on("15 14:07"), over=True),
        PieceFact("b", "1", None),
    ],
)
def test_a_barred_piece_is_never_told_for_the_lathe(piece):
    assert wants(pieces=[piece]) == []


def test_spin_is_never_told_of_a_glue_up():
    assert wants(gate("spin", "15 14:00")) == []
