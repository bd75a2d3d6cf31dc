"""Every alert of the demo week read aloud: the words keep their rules in a whole week's life."""

import re
from collections import Counter
from datetime import timedelta

import pytest

from cureclock.reminders.channels.message import Outgoing
from tests.core.test_wording import CLAIMS, NOT_OURS, TOO_SOON, VERBS
from tests.demo.living import Heard

pytestmark = [pytest.mark.django_db, pytest.mark.slow, pytest.mark.embedded]
CURED = "Put to use"  # the one line that may say cured through


def aloud(heard: Heard) -> list[Outgoing]:
    return [message for _, _, message in heard]


def test_a_week_has_alerts_of_every_kind_that_the_story_needs(
    heard: Heard,
) -> None:
    titles = " | ".join(message.title for message in aloud(heard))
    for words in (
        "Take clamps off",
        "Put the rags safe",
        "too cold to set",
        "Enter the temperature",
    ):
        assert words in titles, words


def test_nobody_is_told_that_clamps_came_off_too_soon_where_the_next_reading_says_they_did_not(
    heard: Heard,
) -> None:
    """The rings and the drums came out of their clamps in time, on a leg that noon closed."""
    told = [message for message in aloud(heard) if "before their gate" in message.title]
    assert told == []


def test_every_first_line_begins_with_a_verb_and_is_under_90_characters(
    heard: Heard,
) -> None:
    for message in aloud(heard):
        assert re.split(r"\W", message.title)[0] in VERBS, message.title
        assert len(message.title) < 90, message.title
        assert message.title.isprintable()
        assert "!" not in message.title + message.body, message.title


def test_nothing_is_called_done_claimed_or_said_in_other_peoples_words(
    heard: Heard,
) -> None:
    for message in aloud(heard):
        text = f"{message.title}\n{message.body}"
        assert message.title.startswith(CURED) or not TOO_SOON.search(text), text
        assert not CLAIMS.search(text), text
        assert not NOT_OURS.search(text), text


def test_there_is_always_a_second_line(heard: Heard) -> None:
    for message in aloud(heard):
        assert message.body.strip(), message.title


def test_nobody_hears_the_same_thing_twice_but_for_the_rags(
    heard: Heard,
) -> None:
    said = Counter((to, message.alert) for _, to, message in heard)
    assert [key for key, count in said.items() if count > 1] == []


def test_a_week_is_not_a_storm(heard: Heard) -> None:
    """Nobody is rung more than a few times in ten minutes."""
    for person in {to for _, to, _ in heard}:
        times = sorted(at for at, to, _ in heard if to == person)
        for at in times:
            near = [one for one in times if at <= one < at + timedelta(minutes=10)]
            assert len(near) <= 12, (person, at, len(near))
