"""Who is told, and who once somebody has it."""

from datetime import time
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cureclock.core.coat.shop_hours import ShopHours
from cureclock.core.refusal import Refused
from cureclock.core.reminding.who import (
    BACK_US,
    LATER_US,
    SECOND_US,
    Answer,
    Hand,
    Says,
    addressed,
    concerned,
    second_of,
    told_now,
)
from cureclock.core.units import HOUR_US, MINUTE_US

DAY = ShopHours([8 * HOUR_US], [18 * HOUR_US])
MAKER = Hand("maker", hours=DAY, second=True)
HELPER_1 = Hand("helper 1", hours=DAY)
HELPER_2 = Hand("helper 2", hours=DAY, minds_shop=True)
ALL = (MAKER, HELPER_1, HELPER_2)
NAMES = tuple(hand.key for hand in ALL)
NOON = 12 * HOUR_US
NIGHT = 22 * HOUR_US


def _now(*answers, minutes=0.0, raised_us=NOON, people=ALL, **said):
    at_us = raised_us + round(minutes * MINUTE_US)
    return told_now(people, answers, raised_us=raised_us, at_us=at_us, **said)


def _says(person, says, minutes=0.0):
    return Answer(person, says, NOON + round(minutes * MINUTE_US))


def test_whoever_is_there_is_told():
    assert _now().people == NAMES


def test_when_nobody_is_there_who_minds_the_shop_is_told():
    assert concerned(ALL, NIGHT) == ("helper 2",)


def test_when_nobody_minds_the_shop_either_everybody_is_told():
    assert concerned((MAKER, HELPER_1), NIGHT) == ("maker", "helper 1")


def test_once_somebody_has_it_the_others_are_quiet():
    told = _now(_says("helper 1", Says.MINE, 1), minutes=2)
    assert (told.people, told.taken_by) == (("helper 1",), "helper 1")
    assert told.look_us == NOON + MINUTE_US + BACK_US


def test_fifteen_minutes_without_the_act_and_it_is_back_to_all():
    mine = _says("helper 1", Says.MINE)
    assert _now(mine, minutes=14.9).people == ("helper 1",)
    assert _now(mine, minutes=15).people == NAMES


def test_who_takes_it_again_has_it_again():
    answers = [_says("helper 1", Says.MINE), _says("helper 1", Says.MINE, 14)]
    assert _now(*answers, minutes=20).people == ("helper 1",)


def test_who_took_it_last_has_it():
    answers = [_says("maker", Says.MINE, 2), _says("helper 1", Says.MINE, 3)]
    assert _now(*answers, minutes=4).taken_by == "helper 1"


def test_not_me_passes_one_person_over():
    assert _now(_says("helper 1", Says.NOT_ME), minutes=1).people == ("maker", "helper 2")


def test_giving_it_back_calls_the_others_again():
    answers = [_says("helper 1", Says.MINE), _says("helper 1", Says.NOT_ME, 2)]
    assert _now(*answers, minutes=3).people == ("maker", "helper 2")


def test_later_is_quiet_for_fifteen_minutes():
    later = _says("maker", Says.LATER)
    told = _now(later, minutes=1)
    assert told.people == ("helper 1", "helper 2")
    assert told.look_us == NOON + LATER_US
    assert _now(later, minutes=15).people == NAMES


def test_when_who_minds_the_shop_says_not_me_the_second_person_is_rung():
    told = _now(Answer("helper 2", Says.NOT_ME, NIGHT), raised_us=NIGHT, minutes=1)
    assert told.people == ("maker",)


def test_when_everybody_says_not_me_everybody_hears_it_again():
    assert _now(*(_says(name, Says.NOT_ME) for name in NAMES), minutes=1).people == NAMES


def test_an_urgent_one_nobody_has_rings_the_second_person():
    assert _now(raised_us=NIGHT, minutes=9, urgent=True).people == ("helper 2",)
    assert _now(raised_us=NIGHT, minutes=10, urgent=True).people == ("maker", "helper 2")
    assert _now(raised_us=NIGHT, minutes=60).people == ("helper 2",)


def test_an_urgent_one_rings_even_when_everybody_said_later():
    later = [_says(name, Says.LATER) for name in NAMES]
    assert _now(*later, minutes=1).people == ()
    assert _now(*later, minutes=1, urgent=True).people == NAMES


def test_the_one_who_has_an_urgent_one_is_rung_alone():
    mine = Answer("helper 2", Says.MINE, NIGHT + MINUTE_US)
    assert _now(mine, raised_us=NIGHT, minutes=12, urgent=True).people == ("helper 2",)


def test_lunch_holds_what_is_not_urgent_and_nothing_else():
    until = NOON + 40 * MINUTE_US
    assert _now(held_until_us=until).people == ()
    assert _now(held_until_us=until).look_us == until
    assert _now(held_until_us=until, urgent=True).people == NAMES
    assert _now(held_until_us=until, minutes=40).people == NAMES


def test_a_hold_of_more_than_an_hour_does_not_count():
    assert _now(held_until_us=NOON + HOUR_US).people == ()
    assert _now(held_until_us=NOON + HOUR_US + 1).people == NAMES


def test_second_person_is_the_one_named_else_who_minds_the_shop_else_anybody_else():
    assert second_of(ALL, ["helper 1"]) == ("maker",)
    assert second_of(ALL, ["maker"]) == ("helper 2",)
    assert second_of((HELPER_1, Hand("x")), ["x"]) == ("helper 1",)
    assert second_of(ALL, NAMES) == ()


def test_nobody_to_tell_is_refused():
    with pytest.raises(Refused, match="people of the shop"):
        told_now([], [], raised_us=0, at_us=0)


ANSWERS = st.lists(
    st.builds(
        Answer,
        st.sampled_from([*NAMES, "a stranger"]),
        st.sampled_from(Says),
        st.integers(0, 24 * HOUR_US),
    ),
    max_size=12,
)
INSTANTS = st.integers(0, 26 * HOUR_US)


@given(ANSWERS, INSTANTS, st.integers(0, 2 * HOUR_US))
def test_an_urgent_one_always_rings_somebody(answers, at_us, before):
    told = told_now(ALL, answers, raised_us=at_us - before, at_us=at_us, urgent=True)
    assert told.people


@given(ANSWERS, INSTANTS, st.booleans())
def test_the_order_in_which_answers_arrive_does_not_matter(answers, at_us, urgent):
    said = {"raised_us": 0, "at_us": at_us, "urgent": urgent}
    assert told_now(ALL, answers, **said) == told_now(ALL, answers[::-1], **said)


@given(ANSWERS, INSTANTS, st.booleans())
def test_nothing_changes_before_the_next_look(answers, at_us, urgent):
    """Unless somebody answers, comes or goes, who is told stays so until look_us."""
    past = [one for one in answers if one.at_us <= at_us]
    told = told_now(ALL, past, raised_us=at_us, at_us=at_us, urgent=urgent)
    until = at_us + 2 * SECOND_US if told.look_us is None else told.look_us
    assert until > at_us
    for share in (0.25, 0.5, 0.999):
        then = at_us + int((until - at_us) * share)
        if concerned(ALL, then) == concerned(ALL, at_us):
            later = told_now(ALL, past, raised_us=at_us, at_us=then, urgent=urgent)
            assert later.people == told.people


@given(ANSWERS, INSTANTS)
def test_an_answer_that_has_not_come_yet_counts_for_nothing(answers, at_us):
    past = [one for one in answers if one.at_us <= at_us]
    said = {"raised_us": 0, "at_us": at_us}
    assert told_now(ALL, answers, **said) == told_now(ALL, past, **said)


def test_each_is_told_when_their_own_quiet_is_over():
    sleeper = Hand("a", zone=ZoneInfo("UTC"), quiet_from=time(21), quiet_until=time(7))
    people = (sleeper, Hand("b"))
    plain = addressed(people, ["a", "b"], NIGHT, breaks=False)
    assert [to.not_before_us for to in plain] == [31 * HOUR_US, NIGHT]
    loud = addressed(people, ["a"], NIGHT, breaks=True)
    assert [(to.person, to.not_before_us) for to in loud] == [("a", NIGHT)]
