"""The demo week, told once for every test of it."""

from collections.abc import Iterator
from datetime import date

import pytest
from pytest_django import DjangoDbBlocker

from cureclock.demo.teller import Story
from cureclock.demo.week import tell
from tests.intake.whole_shop import forget

MONDAY = date(2026, 2, 2)


@pytest.fixture(scope="package")
def week(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[Story]:
    """The whole week."""
    with django_db_blocker.unblock():
        story = tell(MONDAY)
        yield story
        forget(story.workshop)
