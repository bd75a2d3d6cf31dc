"""The machine's clock jumps, or the board boots in the past, under a real dispatcher."""

import time
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.faults.test_matrix import lateness
from tests.faults.world import World

HOUR_S = 3600.0
SETTLE_S, LOOK_AGAIN_S = 2.0, 0.5  # shorter than in life, so that the tests are
HOLDING = """
from cureclock.reminders.models import Beat
out = list(Beat.objects.values_list('holding', flat=True))
"""


def say(wrong_by: Path, seconds: float) -> None:
    """In one step, so that nobody reads half of it."""
    fresh = wrong_by.with_suffix(".new")
    fresh.write_text(str(seconds))
    fresh.replace(wrong_by)


@pytest.fixture
def wrong_by(world: World) -> Path:
    file = world.folder / "wrong_by"
    say(file, 0)
    return file


def start_wrong(world: World, wrong_by: Path) -> None:
    world.start(settle_s=SETTLE_S, look_again_s=LOOK_AGAIN_S, wrong_by=str(wrong_by))


@pytest.mark.parametrize("jump_s", [HOUR_S, -HOUR_S], ids=["ahead", "back"])
def test_a_clock_that_jumps_by_an_hour_and_back_fires_nothing_early_and_loses_nothing(
    world: World, wrong_by: Path, jump_s: float
) -> None:
    world.seed(40, start_s=3, spread_s=3)
    start_wrong(world, wrong_by)
    time.sleep(1)
    say(wrong_by, jump_s)
    time.sleep(1)  # too short to be believed
    assert world.ask(HOLDING) == ["jumped"]
    say(wrong_by, 0)
    assert world.settled()
    assert (world.lost(), world.twice()) == (set(), 0)
    assert min(lateness(world)) > -1
    # Looked at over and over while in doubt, each jump once; then believed once it ran on evenly.
    assert max(lateness(world)) < SETTLE_S + 2 * LOOK_AGAIN_S + 3


def test_a_board_that_boots_in_1970_fires_nothing_until_the_time_is_back(
    world: World, wrong_by: Path
) -> None:
    world.seed(20, start_s=3, spread_s=1)
    first = world.start()
    time.sleep(0.5)
    first.kill()
    first.wait()
    say(wrong_by, -datetime.now(UTC).timestamp())
    start_wrong(world, wrong_by)
    time.sleep(max(world.seeded["due"][-1] - time.time(), 0) + 1)
    assert world.oracle.taken() == []
    assert "behind" in world.ask(HOLDING)
    say(wrong_by, 0)
    assert world.settled()
    assert (world.lost(), world.twice()) == (set(), 0)
    assert min(lateness(world)) > -1


def test_a_clock_that_stays_an_hour_ahead_is_believed_once_it_runs_evenly(
    world: World, wrong_by: Path
) -> None:
    """What was due in that hour comes then: late by its own clock, once, and none of it lost."""
    world.seed(20, start_s=1800, spread_s=60)
    start_wrong(world, wrong_by)
    time.sleep(1)
    say(wrong_by, HOUR_S)
    deadline = time.monotonic() + 40
    told = "from cureclock.reminders.models import Alert\n"
    told += "out = Alert.objects.filter(gate='clamps_off').count()"
    while world.ask(told) < 20 and time.monotonic() < deadline:
        time.sleep(0.3)
    assert world.ask(told) == 20
