"""The records lose their last commits: a fail-over, a power cut, a copy put back."""

import shutil
import signal
import sqlite3
import time
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from uuid import uuid4

import psycopg

from tests.faults.test_matrix import tell
from tests.faults.world import World

FACTS = """
from cureclock.shop.models import Event, Reading
from cureclock.waits.models import Gate
out = [sorted(str(one) for one in Event.objects.values_list('id', flat=True)),
       sorted(str(one) for one in Reading.objects.values_list('id', flat=True)),
       sorted(str(one) for one in Gate.objects.filter(kind='clamps_off', state='over')
              .values_list('id', flat=True))]
"""


def copy_of(world: World) -> Any:
    """The records as they stand, while nobody uses them."""
    if not world.database_url:
        kept = world.folder / "kept.sqlite3"
        with sqlite3.connect(world.folder / "cureclock.sqlite3") as records:
            with sqlite3.connect(kept) as copy:
                records.backup(copy)
            copy.close()
        records.close()
        return kept
    name = f"{world.database_url.rpartition('/')[2]}_kept"
    _on_server(world, f"CREATE DATABASE {name} TEMPLATE {name.removesuffix('_kept')}")
    return name


def put_back(world: World, kept: Any) -> None:
    """The older records take the place of the newer."""
    if isinstance(kept, Path):
        for rest in world.folder.glob("cureclock.sqlite3*"):
            rest.unlink()
        shutil.copy(kept, world.folder / "cureclock.sqlite3")
    else:
        world.database_url = f"{world.database_url.rpartition('/')[0]}/{kept}"


def _on_server(world: World, command: str) -> None:
    assert world.server is not None
    with psycopg.connect(world.server.url, autocommit=True) as connection:
        connection.execute(command)


def tap(verb: str, **said: object) -> dict[str, object]:
    """A happening as a phone keeps it until it was answered, and longer."""
    return {"verb": verb, "id": str(uuid4()), "at": datetime.now(UTC).isoformat(), "said": said}


def stopped(world: World, process: Any) -> None:
    process.send_signal(signal.SIGTERM)
    assert process.wait(timeout=20) == 0


def test_after_lost_commits_the_phone_tells_again_and_nothing_marked_comes_twice(
    world: World,
) -> None:
    world.seed(60, start_s=1, spread_s=12)
    first = world.start()
    until = time.monotonic() + 30
    while len(world.oracle.counts()) < 10 and time.monotonic() < until:
        time.sleep(0.1)
    stopped(world, first)
    marked = set(world.oracle.counts())
    assert 5 < len(marked) < 60
    kept = copy_of(world)

    last = world.seeded["glue_ups"][-1]  # not due for some time: its clamps come off all the same
    taps = [
        tap("reading_taken", place=world.seeded["place"], temp_c=20.0),
        tap("clamps_off", glue_up=last),
    ]
    for one in taps:
        assert tell(world, **one) == {"new": True}
    told = world.ask(FACTS)
    second = world.start()
    time.sleep(2)
    stopped(world, second)

    put_back(world, kept)
    assert world.ask(FACTS) != told
    for one in taps:
        assert tell(world, **one) == {"new": True}
        assert tell(world, **one) == {"new": False}
    assert world.ask(FACTS) == told
    world.seeded["glue_ups"].pop()  # taken off: nobody has to be told
    world.start()
    assert world.settled()
    time.sleep(2)
    assert world.lost() == set()
    counts = world.oracle.counts()
    assert {key for key in marked if counts[key] > 1} == set()
    assert max(counts.values()) <= 2  # what the lost commits had marked may come again, replaced
