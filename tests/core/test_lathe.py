"""May it spin: nine rules, and no number that turns doubt into yes."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.clock import NEVER
from cureclock.core.lathe import JointState, PieceState, Word, may_spin
from cureclock.core.refusal import Refused
from cureclock.core.units import HOUR_US

NOW = 1000 * HOUR_US
RING = JointState(
    name="ring",
    sure_us=NOW - HOUR_US,
    offered=True,
    pressed=True,
    suspect="",
    unread_label=False,
    assumed=False,
    reading_us=NOW - HOUR_US,
    nights_known=5,
)
BLOCK = replace(RING, name="waste block", sure_us=NOW - 1)
WHOLE = PieceState((RING, BLOCK), True, (), False, ())


def asked(*joints: JointState, **piece: object):
    return may_spin(replace(WHOLE, joints=joints or WHOLE.joints, **piece), NOW)


def first(answer) -> str:
    return answer.reasons[0].key


def test_yes_names_the_slowest_and_carries_the_caution():
    answer = asked()
    assert (answer.word, answer.blame, answer.until_us) == (Word.YES, "waste block", None)
    assert answer.cautions == ("lathe",)


def test_one_joint_short_is_not_yet_until_that_joint():
    answer = asked(RING, replace(BLOCK, sure_us=NOW + 7))
    assert (answer.word, answer.until_us, answer.blame) == (Word.NOT_YET, NOW + 7, "waste block")


def test_of_two_short_ones_the_slower_is_named():
    answer = asked(replace(RING, sure_us=NOW + 9), replace(BLOCK, sure_us=NOW + 7))
    assert (answer.until_us, answer.blame) == (NOW + 9, "ring")


def test_out_of_reach_is_not_yet_without_a_time():
    answer = asked(replace(RING, sure_us=NEVER))
    assert (answer.word, answer.until_us) == (Word.NOT_YET, None)


def test_never_pressed_is_not_yet_without_a_time():
    answer = asked(RING, replace(BLOCK, pressed=False))
    assert (answer.word, answer.until_us, first(answer)) == (Word.NOT_YET, None, "not_pressed")


def test_suspect_is_no_however_long_ago():
    answer = asked(replace(RING, suspect="cold", sure_us=0))
    assert (answer.word, first(answer), answer.until_us) == (Word.NO, "suspect_cold", None)


def test_a_glue_that_offers_no_spin_is_no():
    answer = asked(replace(RING, offered=False, pressed=False, sure_us=NEVER))
    assert (answer.word, first(answer)) == (Word.NO, "not_offered")


def test_a_hold_that_is_on_is_no_and_named():
    answer = asked(holds_on=["hot-melt"])
    assert (answer.word, answer.blame) == (Word.NO, "hot-melt")


def test_not_declared_or_without_joints_is_unknown():
    assert asked(all_declared=False).word == Word.UNKNOWN
    assert may_spin(replace(WHOLE, joints=()), NOW).word == Word.UNKNOWN


@pytest.mark.parametrize(
    ("reading_us", "word"),
    [(NOW - 4 * HOUR_US, Word.YES), (NOW - 4 * HOUR_US - 1, Word.UNSURE), (None, Word.UNSURE)],
)
def test_the_place_was_read_in_the_last_four_hours_or_it_is_unsure(reading_us, word):
    answer = asked(replace(RING, reading_us=reading_us))
    assert answer.word == word


@pytest.mark.parametrize(("nights", "word"), [(2, Word.UNSURE), (3, Word.YES)])
def test_assumed_legs_want_three_measured_nights(nights, word):
    assert asked(replace(RING, assumed=True, nights_known=nights)).word == word


def test_notes_never_stand_alone_and_never_hide():
    answer = asked(
        replace(RING, unread_label=True), flagged_low=True, unsent_phones=["Helper's phone"]
    )
    assert answer.word == Word.YES
    assert {reason.key for reason in answer.reasons} >= {
        "unread_label",
        "flagged_low",
        "phone_unsent",
    }


def test_the_gravest_word_rules():
    """No before not yet before unknown before unsure; every reason is told."""
    answer = asked(
        replace(RING, suspect="cold"),
        replace(BLOCK, sure_us=NOW + 5, reading_us=None),
        all_declared=False,
    )
    assert answer.word == Word.NO
    assert [reason.key for reason in answer.reasons] == [
        "suspect_cold", "short", "joints_not_declared", "no_recent_reading",
    ]  # fmt: skip


joints = st.builds(
    JointState,
    name=st.sampled_from(["ring", "block"]),
    sure_us=st.sampled_from([0, NOW - 1, NOW, NOW + 1, NEVER]),
    offered=st.booleans(),
    pressed=st.booleans(),
    suspect=st.sampled_from(["", "cold", "pressed_late"]),
    unread_label=st.booleans(),
    assumed=st.booleans(),
    reading_us=st.sampled_from([None, NOW, NOW - 5 * HOUR_US]),
    nights_known=st.integers(0, 4),
)
pieces = st.builds(
    PieceState,
    joints=st.lists(joints, max_size=3),
    all_declared=st.booleans(),
    holds_on=st.lists(st.just("tape"), max_size=1),
    flagged_low=st.booleans(),
    unsent_phones=st.lists(st.just("phone"), max_size=1),
)


@given(pieces)
def test_yes_only_if_every_rule_is_kept(piece):
    answer = may_spin(piece, NOW)
    kept = (
        piece.all_declared
        and bool(piece.joints)
        and not piece.holds_on
        and all(
            joint.offered and joint.pressed and not joint.suspect and joint.sure_us <= NOW
            and joint.reading_us is not None and NOW - joint.reading_us <= 4 * HOUR_US
            and not (joint.assumed and joint.nights_known < 3)
            for joint in piece.joints
        )
    )  # fmt: skip
    assert (answer.word == Word.YES) == kept
    assert answer.reasons
    assert "lathe" in answer.cautions


def test_a_state_that_cannot_be_is_refused():
    with pytest.raises(Refused):
        replace(RING, sure_us=float("nan"))
    with pytest.raises(Refused):
        may_spin(WHOLE, float("inf"))


def test_the_moment_of_sure_itself_is_in_time():
    assert asked(replace(RING, sure_us=NOW)).word == Word.YES
    assert asked(replace(RING, sure_us=NOW + 1)).word == Word.NOT_YET


@pytest.mark.parametrize("nights", [-1, 100_001, float("nan")])
def test_an_impossible_number_of_nights_is_refused(nights):
    with pytest.raises(Refused, match="nights known"):
        replace(RING, nights_known=nights)
