"""Lanes: one message at a time to each host, and none that waits for another host."""

import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any
from uuid import uuid4

import pytest

from cureclock.reminders.channels.message import Address
from cureclock.reminders.prepare import Parcel
from cureclock.runtime import lanes as timing
from cureclock.runtime.clock import SystemClock
from cureclock.runtime.lanes import MOST_OF_A_HOST, Lanes
from tests.cast import when


def parcel(host: str, number: int = 0) -> Parcel:
    at = when("Mon 09:00")
    rest: Any = {"message": None, "expires_at": at, "begin_by_s": 0.0, "channel": "memory"}
    ids = {"alert": uuid4(), "way": uuid4(), "token": uuid4()}
    return Parcel(delivery=number, attempts=0, host=host, address=Address(""), **ids, **rest)


Make = Callable[[Callable[[Parcel], object]], Lanes]


@pytest.fixture
def make(monkeypatch: pytest.MonkeyPatch) -> Iterator[Make]:
    monkeypatch.setattr(timing, "SLOW_S", 0.2)
    made: list[Lanes] = []

    def lanes(carry: Callable[[Parcel], object]) -> Lanes:
        made.append(Lanes(carry, SystemClock()))
        return made[-1]

    yield lanes
    for one in made:
        one.stop(0.5)


def wait_for(true: Callable[[], bool], s: float = 3.0) -> bool:
    until = time.monotonic() + s
    while not true() and time.monotonic() < until:
        time.sleep(0.005)
    return true()


def test_a_host_that_answers_gets_one_at_a_time_in_order(make: Make) -> None:
    under_way, most, done = 0, 0, []
    lock = threading.Lock()

    def carry(one: Parcel) -> None:
        nonlocal under_way, most
        with lock:
            under_way += 1
            most = max(most, under_way)
        time.sleep(0.005)
        with lock:
            under_way -= 1
            done.append(one.delivery)

    make(carry).put([parcel("a", number) for number in range(20)])
    assert wait_for(lambda: len(done) == 20)
    assert (most, done) == (1, list(range(20)))


def test_hosts_do_not_wait_for_each_other(make: Make) -> None:
    release, done = threading.Event(), []

    def carry(one: Parcel) -> None:
        if one.host == "hangs":
            release.wait(5)
        done.append(one.host)

    lanes = make(carry)
    lanes.put([parcel("hangs") for _ in range(8)])
    lanes.put([parcel("b"), parcel("c")])
    assert wait_for(lambda: sorted(done) == ["b", "c"], 0.5)
    release.set()


def test_a_host_that_hangs_for_one_lets_others_of_it_pass_up_to_four(make: Make) -> None:
    release, begun, done = threading.Event(), [], []

    def carry(one: Parcel) -> None:
        begun.append(one.delivery)
        if one.delivery < 3:
            release.wait(5)
        done.append(one.delivery)

    lanes = make(carry)
    lanes.put([parcel("a", number) for number in range(6)])
    assert wait_for(lambda: done == [3, 4, 5])
    assert "a" not in lanes.busy()
    lanes.put([parcel("a", 0), parcel("a", 1)])
    assert wait_for(lambda: len(begun) == 7)
    assert wait_for(lambda: "a" in lanes.busy())
    assert len([n for n in begun if n < 3]) == MOST_OF_A_HOST
    release.set()


def test_one_phone_that_hangs_takes_one_lane_and_its_line_is_handed_back(make: Make) -> None:
    release, done = threading.Event(), []
    hung = [replace(parcel("a", 0), way=uuid4())]
    hung += [replace(hung[0], delivery=number) for number in range(1, 5)]

    def carry(one: Parcel) -> None:
        if one.way == hung[0].way:
            release.wait(5)
        done.append(one.delivery)

    lanes = make(carry)
    lanes.put([*hung, parcel("a", 9)])
    assert wait_for(lambda: done == [9])
    slow, left = lanes.stuck()
    assert slow == {hung[0].way}
    assert [one.delivery for one in left] == [1, 2, 3, 4]
    assert lanes.busy() == set()
    release.set()


def test_at_the_end_what_is_under_way_is_finished_and_the_rest_handed_back(make: Make) -> None:
    begun, done = threading.Event(), []

    def carry(one: Parcel) -> None:
        begun.set()
        time.sleep(0.1)
        done.append(one.delivery)

    lanes = make(carry)
    lanes.put([parcel("a", number) for number in range(5)])
    assert begun.wait(2)
    left = [one.delivery for one in lanes.stop()]
    assert done == [0]
    assert left == [1, 2, 3, 4]


def test_a_parcel_that_raises_does_not_stop_its_lane(make: Make) -> None:
    done: list[int] = []

    def carry(one: Parcel) -> None:
        if one.delivery == 0:
            raise ZeroDivisionError
        done.append(one.delivery)

    make(carry).put([parcel("a", number) for number in range(3)])
    assert wait_for(lambda: done == [1, 2])
