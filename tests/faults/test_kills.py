"""kill -9 at any moment: nothing lost; twice at most one a kill, and under the same topic."""

import random
import signal
import time

import pytest

from cureclock.reminders.points import POINTS
from tests.faults.world import World

IN_DISPATCHER = [point for point in POINTS if not point.startswith("verb.")]


APART_S = 6  # between one point and the next: time for another to be started


def test_a_kill_between_any_two_steps_loses_nothing(world: World) -> None:
    """Every named point once, as five gates come due; the next dispatcher does what is left."""
    times = [5 + APART_S * place for place in range(len(IN_DISPATCHER))]
    world.seed_at([at + 0.001 * n for at in times for n in range(5)])
    for place, point in enumerate(IN_DISPATCHER):
        process = world.start(point=point, after=world.seeded["due"][place * 5] - 0.2)
        assert process.wait(timeout=30) == -signal.SIGKILL, point
    world.start()
    assert world.settled()
    assert world.lost() == set()
    assert world.unexpected() == set()
    assert world.twice() <= 1  # the one that was killed between the answer and the mark


def test_what_was_taken_and_not_marked_comes_again_under_the_same_topic(world: World) -> None:
    world.seed(10, start_s=3, spread_s=1)
    world.start(point="send.accepted").wait(timeout=30)
    world.start()
    assert world.settled()
    assert world.twice() == 1
    (again,) = [key for key, count in world.oracle.counts().items() if count == 2]
    assert again in world.expected()


def kill_over_and_over(world: World, kills: int, many: int, spread_s: float) -> None:
    """kill -9 at random moments while gates come due; then let one live."""
    chance = random.Random(kills)
    world.seed(many, start_s=4, spread_s=spread_s)
    for _ in range(kills):
        process = world.start()
        time.sleep(chance.uniform(0.05, 1.0))
        process.kill()
        process.wait()
    world.start()
    assert world.settled(180)
    assert world.lost() == set()
    assert world.unexpected() == set()
    assert world.twice() <= kills
    assert max(world.oracle.counts().values()) <= kills + 1


def test_twenty_kills_at_random_moments(world: World) -> None:
    kill_over_and_over(world, kills=20, many=1000, spread_s=30)


@pytest.mark.long
def test_two_hundred_kills_over_five_thousand_gates(world: World) -> None:
    kill_over_and_over(world, kills=200, many=5000, spread_s=300)
