"""The lathe answer in words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.clock import NEVER
from cureclock.core.lathe import Answer, JointState, PieceState, Reason, Word, may_spin
from cureclock.core.reminding.kinds import CAUSES
from cureclock.core.reminding.lathe_answer import lathe_said, reason_said
from cureclock.core.units import HOUR_US
from tests.core.said_samples import AT_US, READER


def _joint(name="stem", **said):
    return JointState(
        **{
            "name": name,
            "sure_us": AT_US - HOUR_US,
            "offered": True,
            "pressed": True,
            "suspect": "",
            "unread_label": False,
            "assumed": False,
            "reading_us": AT_US - HOUR_US,
            "nights_known": 5,
        }
        | said
    )


def _asked(*joints, declared=True, holds=(), flagged=False, phones=()):
    piece = PieceState(joints, declared, holds, flagged, phones)
    return lathe_said(may_spin(piece, AT_US), "L-07", READER)


def test_a_yes_names_the_slowest_joint_and_says_tap_and_twist():
    big, then, *_ = _asked(_joint(), _joint("waste block", sure_us=AT_US - 1))
    assert big == "Spin L-07: every joint past, waste block the slowest"
    assert then == "Tap it, twist it, stand aside, slowest speed first."


def test_not_yet_names_the_joint_to_blame_and_the_day():
    big, then, *reasons = _asked(_joint(), _joint("waste block", sure_us=AT_US + 28 * HOUR_US))
    assert big == "Not yet – waste block until Fri 14:20"
    assert then == "Not the lathe. Time past is not proof."
    assert reasons == ["waste block is short until Fri 14:20."]


@pytest.mark.parametrize("joint", [_joint(sure_us=NEVER), _joint(pressed=False)])
def test_where_no_time_helps_none_is_named(joint):
    assert _asked(joint)[0] == "Not yet – stem, no time can be told"


@pytest.mark.parametrize("cause", CAUSES)
def test_a_suspect_joint_is_a_no_with_its_cause(cause):
    big, then, reason = _asked(_joint(suspect=cause))
    assert (big, then) == ("No – stem", "Not the lathe. Time past is not proof.")
    assert "Waiting will not clear it" in reason


@pytest.mark.parametrize(
    ("asked", "line", "reason"),
    [
        ({"holds": ["waste block"]}, "No – waste block", "waste block is still on"),
        ({"declared": False}, "Unknown – say which joints it has", "Nobody has said that these"),
        ({"phones": ["H1"]}, "Spin L-07", "H1 still keeps taps"),
        ({"flagged": True}, "Spin L-07", "A low reading is in doubt"),
    ],
)
def test_every_doubt_is_said(asked, line, reason):
    big, _, *reasons = _asked(_joint(), **asked)
    assert big.startswith(line)
    assert any(text.startswith(reason) for text in reasons)


@pytest.mark.parametrize(
    ("joint", "line", "reason"),
    [
        ({"reading_us": None}, "Unsure – stem", "no temperature was ever entered"),
        ({"reading_us": AT_US - 5 * HOUR_US}, "Unsure – stem", "no temperature since 05:20"),
        ({"assumed": True, "nights_known": 2}, "Unsure – stem", "too few measured nights"),
        ({"offered": False}, "No – stem", "does not offer the lathe"),
        ({"unread_label": True}, "Spin L-07", "nobody has read its label"),
    ],
)
def test_every_doubt_about_a_joint_is_said(joint, line, reason):
    big, _, *reasons = _asked(_joint(**joint))
    assert big.startswith(line)
    assert any(reason in text for text in reasons)


JOINTS = st.builds(
    JointState,
    name=st.text(max_size=60),
    sure_us=st.sampled_from([AT_US - 1, AT_US + HOUR_US, NEVER]),
    offered=st.booleans(),
    pressed=st.booleans(),
    suspect=st.sampled_from(["", *CAUSES]),
    unread_label=st.booleans(),
    assumed=st.booleans(),
    reading_us=st.sampled_from([None, AT_US, AT_US - 9 * HOUR_US]),
    nights_known=st.integers(0, 5),
)


@given(
    st.lists(JOINTS, max_size=4),
    st.booleans(),
    st.lists(st.text(max_size=60), max_size=2),
    st.booleans(),
)
def test_the_words_say_spin_exactly_where_the_answer_is_yes(joints, declared, holds, flagged):
    answer = may_spin(PieceState(joints, declared, holds, flagged, ["H1"]), AT_US)
    big, then, *reasons = lathe_said(answer, "L-07", READER)
    assert big.startswith("Spin ") == (answer.word == Word.YES)
    assert then.startswith("Not the lathe") == (answer.word != Word.YES)
    assert len(reasons) == len(answer.reasons)
    assert len(big) < 90


def test_an_answer_without_a_ruling_time_is_said_all_the_same():
    assert lathe_said(Answer(Word.NOT_YET, None, "", ()), "L-07", READER)[0].startswith("Not yet")
    assert reason_said(Reason("short", "stem", NEVER), READER).startswith("stem does not get there")
