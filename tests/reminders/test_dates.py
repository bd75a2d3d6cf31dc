"""The date of a promised batch is told when it moved by a day or crossed the promise, and not else."""

from datetime import timedelta

import pytest

from cureclock.core.units import DAY_US, instant_us
from cureclock.planner.models import Plan
from cureclock.reminders.dates import tell
from tests.cast import when
from tests.reminders.stage import Stage

pytestmark = pytest.mark.django_db

PROMISE_US = instant_us(when("+10 00:00"))


def stage(likely_days: float) -> Stage:
    found = Stage.open("Mon 09:00")
    from cureclock.actions.pieces_made import PieceSaid

    piece = (PieceSaid(found.cast.id("B-1"), "B-1"),)
    found.cast.do(
        "pieces_made", "Mon 08:00", pieces=piece, batch=found.cast.id("boxes"), batch_name="boxes"
    )
    Plan.objects.create(workshop=found.cast.workshop)
    planned(found, likely_days)
    return found


def planned(on: Stage, likely_days: float, promise_us: int | None = PROMISE_US) -> int:
    """The plan says so many days before (below 0) or after the promise."""
    likely_us = PROMISE_US + round(likely_days * DAY_US)
    own = {"likely_us": likely_us, "safe_us": likely_us + DAY_US, "promise_us": promise_us}
    body = {"batches": {str(on.cast.id("boxes")): own}}
    Plan.objects.filter(workshop=on.cast.workshop).update(body=body)
    return tell(on.cast.workshop.id, on.clock.now())


def test_a_date_that_keeps_the_promise_is_no_news():
    assert tell(stage(-3).cast.workshop.id, when("Mon 09:00")) == 0


def test_a_promise_that_cannot_be_kept_is_told_at_once_and_once():
    on = stage(2)
    (sent,) = on.tick("Mon 09:01")
    assert sent.title.startswith("Look at the plan – boxes, likely ")
    assert "later than promised" in sent.title
    assert "Promised before" in sent.body
    assert planned(on, 2.5) == 0
    assert on.tick("Mon 09:05") == []


@pytest.mark.parametrize(
    ("first", "then", "told"),
    [(-3, -2.5, 0), (-3, -2, 1), (-3, -4, 1), (-0.1, 0.1, 1), (0.1, -0.1, 1), (2, 2.9, 0)],
)
def test_it_is_told_when_it_moved_by_a_day_or_crossed_the_promise(first, then, told):
    on = stage(first)
    on.tick("Mon 09:01")
    assert planned(on, then) == told


def test_small_moves_add_up_to_a_day():
    on = stage(-3)
    assert [planned(on, -3 + 0.4 * n) for n in range(1, 5)] == [0, 0, 1, 0]


def test_a_promise_taken_back_meanwhile_is_not_told():
    on = stage(2)
    planned(on, 2, promise_us=None)
    assert on.tick("Mon 09:01") == []


def test_nobody_is_woken_for_it():
    on = stage(-3)
    on.clock.move_to(when("Mon 23:00"))
    assert planned(on, 1) == 1
    assert on.tick("Mon 23:01") == []
    assert len(on.tick(when("Tue 08:00") + timedelta(minutes=20))) == 1


def test_a_date_that_moved_twice_in_the_night_is_told_once_as_it_is_now():
    on = stage(-3)
    on.clock.move_to(when("Mon 20:00"))
    assert planned(on, 1) == 1
    on.clock.move_to(when("Tue 07:59"))
    assert planned(on, 3) == 1
    told = [one for at in ("Tue 08:00", "Tue 08:15", "Tue 08:45") for one in on.tick(at)]
    assert [one.title.startswith("Look at the plan – boxes") for one in told] == [True]
