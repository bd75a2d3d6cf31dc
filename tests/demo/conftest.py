"""The demo week, told once for every test of it."""

from collections.abc import Iterator
from datetime import date

import pytest
from pytest_django import DjangoDbBlocker

from cureclock.demo.teller import Story
from cureclock.demo.week import tell
from cureclock.reminders.models import Beat
from tests.demo.living import Heard, Life, Listener
from tests.intake.whole_shop import forget

MONDAY = date(2026, 2, 2)


@pytest.fixture(scope="package")
def lived(
    request: pytest.FixtureRequest, django_db_setup: None, django_db_blocker: DjangoDbBlocker
) -> Iterator[tuple[Story, Life]]:
    """The whole week and what ran beside it; a listener only where some test asks what was heard."""
    listened = any("heard" in getattr(item, "fixturenames", ()) for item in request.session.items)
    life = Life(Listener() if listened else None)
    with django_db_blocker.unblock():
        story = tell(MONDAY, tick=life.tick)
        yield story, life
        forget(story.workshop)
        Beat.objects.all().delete()  # what comes next lives on another clock


@pytest.fixture(scope="package")
def week(lived: tuple[Story, Life]) -> Story:
    return lived[0]


@pytest.fixture(scope="package")
def life(lived: tuple[Story, Life]) -> Life:
    return lived[1]


@pytest.fixture(scope="package")
def heard(life: Life) -> Heard:
    """Who heard what, and when."""
    assert life.listener is not None
    return life.listener.heard
