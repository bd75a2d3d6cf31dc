"""Two hundred workshops at work while web and dispatchers are killed at random: nothing is lost.

Phones and sensors do as real ones do: what was not answered is sent again, under the same id. What
reached the phones is read from the push service's own log.
"""

import http.client
import json
import os
import random
import signal
import subprocess
import sys
import threading
import time
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from statistics import median
from typing import Any
from uuid import uuid4

import psycopg
import pytest

from cureclock.reminders.channels.webpush import topic
from tests.faults import shops
from tests.faults.world import ROOT, World
from tests.servers import free_port

pytestmark = [pytest.mark.slow, pytest.mark.scaled]

HANDS = 6  # phones and sensors at work at once
AT_ONCE = 4  # messages to one push service that a dispatcher may have under way
PATIENCE_S = 240  # for what is still to be sent, on a machine that does much else
LONG_S = float(os.environ.get("SOAK_S", "1800"))


@dataclass
class Town:
    """All that goes on, and what was answered with "kept"."""

    world: World
    port: int
    told: list[dict[str, str]]
    over: threading.Event = field(default_factory=threading.Event)
    events: set[str] = field(default_factory=set)
    readings: int = 0
    glue_ups: dict[str, str] = field(default_factory=dict)  # to the workshop
    looks: int = 0
    again: int = 0
    wrong: list[str] = field(default_factory=list)
    kills: dict[str, int] = field(default_factory=lambda: {"web": 0, "remind": 0})
    memory: dict[str, list[int]] = field(default_factory=lambda: {"web": [], "remind": []})

    def send(self, method: str, path: str, body: Any, headers: dict[str, str]) -> Any:
        """Ask until it is answered, as a phone does; None once all is over."""
        text = None if body is None else json.dumps(body)
        told = {"Content-Type": "application/json", **headers}
        while True:
            try:
                door = http.client.HTTPConnection("127.0.0.1", self.port, timeout=15)
                try:
                    door.request(method, path, text, told)
                    answer = door.getresponse()
                    content = answer.read()
                finally:
                    door.close()
                if answer.status < 500:
                    if answer.status >= 400:
                        self.wrong.append(f"{method} {path} {answer.status} {content[:300]!r}")
                    return json.loads(content)
                if answer.status != 503:
                    self.wrong.append(f"{method} {path} {answer.status}")
            except (OSError, http.client.HTTPException):
                pass
            self.again += 1
            if self.over.is_set() and self.again > 10_000:
                return None
            time.sleep(0.1)

    def phone(self, shop: dict[str, str]) -> dict[str, str]:
        return {
            "Cookie": f"cureclock_phone={shop['workshop']}",
            "X-CureClock-Phone": shop["phone"],
            "Origin": f"http://127.0.0.1:{self.port}",
        }

    def tell(self, shop: dict[str, str], *verbs: tuple[str, dict[str, Any]]) -> list[str]:
        now = datetime.now(UTC).isoformat()
        taps = [
            {"id": str(uuid4()), "verb": verb, "at": now, "number": number, "said": said}
            for number, (verb, said) in enumerate(verbs)
        ]
        body = {"sent_at": now, "unsent": 0, "happenings": taps}
        told = self.send("POST", "/api/happenings", body, self.phone(shop)) or {"answers": []}
        outcomes = [one["outcome"] for one in told["answers"]]
        if not set(outcomes) <= {"applied", "known"}:
            self.wrong.append(f"{verbs} {told}")
        self.events.update(tap["id"] for tap in taps)
        return outcomes

    def start(self, shop: dict[str, str]) -> None:
        """Spread and press, on a new piece."""
        glue_up, piece, tag = (str(uuid4()) for _ in range(3))
        joint = {"id": str(uuid4()), "piece": piece, "name": "j"}
        spread = {"glue_up": glue_up, "name": "G", "label": shop["label"], "place": shop["place"]}
        made = {"pieces": [{"id": piece, "tag": tag[:18]}]}
        if self.tell(
            shop,
            ("pieces_made", made),
            ("spread_began", {**spread, "joints": [joint]}),
            ("pressure_on", {"glue_up": glue_up}),
        ):
            self.glue_ups[glue_up] = shop["workshop"]

    def check(self, shop: dict[str, str]) -> None:
        own = [one for one, where in list(self.glue_ups.items()) if where == shop["workshop"]]
        if own:
            said = {"gate": "light", "result": "soft", "glue_up": random.choice(own)}
            self.tell(shop, ("checked", said))

    def read(self, shop: dict[str, str]) -> None:
        row = {"at": datetime.now(UTC).isoformat(), "temp_c": 20.0, "rh_pct": 60.0}
        told = self.send(
            "POST",
            "/api/readings",
            {"readings": [row]},
            {"Authorization": f"Sensor {shop['sensor']}"},
        )
        self.readings += told["kept"] + told["known"] if told and "kept" in told else 0

    def look(self, shop: dict[str, str]) -> None:
        if self.send("GET", "/api/view", None, self.phone(shop)):
            self.looks += 1

    def hand(self, seed: int) -> None:
        """One pair of hands, somewhere else each time."""
        chance = random.Random(seed)
        acts = (self.start, self.start, self.read, self.read, self.read, self.check, self.look)
        while not self.over.is_set():
            try:
                chance.choice(acts)(chance.choice(self.told))
            except Exception as stumbled:  # noqa: BLE001 - whatever it was is the finding
                self.wrong.append(repr(stumbled))


@dataclass
class Server:
    """gunicorn as the unit file starts it, with fewer threads; whoever is killed comes back."""

    world: World
    port: int
    process: "subprocess.Popen[bytes] | None" = None

    def start(self) -> None:
        words = [
            "--bind",
            f"127.0.0.1:{self.port}",
            "--workers",
            "2",
            "--threads",
            "4",
            "--preload",
        ]
        log = (self.world.folder / "web.log").open("ab")
        self.process = subprocess.Popen(
            [sys.executable, "-m", "gunicorn", *words, "cureclock.runtime.wsgi:application"],
            cwd=ROOT,
            env={**self.world.env, "CURECLOCK_REQUESTS_A_MINUTE": "0"},
            stdout=log,
            stderr=log,
            start_new_session=True,
        )
        log.close()
        self.world.processes.append(self.process)

    def workers(self) -> list[int]:
        assert self.process is not None
        pid = self.process.pid
        try:
            text = Path(f"/proc/{pid}/task/{pid}/children").read_text()
        except OSError:
            return []
        return [int(one) for one in text.split()]

    def kill_one(self, chance: random.Random) -> None:
        """A worker, or now and then all of it."""
        assert self.process is not None
        if chance.random() < 0.2:
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()
            self.world.processes.remove(self.process)
            self.start()
        elif own := self.workers():
            os.kill(chance.choice(own), signal.SIGKILL)


def held_mb(pid: int) -> int:
    try:
        return int(Path(f"/proc/{pid}/statm").read_text().split()[1]) * 4096 // 2**20
    except OSError:
        return 0


def trouble(town: Town, server: Server, for_s: float, every_s: float) -> None:
    """Kill one or the other now and then; note what they hold in between."""
    chance = random.Random(1)
    until, next_kill = time.monotonic() + for_s, time.monotonic() + every_s
    minders = [town.world.start() for _ in range(2)]
    while time.monotonic() < until:
        time.sleep(0.5)
        town.memory["web"].append(max(map(held_mb, server.workers()), default=0))
        pids = [one._process.pid or 0 for one in minders]
        town.memory["remind"].append(max(map(held_mb, pids)))
        if time.monotonic() < next_kill:
            continue
        next_kill = time.monotonic() + every_s * chance.uniform(0.5, 1.5)
        if chance.random() < 0.5:
            town.kills["web"] += 1
            server.kill_one(chance)
        else:
            town.kills["remind"] += 1
            number = chance.randrange(len(minders))
            minders[number].kill()
            minders[number].wait()
            minders[number] = town.world.start()


def expected(town: Town) -> set[tuple[str, str]]:
    return {(where, topic(f"{one} clamps_off")) for one, where in town.glue_ups.items()}


def at_work(world: World, many: int, for_s: float, every_s: float) -> Town:
    address = world.oracle.address("")
    told = {"shops": many, "address": address, "keys": world.device.keys}
    server = Server(world, free_port())
    town = Town(world, server.port, world.run(shops.open_them, told))
    server.start()
    town.look(town.told[0])  # until it answers
    hands = [threading.Thread(target=town.hand, args=(number,)) for number in range(HANDS)]
    for hand in hands:
        hand.start()
    try:
        trouble(town, server, for_s, every_s)
    finally:
        town.over.set()
        for hand in hands:
            hand.join(60)
    return town


def nothing_is_lost(town: Town) -> None:
    world = town.world
    wanted, give_up = expected(town), time.monotonic() + PATIENCE_S
    while not wanted <= world.oracle.counts().keys() and time.monotonic() < give_up:
        time.sleep(0.3)
    counts = world.oracle.counts()
    with psycopg.connect(world.database_url) as records:
        kept = {str(row[0]) for row in records.execute("SELECT id FROM shop_event")}
        rows = records.execute("SELECT count(*) FROM shop_reading WHERE arrived_at > at").fetchone()
    twice = sum(count - 1 for key, count in counts.items() if key in wanted)
    sys.stdout.write(
        f"\n{len(town.events)} happenings, {town.readings} readings, {len(town.glue_ups)} glue-ups, "
        f"{town.looks} looks; {town.again} sent again; killed {town.kills}; twice {twice}; "
        f"most held {max(town.memory['web'])} and {max(town.memory['remind'])} MB\n"
    )
    assert town.wrong == [], town.wrong[0]
    assert town.events <= kept
    assert rows is not None
    assert rows[0] >= town.readings
    assert wanted - counts.keys() == set(), standing(town, wanted - counts.keys())
    assert twice <= AT_ONCE * town.kills["remind"]
    some = [one["workshop"] for one in town.told[:12]]
    assert world.run(shops.differ, some) == []


def standing(town: Town, lost: set[tuple[str, str]]) -> list[tuple[Any, ...]]:
    """How it stands, by the records, with what the phones have not been told."""
    idents = [
        one for one in town.glue_ups if (town.glue_ups[one], topic(f"{one} clamps_off")) in lost
    ]
    asked = (
        "SELECT g.state, g.reached_at, c.next_due_at, a.kind, a.due_at, d.state, d.next_try_at "
        "FROM waits_gate g JOIN waits_wait w ON g.wait_id = w.id "
        "LEFT JOIN waits_clock c ON g.act_clock_id = c.id "
        "LEFT JOIN reminders_alert a ON a.about = w.glue_up_id AND a.gate = 'clamps_off' "
        "LEFT JOIN reminders_delivery d ON d.alert_id = a.id "
        "WHERE g.kind = 'clamps_off' AND w.glue_up_id = ANY(%s)"
    )
    with psycopg.connect(town.world.database_url) as records:
        return [(len(idents), "not told"), *records.execute(asked, [idents]).fetchall()]


def flat(held: list[int]) -> bool:
    """Whether what a process holds at the end is what it held once it was warm."""
    known = [one for one in held if one]
    third = len(known) // 3
    return median(known[-third:]) <= 1.15 * median(known[third : 2 * third]) + 15


def test_a_busy_minute_under_kills_loses_nothing(world: World) -> None:
    town = at_work(world, 40, 12, 3)
    assert sum(town.kills.values()) >= 2
    assert len(town.glue_ups) >= 5
    nothing_is_lost(town)
    assert max(*town.memory["web"], *town.memory["remind"]) < 400


@pytest.mark.long
def test_half_an_hour_of_two_hundred_workshops_under_kills_loses_nothing(world: World) -> None:
    town = at_work(world, 200, LONG_S, 15)
    nothing_is_lost(town)
    for held in town.memory.values():
        assert flat(held), held
