"""A message: its first line fits, names are cut before verbs and times, and what is forbidden."""

from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.refusal import Refused
from cureclock.core.reminding.alerts import Forbidden, Subject
from cureclock.core.reminding.kinds import BARS, HURTS
from cureclock.core.reminding.message import (
    FIRST_LINE,
    Message,
    bar,
    clean,
    first_line,
    named,
    second_line,
    still_forbidden,
)
from cureclock.core.units import HOUR_US
from cureclock.core.wording.times import Reader
from tests.core.said_samples import AT_US, READER, STEMS

MIDNIGHT = Reader(0, ZoneInfo("UTC"))


@pytest.mark.parametrize("title", ["", "a\nb", "x" * 90, "a\u202eb"])
def test_a_first_line_that_is_none_is_refused(title):
    with pytest.raises(Refused, match="first line"):
        Message(title, "body", "tag", urgent=False)


def test_a_subject_is_named_with_its_place_where_there_is_room():
    assert named(STEMS, READER) == "stems L-01–24, shed"
    assert named(STEMS, READER, 18) == "stems L-01–24"


def test_many_scattered_pieces_are_counted():
    odd = Subject("c", "stems", [f"L-{n:02d}" for n in range(1, 25, 2)])
    assert named(odd, READER, 40) == "stems 12 pieces of L-01 to L-23"
    assert named(odd, READER, 28) == "12 pieces of L-01 to L-23"


def test_what_does_not_fit_is_cut_with_a_sign():
    assert named(Subject("c", "drums of the second batch"), READER, 10) == "drums of…"


def test_a_subject_without_a_name_is_refused():
    with pytest.raises(Refused, match="subject"):
        Subject("c", "  ", ["", " "])


NAMES = st.text(min_size=1, max_size=120).filter(str.strip)


@given(NAMES, st.lists(NAMES, max_size=30), st.text(max_size=120))
def test_whatever_somebody_typed_the_verb_and_the_time_stay(called, tags, place):
    subject = Subject("c", called, tags, place)
    line = first_line(READER, "gate.recoat_closes.closing", subject, start="Fri 17:15")
    assert line.startswith("Recoat – ")
    assert line.endswith(", start by Fri 17:15")
    assert Message(line, "b", "t", urgent=False).title == line


@given(st.text(), st.integers(1, 90))
def test_a_cleaned_name_is_one_printable_line_of_the_length_allowed(text, most):
    cleaned = clean(text, most)
    assert 0 < len(cleaned) <= most
    assert cleaned.isprintable()
    assert clean(cleaned, most) == cleaned


@given(NAMES, st.lists(NAMES, max_size=8), st.integers(1, FIRST_LINE))
def test_a_name_fits_where_it_is_asked_to(called, tags, most):
    assert 0 < len(named(Subject("c", called, tags), READER, most)) <= most


GATES = st.lists(
    st.builds(
        Forbidden,
        st.sampled_from(sorted(BARS)),
        st.none() | st.integers(AT_US - HOUR_US, AT_US + 99 * HOUR_US),
    ),
    max_size=8,
)


@given(GATES)
def test_a_gate_that_can_hurt_and_is_shut_is_always_named(ahead):
    named_gates = {one.gate for one in still_forbidden(ahead, AT_US)}
    assert bool(named_gates & HURTS) == bool({one.gate for one in ahead} & HURTS)


@given(GATES)
def test_of_the_ordinary_gates_the_nearest_shut_one_is_named(ahead):
    plain = [one for one in still_forbidden(ahead, AT_US) if one.gate not in HURTS]
    shut = [
        2**63 if one.until_us is None else one.until_us
        for one in ahead
        if one.gate not in HURTS and (one.until_us is None or one.until_us > AT_US)
    ]
    found = [2**63 if one.until_us is None else one.until_us for one in plain]
    assert found == sorted(shut)[:1]


@given(GATES, st.sampled_from(sorted(BARS)))
def test_a_second_line_is_never_empty_and_is_a_sentence(ahead, gate):
    line = second_line(ahead, gate, READER)
    assert line[0].isupper()
    assert line.endswith(".")


def test_a_gate_that_can_hurt_names_its_day_even_today():
    line = second_line([Forbidden("spin", AT_US + HOUR_US)], "light", READER)
    assert line == "Not the lathe before Thu 11:20."


def test_what_nobody_can_say_is_not_yet():
    assert second_line([Forbidden("spin")], "light", READER) == "Not the lathe yet."


def test_a_lathe_estimate_that_has_passed_is_still_no_yes():
    line = second_line([Forbidden("spin", AT_US - HOUR_US)], "heavy", READER)
    assert line == "Not the lathe yet."


@pytest.mark.parametrize(
    ("gate", "line"),
    [
        ("clamps_off", "Ask before the lathe or a load."),
        ("touch", "Not in use before full cure."),
        ("holds", "A hold, not a joint: never the only grip."),
        ("full_cure", "Use as its label says."),
    ],
)
def test_where_nothing_is_known_to_be_ahead_the_general_rule_is_said(gate, line):
    assert second_line([], gate, READER) == line


@pytest.mark.parametrize("gate", ["scrape_opens", "open_time", "nonsense"])
def test_a_gate_that_forbids_nothing_is_refused(gate):
    with pytest.raises(Refused, match="gate that forbids"):
        Forbidden(gate)


def test_what_opens_this_very_moment_is_not_a_time_to_wait_for():
    assert bar(Forbidden("light", AT_US), READER) == "no plane, no disc yet"
    assert bar(Forbidden("light", AT_US + 1), READER) == "no plane, no disc before 10:21"
