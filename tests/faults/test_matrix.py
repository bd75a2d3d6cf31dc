"""The other rows of the fault matrix, each with real processes."""

import signal
import time
from datetime import UTC, datetime
from typing import Any
from uuid import uuid4

import pytest

from cureclock.reminders.channels.webpush import topic
from tests.faults import verb
from tests.faults.child import Child
from tests.faults.oracle import Device
from tests.faults.servers import Redis
from tests.faults.world import World

BEATING = "from cureclock.reminders.models import Beat\nout = Beat.objects.count()"


def lateness(world: World) -> list[float]:
    """How late each message was taken [s], in order of due instants."""
    due = {
        topic(f"{one} clamps_off"): at
        for one, at in zip(world.seeded["glue_ups"], world.seeded["due"], strict=True)
    }
    first: dict[str, float] = {}
    for told in world.oracle.taken():
        first.setdefault(told["topic"], told["at"])
    return [first[one] - at for one, at in due.items() if one in first]


def tell(world: World, **told: object) -> Any:
    """One verb, in a process of its own; what it said."""
    return world.run(verb.main, told)


@pytest.mark.parametrize("point", ["verb.settled", "verb.followed"])
def test_a_request_killed_half_way_left_nothing_and_its_repeat_counts_once(
    world: World, point: str
) -> None:
    world.seed(3, start_s=3600, spread_s=60)
    count = (
        "from cureclock.shop.models import Reading, Workshop\n"
        "from cureclock.waits.models import Clock\n"
        "out = [Reading.objects.count(), str(Clock.objects.get(stance='slow').read_at)]"
    )
    before = world.ask(count)
    said = {"place": world.seeded["place"], "temp_c": 12.0}
    told = {
        "verb": "reading_taken",
        "id": str(uuid4()),
        "at": datetime.now(UTC).isoformat(),
        "said": said,
    }
    killed = Child(verb.main, {"point": point, **told}, world.env, world.folder / "killed.log")
    assert killed.wait(30) == -signal.SIGKILL
    assert world.ask(count) == before
    assert tell(world, **told) == {"new": True}
    after = world.ask(count)
    assert after[0] == before[0] + 1
    assert tell(world, **told) == {"new": False}
    assert world.ask(count) == after


def test_a_dispatcher_that_sleeps_past_its_lease_sends_at_most_the_one_in_hand_twice(
    world: World,
) -> None:
    world.seed(200, start_s=1, spread_s=4)
    sleeper = world.start()
    time.sleep(1.5)
    sleeper.send_signal(signal.SIGSTOP)
    if world.database_url:
        world.start()
        assert world.settled()
    else:
        time.sleep(world.lease_s * 2)  # alone on its records: nobody could take over
    sleeper.send_signal(signal.SIGCONT)
    assert world.settled()
    time.sleep(2)
    assert world.lost() == set()
    assert world.twice() <= 1


def test_ended_by_sigterm_it_gives_back_what_it_had_and_nothing_comes_twice(world: World) -> None:
    """A rolling restart: on PostgreSQL the next is there before the last is gone."""
    world.seed(300, start_s=1, spread_s=5)
    last = world.start()
    for _ in range(3):
        time.sleep(1.2)
        fresh = world.start() if world.database_url else None
        last.send_signal(signal.SIGTERM)
        assert last.wait(timeout=20) == 0
        last = fresh or world.start()
    assert world.settled()
    assert world.lost() == set()
    assert world.twice() == 0


@pytest.mark.scaled
def test_three_dispatchers_send_nothing_twice(world: World) -> None:
    world.seed(300, start_s=1, spread_s=2)
    for _ in range(3):
        world.start()
    assert world.settled()
    time.sleep(world.lease_s + 1)
    assert (world.lost(), world.twice()) == (set(), 0)


@pytest.mark.embedded
def test_a_second_dispatcher_on_the_same_file_is_refused(world: World) -> None:
    world.seed(0)
    world.start()
    second = world.start()
    assert second.wait(timeout=20) == 1
    said = (world.folder / "dispatcher-1.log").read_text()
    assert "is already using these records" in said


def test_the_answers_of_a_push_service_that_is_in_trouble(world: World) -> None:
    """5xx, busy, taken and then reset: all of it arrives, what is unknown again with its topic."""
    world.seed(12, start_s=1, spread_s=1)
    world.oracle.behave["phone"] = ["500", "503", "429 1", "reset", "408"]
    world.start()
    assert world.settled()
    time.sleep(3)
    assert world.lost() == set()
    assert world.twice() == 1  # the one that was taken and reset


def test_a_phone_that_hangs_holds_up_no_other(world: World) -> None:
    world.others = [Device("hangs")]
    world.oracle.always["hangs"] = "hang"
    world.seed(40, start_s=1, spread_s=2)
    world.start()
    assert world.settled(30)
    assert max(lateness(world)) < 9  # had anybody waited for it, it would be ten and more


def test_a_phone_that_is_gone_is_dropped(world: World) -> None:
    world.others = [Device("gone")]
    world.oracle.always["gone"] = "410"
    world.seed(10, start_s=1, spread_s=2)
    world.start()
    assert world.settled()
    assert world.oracle.asked["gone"] <= 10
    dead = "from cureclock.reminders.models import Way\n"
    dead += "out = list(Way.objects.exclude(dead_since=None).values_list('address', flat=True))"
    assert world.ask(dead) == [world.oracle.address("gone")]


@pytest.mark.embedded
def test_on_a_full_disk_what_was_sent_is_marked_later_and_never_sent_again(world: World) -> None:
    world.seed(5, start_s=1, spread_s=0.01)
    world.oracle.behave["phone"] = ["hold"]
    dispatcher = world.start()
    assert world.oracle.hung.wait(20)
    dispatcher.send_signal(signal.SIGUSR1)  # no file may grow
    time.sleep(0.3)
    world.oracle.release.set()  # taken: and it cannot be marked
    time.sleep(world.lease_s + 2)
    assert world.oracle.taken()
    dispatcher.send_signal(signal.SIGUSR2)
    assert world.settled()
    time.sleep(2)
    assert (world.lost(), world.twice()) == (set(), 0)
    states = "from cureclock.reminders.models import Delivery\n"
    states += "out = sorted(set(Delivery.objects.filter(alert__gate='clamps_off')"
    states += ".values_list('state', flat=True)))"
    assert world.ask(states) == ["sent"]


@pytest.mark.embedded
def test_every_connection_to_sqlite_keeps_what_it_said_through_a_power_cut(world: World) -> None:
    """Not staged: asserted by what the database is asked to do at each commit."""
    world.seed(0)
    code = (
        "import threading\n"
        "from django.db import connection\n"
        "def asked():\n"
        "    with connection.cursor() as cursor:\n"
        "        names = ('synchronous', 'journal_mode', 'foreign_keys')\n"
        "        return [cursor.execute(f'PRAGMA {n}').fetchone()[0] for n in names]\n"
        "out = [asked()]\n"
        "thread = threading.Thread(target=lambda: out.append(asked()))\n"
        "thread.start(); thread.join()\n"
    )
    assert world.ask(code) == [[2, "wal", 1]] * 2  # 2 is FULL


@pytest.mark.scaled
def test_postgresql_killed_and_restarted_loses_nothing(world: World) -> None:
    world.seed(200, start_s=1, spread_s=6)
    world.start()
    world.start()
    time.sleep(2)
    world.crash_database()
    time.sleep(2)
    world.restart_database()
    assert world.settled()
    assert world.lost() == set()
    assert world.twice() <= 2  # one for each dispatcher


def with_celery(world: World) -> Redis:
    """A broker, workers and a dispatcher, up and running; sixty due from two seconds on."""
    world.seed(60, start_s=3600)
    redis = world.start_redis()
    world.start_celery()
    world.start()
    until = time.monotonic() + 30
    while world.ask(BEATING) < 2 and time.monotonic() < until:
        time.sleep(0.2)
    world.seeded["due"] = world.put_off(
        world.seeded["glue_ups"], [2 + 4 * number / 60 for number in range(60)]
    )
    return redis


def nothing_lost_though_late(world: World) -> None:
    time.sleep(world.lease_s + 1)
    assert (world.lost(), world.twice()) == (set(), 0)
    assert sorted(lateness(world))[-1] < world.lease_s + 3


@pytest.mark.scaled
def test_with_redis_killed_reminders_go_out_all_the_same(world: World) -> None:
    redis = with_celery(world)
    redis.crash()
    assert world.settled()
    nothing_lost_though_late(world)


@pytest.mark.scaled
def test_with_redis_emptied_over_and_over_nothing_is_lost(world: World) -> None:
    redis = with_celery(world)
    for _ in range(25):
        redis.flush()
        time.sleep(0.25)
    assert world.settled()
    nothing_lost_though_late(world)


@pytest.mark.scaled
def test_with_redis_hanging_reminders_go_out_all_the_same(world: World) -> None:
    redis = with_celery(world)
    redis.hang()
    try:
        assert world.settled()
    finally:
        redis.go_on()
    nothing_lost_though_late(world)


@pytest.mark.scaled
def test_celery_alone_makes_the_same_turn(world: World) -> None:
    world.seed(20, start_s=4, spread_s=2)
    world.start_redis()
    world.start_celery()
    assert world.settled(40)
    assert (world.lost(), world.twice()) == (set(), 0)


def many_at_once(world: World, many: int, within_s: float) -> None:
    world.seed(many, start_s=2, spread_s=1)
    world.start()
    assert world.settled(within_s + 30)
    assert (world.lost(), world.twice()) == (set(), 0)
    assert max(lateness(world)) < within_s


def test_four_hundred_due_in_one_second_are_out_within_fifteen(world: World) -> None:
    many_at_once(world, 400, 15)


@pytest.mark.long
def test_ten_thousand_due_in_one_second_are_out_within_a_minute(world: World) -> None:
    many_at_once(world, 10_000, 60)


def test_readings_that_race_the_fire_late_repeated_and_in_any_order_change_nothing(
    world: World,
) -> None:
    """The shed is as warm as it was; every reading moves the clock that is just firing."""
    world.seed(60, start_s=2, spread_s=4)
    world.start()
    racing = (
        "import random, time, uuid\n"
        "from datetime import UTC, datetime, timedelta\n"
        "from cureclock.actions.registry import verbs\n"
        "from cureclock.shop.happening import Happening, Teller\n"
        "from cureclock.shop.models import Membership, Place\n"
        "m = Membership.objects.select_related('workshop', 'person').get(role='owner')\n"
        "teller = Teller(m.workshop, m.person, m.role)\n"
        "verb = verbs()['reading_taken']\n"
        "place, said, out = Place.objects.get().id, [], 0\n"
        "until = time.monotonic() + 6\n"
        "while time.monotonic() < until:\n"
        "    now = datetime.now(UTC)\n"
        "    at = now - timedelta(seconds=random.choice([0, 0, 1, 7, 300, 2000]))\n"
        "    one = random.choice(said) if said and random.random() < .3 else (uuid.uuid4(), at)\n"
        "    said.append(one)\n"
        "    verb.do(Happening(one[0], teller, one[1], now), verb.shape(place=place, temp_c=20.0))\n"
        "    out += 1\n"
    )
    assert world.ask(racing) > 10
    assert world.settled()
    time.sleep(2)
    assert world.lost() == set()
    assert world.twice() == 0
    assert min(lateness(world)) > -0.001  # nothing early
