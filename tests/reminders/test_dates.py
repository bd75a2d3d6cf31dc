"""The date of a promised batch is told when it moved by a day or crossed the promise, and not else."""

from datetime import timedelta

import pytest

from cureclock.core.units import DAY_US, instant_us
from cureclock.planner.models import Plan
from cureclock.reminders.dates import tell
from tests.cast import when
from tests.reminders.stage import Stage

pytestmark = pytest.mark.django_db

PROMISE_US = instant_us(when("Thu 00:00"))  # so near that nothing waits
FAR_US = instant_us(when("+10 00:00"))


def stage(likely_days: float, promise_us: int = PROMISE_US) -> Stage:
    found = Stage.open("Mon 09:00")
    from cureclock.actions.pieces_made import PieceSaid

    piece = (PieceSaid(found.cast.id("B-1"), "B-1"),)
    found.cast.do(
        "pieces_made", "Mon 08:00", pieces=piece, batch=found.cast.id("boxes"), batch_name="boxes"
    )
    Plan.objects.create(workshop=found.cast.workshop)
    planned(found, likely_days, promise_us)
    return found


def planned(on: Stage, likely_days: float, promise_us: int | None = PROMISE_US) -> int:
    """The plan says so many days before (below 0) or after the promise."""
    likely_us = (promise_us or PROMISE_US) + round(likely_days * DAY_US)
    own = {"likely_us": likely_us, "safe_us": likely_us + DAY_US, "promise_us": promise_us}
    body = {"batches": {str(on.cast.id("boxes")): own}}
    Plan.objects.filter(workshop=on.cast.workshop).update(body=body, look_at=None)
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


SWING = (("04:00", -3), ("08:00", -3), ("12:00", -5.8), ("16:00", -6.5), ("20:00", -4))
CROSSING = (("04:00", 0.5), ("08:00", 0.5), ("12:00", -5.8), ("16:00", -6.5), ("20:00", 0.2))
TURNING = (("04:00", -3), ("16:00", -9))


def told_at(*days: tuple[str, float]) -> list[str]:
    """When it was told, of a batch that was first planned for six days before a far promise."""
    on, told = stage(-6, FAR_US), []
    for at, likely_days in days:
        on.clock.move_to(when(at))
        if planned(on, likely_days, FAR_US):
            told.append(at)
    return told


@pytest.mark.parametrize("round_of_a_day", [SWING, CROSSING, TURNING])
def test_what_the_night_moves_and_the_day_moves_back_is_no_news(round_of_a_day):
    swing = [(f"{day} {at}", by) for day in ("Tue", "Wed", "Thu") for at, by in round_of_a_day]
    assert told_at(*swing) == []


def test_what_stands_for_a_day_and_a_night_is_told_and_once():
    moved = [("Mon 20:00", -3.0), ("Tue 04:00", -2.0), ("Tue 12:00", -4.5), ("Tue 19:00", -3.0)]
    assert told_at(*moved) == []
    rest = [("Tue 20:00", -3.0), ("Wed 04:00", -2.5), ("Wed 12:00", -2.5)]
    assert told_at(*moved, *rest) == ["Tue 20:00"]


def test_what_moved_is_looked_at_again_when_it_has_stood_though_nothing_else_happens():
    on = stage(-6, FAR_US)
    on.clock.move_to(when("Tue 04:00"))
    assert planned(on, -3, FAR_US) == 0
    assert Plan.objects.get().look_at == when("Wed 04:00")
    on.clock.move_to(when("Wed 04:00"))
    assert planned(on, -3, FAR_US) == 1
    assert Plan.objects.get().look_at is None


def test_near_the_promise_nothing_waits():
    assert told_at(("+7 04:00", -0.5)) == ["+7 04:00"]
    late = (("+6 12:00", -0.5), ("+6 23:00", -0.5), ("+7 00:00", -0.5))
    assert told_at(*late) == ["+7 00:00"]
