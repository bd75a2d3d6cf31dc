"""Every alert of the demo week read aloud: the words keep their rules in a whole week's life."""

import re
from collections import Counter
from collections.abc import Iterator
from datetime import date, datetime, timedelta

import pytest
from pytest_django import DjangoDbBlocker

from cureclock.demo.week import tell
from cureclock.reminders.channels.memory import Memory
from cureclock.reminders.channels.message import Outgoing
from cureclock.reminders.clock import FakeClock
from cureclock.reminders.dispatch import Dispatcher
from cureclock.reminders.models import Beat, Trouble, Way
from cureclock.reminders.promise import Houses
from cureclock.runtime.tick import Turn
from cureclock.shop.models import Membership
from tests.core.test_wording import CLAIMS, NOT_OURS, TOO_SOON, VERBS
from tests.intake.whole_shop import forget

pytestmark = [pytest.mark.django_db, pytest.mark.slow, pytest.mark.embedded]
MONDAY = date(2026, 2, 2)
CURED = "Put to use"  # the one line that may say cured through


class Listener:
    """A dispatcher that turns whenever the story's clock has moved, and a phone for each person."""

    def __init__(self) -> None:
        self.clock = FakeClock(datetime.fromisoformat("2026-02-02T00:00:00+00:00"))
        self.memory = Memory()
        self.heard: list[tuple[datetime, str, Outgoing]] = []
        self.turn = Turn(self.clock, Dispatcher(self.clock, {"memory": self.memory}))
        houses = Houses()
        self.turn.firing.houses = self.turn.looking.houses = self.turn.dispatcher.houses = houses

    def tick(self, at: datetime) -> None:
        if not Way.objects.exists():
            self._give_phones(at)
        self.clock.move_to(at)
        self.turn.last_at = self.clock.now()
        self.turn.tick()
        self.clock.sleep(1)
        self.turn.dispatcher.dispatch()  # what the look found goes out in the next turn
        self.heard += [(at, to, message) for to, message in self.memory.sent]
        self.memory.sent.clear()

    def _give_phones(self, at: datetime) -> None:
        for member in Membership.objects.exclude(role="viewer").select_related("person"):
            Way.objects.create(
                workshop=member.workshop,
                person=member.person,
                kind="memory",
                host="memory",
                address=member.person.name,
                made_at=at,
            )


@pytest.fixture(scope="module")
def heard(
    django_db_setup: None, django_db_blocker: DjangoDbBlocker
) -> Iterator[list[tuple[datetime, str, Outgoing]]]:
    with django_db_blocker.unblock():
        listener = Listener()
        story = tell(MONDAY, tick=listener.tick)
        assert list(Trouble.objects.values_list("what", "why")) == []
        yield listener.heard
        forget(story.workshop)
        Beat.objects.all().delete()  # what comes next lives on another clock


def aloud(heard: list[tuple[datetime, str, Outgoing]]) -> list[Outgoing]:
    return [message for _, _, message in heard]


def test_a_week_has_alerts_of_every_kind_that_the_story_needs(
    heard: list[tuple[datetime, str, Outgoing]],
) -> None:
    titles = " | ".join(message.title for message in aloud(heard))
    for words in (
        "Take clamps off",
        "Put the rags safe",
        "too cold to set",
        "Enter the temperature",
    ):
        assert words in titles, words


def test_every_first_line_begins_with_a_verb_and_is_under_90_characters(
    heard: list[tuple[datetime, str, Outgoing]],
) -> None:
    for message in aloud(heard):
        assert re.split(r"\W", message.title)[0] in VERBS, message.title
        assert len(message.title) < 90, message.title
        assert message.title.isprintable()
        assert "!" not in message.title + message.body, message.title


def test_nothing_is_called_done_claimed_or_said_in_other_peoples_words(
    heard: list[tuple[datetime, str, Outgoing]],
) -> None:
    for message in aloud(heard):
        text = f"{message.title}\n{message.body}"
        assert message.title.startswith(CURED) or not TOO_SOON.search(text), text
        assert not CLAIMS.search(text), text
        assert not NOT_OURS.search(text), text


def test_there_is_always_a_second_line(heard: list[tuple[datetime, str, Outgoing]]) -> None:
    for message in aloud(heard):
        assert message.body.strip(), message.title


def test_nobody_hears_the_same_thing_twice_but_for_the_rags(
    heard: list[tuple[datetime, str, Outgoing]],
) -> None:
    said = Counter((to, message.alert) for _, to, message in heard)
    assert [key for key, count in said.items() if count > 1] == []


def test_a_week_is_not_a_storm(heard: list[tuple[datetime, str, Outgoing]]) -> None:
    """Nobody is rung more than a few times in ten minutes."""
    for person in {to for _, to, _ in heard}:
        times = sorted(at for at, to, _ in heard if to == person)
        for at in times:
            near = [one for one in times if at <= one < at + timedelta(minutes=10)]
            assert len(near) <= 12, (person, at, len(near))
