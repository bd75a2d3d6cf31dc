"""kill -9 at any moment: nothing lost; twice at most one a kill, and under the same topic."""

import random
import signal
import time

import pytest

from cureclock.reminders.points import POINTS
from tests.faults.world import World

IN_DISPATCHER = [point for point in POINTS if not point.startswith("verb.")]


LIVES = 3  # times what it took to start, at the most
AT_EACH = 5  # gates that come due as a dispatcher is to die at a point


def test_a_kill_between_any_two_steps_loses_nothing(world: World) -> None:
    """Every named point once, as five gates come due; the next dispatcher does what is left."""
    world.seed(AT_EACH * len(IN_DISPATCHER), start_s=3600)
    for place, point in enumerate(IN_DISPATCHER):
        own = world.seeded["glue_ups"][place * AT_EACH : (place + 1) * AT_EACH]
        due = world.put_off(own, [0.5 + 0.001 * number for number in range(AT_EACH)])
        process = world.start(point=point, after=due[0] - 0.2)
        assert process.wait(timeout=30) == -signal.SIGKILL, point
    world.start()
    assert world.settled()
    assert world.lost() == set()
    assert world.unexpected() == set()
    assert world.twice() <= 1  # the one that was killed between the answer and the mark


def test_what_was_taken_and_not_marked_comes_again_under_the_same_topic(world: World) -> None:
    world.seed(10, start_s=1, spread_s=1)
    world.start(point="send.accepted").wait(timeout=30)
    world.start()
    assert world.settled()
    assert world.twice() == 1
    (again,) = [key for key, count in world.oracle.counts().items() if count == 2]
    assert again in world.expected()


def kill_over_and_over(world: World, kills: int, many: int, spread_s: float) -> None:
    """kill -9 at random moments while gates come due; then let one live.

    A process lives for some times as long as it took to start, so that on a machine that is slow
    just now it is not killed before it has done anything.
    """
    chance = random.Random(kills)
    world.seed(many, start_s=1, spread_s=spread_s)
    for _ in range(kills):
        began = time.monotonic()
        process = world.start()
        time.sleep(chance.uniform(0.05, LIVES * (time.monotonic() - began)))
        process.kill()
        process.wait()
    world.start()
    assert world.settled()
    assert world.lost() == set()
    assert world.unexpected() == set()
    assert world.twice() <= kills
    assert max(world.oracle.counts().values()) <= kills + 1


def test_twenty_kills_at_random_moments(world: World) -> None:
    kill_over_and_over(world, kills=20, many=500, spread_s=8)


@pytest.mark.long
def test_two_hundred_kills_over_five_thousand_gates(world: World) -> None:
    kill_over_and_over(world, kills=200, many=5000, spread_s=180)
