"""A world to break: records, dispatchers as real processes, and the oracle."""

import atexit
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import psycopg

from cureclock.reminders.channels.webpush import topic
from tests.faults import dispatcher, seed
from tests.faults.child import Child, Does
from tests.faults.oracle import Device, Oracle
from tests.faults.servers import Postgres, Redis

ROOT = Path(__file__).resolve().parents[2]
MIGRATED = "migrated"  # the database that each world's is a copy of


@dataclass
class World:
    """One set of records, one phone, and whatever dispatchers are running.

    Attributes:
        seeded: what the seed said: ids, and when each gate is due.
    """

    folder: Path
    oracle: Oracle
    database_url: str = ""
    lease_s: float = 2.0
    device: Device = field(default_factory=lambda: Device("phone"))
    others: list[Device] = field(default_factory=list)
    server: Postgres | None = None
    redis: Redis | None = None
    processes: list[Child | subprocess.Popen[bytes]] = field(default_factory=list)
    seeded: dict[str, Any] = field(default_factory=dict)

    @property
    def env(self) -> dict[str, str]:
        own = {k: v for k, v in os.environ.items() if not k.startswith("CURECLOCK_")}
        own.pop("REDIS_URL", None)
        return {
            **own,
            "CURECLOCK_VAR": str(self.folder),
            "CURECLOCK_SECRET_KEY": "only-in-tests-" + "x" * 40,
            "CURECLOCK_PRIVATE_ENDPOINTS": "yes",
            "CURECLOCK_LOG_LEVEL": "ERROR",
            "DATABASE_URL": self.database_url,
            "PYTHONPATH": str(ROOT),
        }

    def seed(self, many: int, *, start_s: float = 1.0, spread_s: float = 1.0) -> None:
        """Records with so many gates, due over `spread_s` from `start_s` on."""
        self.seed_at([start_s + spread_s * number / max(many, 1) for number in range(many)])

    def seed_at(self, due_s: Sequence[float]) -> None:
        """Records with one gate due so many seconds from now each."""
        told = {
            "due_s": list(due_s),
            "devices": {
                self.oracle.address(one.name): one.keys for one in (self.device, *self.others)
            },
        }
        self.seeded = self.run(seed.main, told)

    def put_off(self, glue_ups: Sequence[str], due_s: Sequence[float]) -> list[float]:
        """Let some of what was seeded be due so many seconds from now; the instants."""
        told = {"glue_ups": list(glue_ups), "due_s": list(due_s)}
        return list(self.run(seed.put_off, told))

    def run(self, does: Does, told: Any) -> Any:
        """Something on the records, in a process of its own; what it said."""
        child = Child(does, told, self.env, self.folder / "said.log")
        try:
            return child.hear()
        except EOFError:
            raise AssertionError(child.log.read_text()) from None
        finally:
            child.wait(30)

    def start(self, **told: Any) -> Child:
        """A dispatcher; returns when it says that it is sending."""
        log = self.folder / f"dispatcher-{len(self.processes)}.log"
        process = Child(dispatcher.main, {"lease_s": self.lease_s, **told}, self.env, log)
        self.processes.append(process)
        with suppress(EOFError):  # dead already: the test looks at how it ended
            process.hear()
        return process

    def crash_database(self) -> None:
        """kill -9 to PostgreSQL, all of it."""
        assert self.server is not None
        self.server.crash()

    def restart_database(self) -> None:
        """The same records again."""
        assert self.server is not None
        self.server.restart()

    def start_redis(self) -> Redis:
        """A Redis of this world's own."""
        self.redis = Redis()
        return self.redis

    def start_celery(self) -> None:
        """A worker with its beat."""
        assert self.redis is not None
        log = (self.folder / "celery.log").open("wb")
        words = ["worker", "--beat", "--pool", "solo", "--loglevel", "warning"]
        self.processes.append(
            subprocess.Popen(
                [sys.executable, "-m", "celery", "-A", "cureclock.runtime.celery", *words],
                stdout=log,
                stderr=log,
                cwd=ROOT,
                env={**self.env, "REDIS_URL": self.redis.url},
                start_new_session=True,  # its beat is a child of its own, and has to end with it
            )
        )
        log.close()

    def expected(self) -> set[tuple[str, str]]:
        """What the phone has to be told: the topic of each alert."""
        return {(self.device.name, topic(f"{one} clamps_off")) for one in self.seeded["glue_ups"]}

    def settled(self, patience_s: float = 60.0) -> bool:
        """Wait until everything expected was taken, or nothing more was for so long."""
        wanted, taken, until = self.expected(), 0, time.monotonic() + patience_s
        while time.monotonic() < until:
            counts = self.oracle.counts()
            if wanted <= counts.keys():
                return True
            if len(counts) > taken:
                taken, until = len(counts), time.monotonic() + patience_s
            time.sleep(0.1)
        return False

    def lost(self) -> set[tuple[str, str]]:
        """Expected and never taken."""
        return self.expected() - self.oracle.counts().keys()

    def twice(self) -> int:
        """How many the phone took more than once, each time counted."""
        counts = self.oracle.counts().items()
        return sum(count - 1 for (device, _), count in counts if device == self.device.name)

    def unexpected(self) -> set[tuple[str, str]]:
        """Taken by the phone and nobody's wish."""
        own = {key for key in self.oracle.counts() if key[0] == self.device.name}
        return own - self.expected()

    def ask(self, code: str) -> Any:
        """Run a few lines on the records; what they put in `out`."""
        return self.run(seed.ask, code)

    def end(self) -> None:
        """Stop every process this world started, and what they started."""
        for process in self.processes:
            if isinstance(process, subprocess.Popen):
                os.killpg(process.pid, signal.SIGKILL)
            elif process.poll() is None:
                process.kill()
            process.wait()
        if self.redis is not None:
            self.redis.stop()


@cache
def migrated() -> Path:
    """Empty records in a file, made once; each world gets a copy."""
    folder = Path(tempfile.mkdtemp(prefix="cureclock-migrated-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    World(folder, None).run(seed.migrate, None)  # type: ignore[arg-type]
    return folder / "cureclock.sqlite3"


@contextmanager
def on_sqlite() -> Iterator[World]:
    """A world whose records are one file."""
    with _world("") as world:
        shutil.copy(migrated(), world.folder)
        yield world


def migrate_on(server: Postgres) -> None:
    """An empty database on a server, made once; each world gets a copy."""
    with psycopg.connect(server.url, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {MIGRATED}")
    with _world(f"{server.url.rpartition('/')[0]}/{MIGRATED}") as world:
        world.run(seed.migrate, None)


@contextmanager
def on_postgres(server: Postgres) -> Iterator[World]:
    """A world with a database of its own on a server."""
    name = f"world_{os.urandom(4).hex()}"
    with psycopg.connect(server.url, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name} TEMPLATE {MIGRATED}")
    # The name stands at the end of the address, and is the user's as well.
    with _world(f"{server.url.rpartition('/')[0]}/{name}") as world:
        world.server = server
        yield world


@contextmanager
def _world(database_url: str) -> Iterator[World]:
    folder = Path(tempfile.mkdtemp(prefix="cureclock-world-"))
    oracle = Oracle(folder / "oracle.log")
    world = World(folder, oracle, database_url)
    try:
        yield world
    finally:
        world.end()
        oracle.stop()
        shutil.rmtree(folder, ignore_errors=True)
