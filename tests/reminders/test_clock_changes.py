"""Over both clock changes and a leap day: waits are hours that passed, people live by the wall."""

from datetime import datetime, time, timedelta

import pytest

from cureclock.reminders.clock import FakeClock
from cureclock.reminders.models import Alert
from cureclock.shop.models import Membership
from tests.reminders.stage import Stage

pytestmark = pytest.mark.django_db

ZONE = "Europe/Berlin"
NIGHTS = ["2026-03-28T{}+01:00", "2026-10-24T{}+02:00", "2028-02-28T{}+01:00"]
IDS = ["forward", "back", "leap day"]
LIVING_IN = {str(day): ["00:00", "23:59"] for day in range(7)}
BY_DAY = {str(day): ["08:00", "18:00"] for day in range(7)}
SECOND = timedelta(seconds=1)


def stage_at(at: datetime, hours: dict[str, list[str]]) -> Stage:
    """A shed at the label's temperature, in a zone whose clocks change."""
    stage = Stage.open()
    stage.cast.workshop.zone, stage.cast.workshop.hours = ZONE, hours
    stage.cast.workshop.save()
    stage.clock = FakeClock(at)
    stage.turn = stage.started()
    stage.cast.do("reading_taken", at, place=stage.cast.id("Shed"), temp_c=20.0)
    return stage


def pressed(stage: Stage, at: datetime) -> None:
    cast = stage.cast
    cast.piece("L-01", at=at)
    cast.spread("G1", ["L-01"], at)
    cast.press("G1", at)


def told_at(gate: str) -> datetime:
    alert = Alert.objects.get(gate=gate, kind="opens")
    assert alert.told_at is not None
    return alert.told_at


@pytest.mark.parametrize("night", NIGHTS, ids=IDS)
def test_twelve_hours_are_twelve_hours_whatever_the_wall_says(night: str) -> None:
    at = datetime.fromisoformat(night.format("20:00"))
    stage = stage_at(at, LIVING_IN)
    pressed(stage, at)
    stage.tick(at + timedelta(hours=12) - SECOND)
    assert not Alert.objects.filter(gate="heavy", kind="opens").exists()
    stage.tick(at + timedelta(hours=12))
    assert Alert.objects.get(gate="heavy", kind="opens").due_at == at + timedelta(hours=12)
    assert told_at("heavy") == at + timedelta(hours=12)


@pytest.mark.parametrize(
    ("night", "listed"),
    [
        (NIGHTS[0], "2026-03-29T07:40+02:00"),
        (NIGHTS[1], "2026-10-25T07:40+01:00"),
        (NIGHTS[2], "2028-02-29T07:40+01:00"),
    ],
    ids=IDS,
)
def test_the_morning_list_comes_by_the_clock_on_the_wall(night: str, listed: str) -> None:
    at, due = datetime.fromisoformat(night.format("17:30")), datetime.fromisoformat(listed)
    stage = stage_at(at, BY_DAY)
    pressed(stage, at)
    assert stage.tick(at + timedelta(hours=2)) == []  # the clamps were free after home time
    assert stage.tick(due - SECOND) == []
    (message,) = stage.tick(due)
    assert "Take clamps off" in message.body
    assert told_at("clamps_off") == due


@pytest.mark.parametrize(
    ("night", "woken"),
    [
        # 02:30 is leapt over: it is as long after the leap.
        ("2026-03-29T00:10+01:00", "2026-03-29T03:30+02:00"),
        # 02:30 comes twice: the first of the two.
        ("2026-10-25T00:10+02:00", "2026-10-25T02:30+02:00"),
        ("2028-02-29T00:10+01:00", "2028-02-29T02:30+01:00"),
    ],
    ids=IDS,
)
def test_quiet_hours_end_by_the_clock_on_the_wall(night: str, woken: str) -> None:
    at, ends = datetime.fromisoformat(night), datetime.fromisoformat(woken)
    stage = stage_at(at, LIVING_IN)
    person = stage.cast.owner.person
    Membership.objects.filter(person=person).update(quiet_from=time(22), quiet_until=time(2, 30))
    pressed(stage, at)
    assert stage.tick(at + timedelta(minutes=50)) == []
    assert stage.tick(ends - SECOND) == []
    (message,) = stage.tick(ends)
    assert message.title.startswith("Take clamps off")
