"""How soon what is due is told, beside a bare loop that does nothing but claim.

Run: python3 manage.py bench --both tests/bench/bench_reminders.py

On SQLite in one process, then on PostgreSQL; the last lines are the table of both.

The rival is the least that could work: one table with one indexed due time, the bare driver, the
same durability, the same naps between two turns, in the same process, before and after ours.
Times move with whatever else the machine does: the ratio is what is judged.
"""

import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from django.db import connection

from cureclock.reminders.channels.message import Address
from cureclock.reminders.channels.webpush import WebPush, own_post
from cureclock.reminders.models import Delivery, Way
from cureclock.reminders.outcome import Accepted
from cureclock.runtime.clock import SystemClock
from cureclock.runtime.loop import LONGEST_S, SHORTEST_S, Loop
from cureclock.runtime.tick import Turn
from tests import many
from tests.bench.table import tell
from tests.cast import Cast
from tests.committed import commits
from tests.faults.oracle import Device
from tests.reminders.test_webpush import outgoing

pytestmark = [pytest.mark.django_db(transaction=True)]
SPAN_S = 30.0
LEAD_S = 12.0  # long enough to write when all are due
CLOCK = SystemClock()


@dataclass
class Late:
    """How late things were committed [ms]."""

    late_ms: np.ndarray[Any, np.dtype[np.float64]]

    def at(self, share: float) -> float:
        return float(np.percentile(self.late_ms, share))

    def __str__(self) -> str:
        return f"p50 {self.at(50):7.1f}  p99 {self.at(99):7.1f}  max {self.late_ms.max():7.1f} ms"


def nap(next_at: float | None) -> None:
    """Between two turns: until the next is due, no shorter and no longer than the loop's."""
    rest = LONGEST_S if next_at is None else next_at - time.time()
    time.sleep(min(max(rest, SHORTEST_S), LONGEST_S))


def spread(count: int) -> list[datetime]:
    first = datetime.now(UTC) + timedelta(seconds=LEAD_S)
    return [first + timedelta(seconds=SPAN_S * n / count) for n in range(count)]


class Bare:
    """One table, one indexed due time, the bare driver."""

    def __init__(self) -> None:
        self.postgres = connection.vendor == "postgresql"
        connection.ensure_connection()
        settings = connection.settings_dict
        if self.postgres:
            import psycopg

            names = {"dbname": "NAME", "user": "USER", "host": "HOST", "port": "PORT"}
            told = {name: settings[key] for name, key in names.items() if settings[key]}
            self.driver: Any = psycopg.connect(**told, autocommit=True)
        else:
            import sqlite3

            self.driver = sqlite3.connect(settings["NAME"], isolation_level=None)
            for pragma in ("journal_mode=WAL", "synchronous=FULL"):
                self.driver.execute(f"PRAGMA {pragma}")
        self.driver.execute(
            "CREATE TABLE IF NOT EXISTS bare (id int, due double precision, told int)"
        )
        self.driver.execute("CREATE INDEX IF NOT EXISTS bare_due ON bare (due) WHERE told = 0")
        self.driver.execute("DELETE FROM bare")

    def run(self, count: int) -> Late:
        due = [at.timestamp() for at in spread(count)]
        sign = "%s" if self.postgres else "?"
        cursor = self.driver.cursor()
        cursor.execute("BEGIN")
        cursor.executemany(f"INSERT INTO bare VALUES ({sign}, {sign}, 0)", list(enumerate(due)))
        cursor.execute("COMMIT")
        lock = " FOR UPDATE SKIP LOCKED" if self.postgres else ""
        look = f"SELECT id FROM bare WHERE told = 0 AND due <= {sign} ORDER BY due LIMIT 500{lock}"
        next_ = "SELECT min(due) FROM bare WHERE told = 0"
        late: dict[int, float] = {}
        while len(late) < count:
            cursor.execute("BEGIN" if self.postgres else "BEGIN IMMEDIATE")
            ids = [row[0] for row in cursor.execute(look, (time.time(),)).fetchall()]
            cursor.executemany(f"UPDATE bare SET told = 1 WHERE id = {sign}", [(i,) for i in ids])
            cursor.execute("COMMIT")
            now = time.time()
            late.update({one: (now - due[one]) * 1e3 for one in ids})
            nap(cursor.execute(next_).fetchone()[0])
        return Late(np.array(list(late.values())))

    def close(self) -> None:
        self.driver.execute("DROP TABLE bare")
        self.driver.close()


def ours(count: int, *, sending: bool) -> Late:
    """Gates on one clock, each of a glue-up of its own: from its due instant to its alert's commit."""
    cast = many.shop(datetime.now(UTC))
    if sending:
        add_way(cast)
    due = due_soon(cast, count)
    with commits() as committed:
        run_loop(lambda: len(committed) >= count)
    return Late(np.array([(committed[one] - at) * 1e3 for one, at in due.items()]))


def due_soon(cast: Cast, count: int) -> dict[str, float]:
    """Writing them takes a while, so when they are due is said last."""
    now = datetime.now(UTC)
    far = [now + timedelta(days=1)] * count
    glue_ups = many.waits(cast, far, pressed=now - timedelta(hours=2))
    times = spread(count)
    many.due_again(glue_ups, times)
    return {str(one): at.timestamp() for one, at in zip(glue_ups, times, strict=True)}


def add_way(cast: Cast) -> None:
    Way.objects.create(
        workshop=cast.workshop,
        person=cast.owner.person,
        kind="memory",
        address="x",
        host="memory",
        made_at=datetime.now(UTC),
    )


def run_loop(over: Callable[[], bool]) -> None:
    """The loop itself, as a server runs it: it fires, looks and sends."""
    stop = Loop(CLOCK, alone=connection.vendor == "sqlite").start()
    until = time.monotonic() + SPAN_S + 120
    while not over() and time.monotonic() < until:
        time.sleep(0.1)
    stop()


def compare(count: int, most_ms: float, *, sending: bool = False) -> None:
    """Ours between two runs of the rival; told with what is wanted of it."""
    bare = Bare()
    before = bare.run(count)
    own = ours(count, sending=sending)
    after = bare.run(count)
    bare.close()
    rival = Late(np.concatenate([before.late_ms, after.late_ms]))
    ratio = own.at(99) / rival.at(99)
    what = f"{count:,} gates in {SPAN_S:.0f} s, {connection.vendor}"
    near = count <= 10_000  # of more only a time is wanted
    tell(
        what + (", sending" if sending else ""),
        f"bare {rival}",
    )
    tell(
        "  ours",
        f"{own}   p99 ratio {ratio:.2f}",
        f"p99 {most_ms:.0f} ms" + (", ratio 1.5" if near else ""),
        own.at(99) <= most_ms and (ratio <= 1.5 or not near),
    )


@pytest.fixture(autouse=True)
def only_here() -> Iterator[None]:
    yield
    own_post().close()


def test_ten_thousand_gates_due_within_half_a_minute() -> None:
    compare(10_000, 50)


def test_ten_thousand_while_others_send() -> None:
    compare(10_000, 50, sending=True)


def test_a_hundred_thousand_gates_due_within_half_a_minute() -> None:
    compare(100_000, 500)


@pytest.mark.scaled
def test_ten_thousand_on_postgresql() -> None:
    compare(10_000, 100)


@pytest.mark.scaled
def test_a_hundred_thousand_on_postgresql() -> None:
    compare(100_000, 500)


SERVICE = """
import sys, pathlib
sys.path.insert(0, {root!r})
import os
os.environ.setdefault("DJANGO_SETTINGS_MODULE", "cureclock.runtime.settings")
import django
django.setup()
from tests.faults.oracle import Oracle
oracle = Oracle(pathlib.Path({log!r}))
print(oracle.port, flush=True)
sys.stdin.read()
"""


@pytest.fixture
def service(tmp_path: Path, settings: Any) -> Iterator[int]:
    """A push service in a process of its own, so that it uses a core of its own."""
    settings.CURECLOCK_PRIVATE_ENDPOINTS = True
    code = SERVICE.format(root=str(Path(__file__).parents[2]), log=str(tmp_path / "log"))
    process = subprocess.Popen(
        [sys.executable, "-c", code], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    assert process.stdout is not None
    yield int(process.stdout.readline())
    process.communicate("")


def rate(what: str, count: int, do: Callable[[], object]) -> None:
    began, used = time.perf_counter(), time.process_time()
    do()
    wall_s, core_s = time.perf_counter() - began, time.process_time() - used
    tell(
        what,
        f"{count / wall_s:.0f} a second, {count / core_s:.0f} a second of a core",
        "200 a second of a core",
        count / core_s >= 200,
    )


def test_web_pushes_a_second(service: int) -> None:
    """Encrypted, signed, posted, answered: one after the other over one connection."""
    device, channel = Device("phone"), WebPush()
    address = Address(f"http://127.0.0.1:{service}/push/phone", device.keys)
    message = outgoing()
    channel.send(address, message, CLOCK)

    def send() -> None:
        for _ in range(1000):
            assert isinstance(channel.send(address, message, CLOCK), Accepted)

    rate("web pushes, the channel alone", 1000, send)


def test_web_pushes_a_second_from_alert_to_mark(service: int) -> None:
    """The whole way: claimed, looked up anew, composed, sent, marked."""
    now, device = datetime.now(UTC), Device("phone")
    cast = many.shop(now)
    many.push_way(cast, f"http://127.0.0.1:{service}/push/phone", device.keys, now)
    past = [now - timedelta(seconds=1)] * 1000
    many.waits(cast, past, pressed=now - timedelta(hours=2))
    turn = Turn(CLOCK)
    turn.fire()
    waiting = Delivery.objects.filter(state=Delivery.State.PENDING, next_try_at__lte=CLOCK.now())
    count = waiting.count()
    assert count >= 1000
    rate("web pushes, from alert to mark", count, turn.dispatcher.dispatch)


def test_an_idle_dispatcher(tmp_path: Path) -> None:
    """A process that waits for a thousand gates of tomorrow."""
    from tests.faults.world import on_sqlite

    with on_sqlite() as world:
        world.seed_at([86_400.0 + number for number in range(1000)])
        process = world.start()
        time.sleep(10)
        before = cpu_s(process.pid)
        time.sleep(30)
        share = (cpu_s(process.pid) - before) / 30
    tell("an idle dispatcher", f"{share:.2%} of a core", "under 1 %", share < 0.01)


def cpu_s(pid: int) -> float:
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")
