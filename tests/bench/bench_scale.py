"""A million open gates: what a reading and an alert cost among them.

Run: python3 manage.py bench --real tests/bench/bench_scale.py

On a PostgreSQL of its own, without syncs to disk on either side. Each figure stands beside a
reference of the same run on the same server: a bare parameterised INSERT into the same table, a
table of jobs with one due time for each wait, and Celery with an ETA for each on Redis. Smaller:
`BENCH_PLACES=1000`. The last lines are the table.
"""

import os
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import partial
from statistics import median
from typing import Any
from uuid import UUID, uuid4

import numpy as np
import psycopg
import pytest
from django.conf import settings
from django.db import connection

from cureclock.actions.readings_taken import readings_taken, readings_together
from cureclock.core.units import instant_us, moment_of
from cureclock.runtime.clock import SystemClock
from cureclock.runtime.loop import Loop
from cureclock.shop.airs import place_airs
from cureclock.shop.happening import Teller
from cureclock.shop.models import Membership, Place, Reading, Sensor
from cureclock.shop.readings import ReadingSaid, id_of
from cureclock.waits.ages import Ages
from cureclock.waits.clocks import instants
from cureclock.waits.models import Clock, Gate
from tests import scale
from tests.api.door import sensor_in
from tests.cast import PVA_G, Cast
from tests.committed import commits

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.scaled]
PLACES = int(os.environ.get("BENCH_PLACES", "100000"))
MOVED = int(os.environ.get("BENCH_MOVED", str(PLACES)))
OPEN = 10  # gates in each place
ALERTS_A_SECOND, ALERTS_S = 300, 20
SECOND = timedelta(seconds=1)


@dataclass
class Told:
    """The table, line by line, and what was wanted and missed."""

    lines: list[str] = field(default_factory=list)
    missed: list[str] = field(default_factory=list)

    def add(self, what: str, figure: str, wanted: str = "", good: bool = True) -> None:
        load = os.getloadavg()[0]
        self.lines.append(f"{what:58} {figure:>34}  {wanted:22} load {load:.1f}")
        print("\n" + self.lines[-1], end="", flush=True)
        if not good:
            self.missed.append(f"{what}: {figure}, wanted {wanted}")


@pytest.fixture(scope="module")
def told() -> Iterator[Told]:
    kept = Told()
    yield kept
    print("\n\n" + "\n".join(kept.lines))
    print("\nMissed: " + ("; ".join(kept.missed) or "nothing"))


def template(name: str = "Slipway shed") -> Cast:
    """A shop with one place, a sensor in it, and two waits with ten gates still to come, in weeks."""
    now = datetime.now(UTC).replace(microsecond=0)
    cast = Cast.open(name)
    cast.workshop.hours = {str(day): ["00:00", "23:59"] for day in range(7)}
    cast.workshop.save(update_fields=["hours"])
    long = {
        k: v * 50 if isinstance(v, float | int) and k != "min_c" else v for k, v in PVA_G.items()
    }
    began = now - timedelta(hours=3)
    cast.place(at=began)  # type: ignore[arg-type]
    cast.material(values={**long, "states_rule": True}, at=began)  # type: ignore[arg-type]
    door = sensor_in(cast, rhythm_s=60)
    cast.named["sensor"] = door.sensor.id
    read(cast.owner, sensor_of(cast), began, 20.0)
    cast.piece("P", at=began + timedelta(minutes=1))  # type: ignore[arg-type]
    cast.spread("G", ["P"], began + timedelta(minutes=2))  # type: ignore[arg-type]
    cast.press("G", began + timedelta(minutes=4))  # type: ignore[arg-type]
    cast.piece("Q", at=began + timedelta(minutes=5))  # type: ignore[arg-type]
    cast.spread("H", ["Q"], began + timedelta(minutes=5))  # type: ignore[arg-type]
    cast.press("H", began + timedelta(minutes=6))  # type: ignore[arg-type]
    read(cast.owner, sensor_of(cast), began + timedelta(minutes=8), 20.0, 8)
    past = Gate.objects.filter(wait__glue_up=cast.id("H"), state="waiting").order_by("act_us")
    many = open_gates(cast) - OPEN
    Gate.objects.filter(pk__in=list(past.values_list("pk", flat=True)[:many])).update(state="over")
    assert open_gates(cast) == OPEN
    return cast


def open_gates(cast: Cast | None = None) -> int:
    found = Gate.objects.filter(wait__open=True, state=Gate.State.WAITING)
    return (found.filter(workshop=cast.workshop) if cast else found).count()


def sensor_of(cast: Cast) -> Sensor:
    return Sensor.objects.select_related("place__workshop").get(id=cast.named["sensor"])


def read(teller: Teller, sensor: Sensor, at: datetime, temp_c: float, many: int = 1) -> None:
    """One reading, or many a minute apart, in one transaction, as they come in by the API."""
    place = sensor.place
    own = Teller(place.workshop, None, Membership.Role.HELPER)
    rows = [
        ReadingSaid(uuid4(), at + timedelta(minutes=number), temp_c + number % 3, 60.0)
        for number in range(many)
    ]
    kept = readings_taken(own, place, rows, at + timedelta(minutes=many), sensor)
    assert kept.new == many


def seconds(act: Callable[[], object]) -> float:
    began = time.perf_counter()
    act()
    return time.perf_counter() - began


def driver() -> "psycopg.Connection[Any]":
    return psycopg.connect(settings.DATABASES["default"] and _url(), autocommit=True)


def _url() -> str:
    told = connection.settings_dict
    return f"host={told['HOST']} port={told['PORT']} user={told['USER']} dbname={told['NAME']}"


def cost_of_a_reading(*casts: Cast, readings: int = 60) -> list[float]:
    """Milliseconds of one reading in order in each shop, the median of many, taken in turns: so
    that whatever else the machine does is the same for all."""
    sensors = [sensor_of(cast) for cast in casts]
    last = Reading.objects.filter(sensor__in=sensors).order_by("-at")[0].at
    taken: list[list[float]] = [[] for _ in casts]
    for number in range(readings):
        at = last + (number + 1) * timedelta(minutes=1)
        for own, cast, sensor in zip(taken, casts, sensors, strict=True):
            act = partial(read, cast.owner, sensor, at, 18.0 - number % 3)
            own.append(seconds(act) * 1000)
    return [median(own) for own in taken]


def test_a_reading_costs_the_same_with_a_thousand_gates_and_a_million(told: Told) -> None:
    few, many = template("Few"), template("Many")
    scale.waits_in_one_place(few, 1_000 // OPEN - 1)
    took = seconds(lambda: scale.waits_in_one_place(many, PLACES - 1))
    costs = cost_of_a_reading(few, many)
    for cast, cost in zip((few, many), costs, strict=True):
        told.add(f"one reading, {open_gates(cast):,} gates open in its place", f"{cost:.2f} ms")
    began = time.process_time()
    cost_of_a_reading(few, readings=30)
    told.add("  of the program's core", f"{(time.process_time() - began) / 30 * 1000:.1f} ms")
    ratio = costs[1] / costs[0]
    told.add("  ratio", f"{ratio:.2f} (made in {took:.0f} s)", "under 1.3", ratio < 1.3)
    moving_by_one_reading(many, told)


def moving_by_one_reading(cast: Cast, told: Told) -> None:
    """A colder reading moves so many waits: ours; a table of jobs; Celery with an ETA for each."""
    (ours,) = cost_of_a_reading(cast, readings=20)
    told.add(f"one reading moves {MOVED:,} waits: ours", f"{ours:.1f} ms", "")
    with driver() as bare:
        jobs = job_table(bare)
    told.add(
        f"one reading moves {MOVED:,} waits: table of jobs",
        f"{jobs * 1000:,.0f} ms",
        f"ours {jobs * 1000 / ours:,.0f} times",
    )
    celery = celery_eta()
    told.add(
        f"one reading moves {MOVED:,} waits: Celery ETA, Redis",
        f"{celery * 1000:,.0f} ms",
        f"ours {celery * 1000 / ours:,.0f} times",
    )


def job_table(bare: "psycopg.Connection[Any]") -> float:
    """One due time for each wait, indexed; each is worked out anew by the rate of the new reading."""
    bare.execute(
        "CREATE TABLE job (id int PRIMARY KEY, place int, need_s float, age_s float, due timestamptz, told bool)"
    )
    bare.execute("CREATE INDEX ON job (due) WHERE NOT told")
    bare.execute("CREATE INDEX ON job (place)")
    bare.execute(
        "INSERT INTO job SELECT n, 1, 86400 + n, 0, now() + (86400 + n) * interval '1 second', false "
        f"FROM generate_series(1, {MOVED}) n"
    )
    bare.execute("ANALYZE job")
    taken = []
    for number in range(3):
        move = (  # one statement, nothing that asks row by row
            "UPDATE job SET age_s = age_s + 60 * %(rate)s, "
            "due = now() + (need_s - age_s - 60 * %(rate)s) / %(rate)s * interval '1 second' WHERE place = 1"
        )
        rate = 0.8 - number / 10
        taken.append(seconds(lambda rate=rate, move=move: bare.execute(move, {"rate": rate})))
    bare.execute("DROP TABLE job")
    return median(taken)


def celery_eta() -> float:
    """Every task is taken back and published again with its new ETA; what workers do is not counted."""
    from celery import Celery

    app = Celery("rival", broker=settings.REDIS_URL)
    app.conf.task_ignore_result = True

    @app.task(name="rival.tell")
    def task() -> None:
        """Nothing: no worker runs it."""

    eta = datetime.now(UTC) + timedelta(days=1)
    with app.connection_for_write() as broker, app.amqp.Producer(broker) as producer:
        ids = [str(uuid4()) for _ in range(MOVED)]

        def move() -> None:
            app.control.revoke(ids, connection=broker)
            for _ in range(MOVED):
                task.apply_async(eta=eta, producer=producer)

        took = seconds(move)
        app.control.purge(connection=broker)
    return took


def test_a_hundred_thousand_places(told: Told) -> None:
    cast = template()
    took = seconds(lambda: scale.copy_places(cast, PLACES - 1))
    gates = open_gates()
    told.add(f"{gates:,} open gates, {Place.objects.count():,} places made", f"{took:.0f} s")
    sizes(told)
    ingested(told)
    alerts(told)


def sizes(told: Told) -> None:
    """What a row takes on disk with its share of the indexes."""
    for model in (Reading, Gate, Clock):
        table = model._meta.db_table
        with connection.cursor() as cursor:
            cursor.execute(f"SELECT pg_total_relation_size('{table}') / count(*) FROM {table}")
            told.add(f"bytes of a row of {table}, indexes included", f"{cursor.fetchone()[0]}")


def bare_inserts(many: int) -> float:
    """Readings a second by a bare parameterised INSERT into the same table, one by one."""
    columns = [one.column for one in Reading._meta.concrete_fields]
    names, signs = ", ".join(columns), ", ".join(["%s"] * len(columns))
    places = list(Place.objects.values_list("id", flat=True)[:many])
    own = Sensor.objects.values_list("place_id", "id").filter(place__in=places)
    sensors = dict(own)
    now = datetime.now(UTC)
    rows = []
    for number in range(many):
        place = places[number % len(places)]
        told = {
            "id": uuid4(),
            "place_id": place,
            "sensor_id": sensors[place],
            "at": now - number * SECOND,
        }
        told |= {"arrived_at": now, "temp_c": 18.0, "rh_pct": 60.0, "mark": 0, "floating": False}
        told |= {"flag": "", "doubt": ""}
        rows.append([told.get(column) for column in columns])
    with driver() as bare, bare.cursor() as cursor:
        text = f"INSERT INTO {Reading._meta.db_table} ({names}) VALUES ({signs})"
        took = seconds(lambda: [cursor.execute(text, row) for row in rows])
        cursor.execute(f"DELETE FROM {Reading._meta.db_table} WHERE arrived_at = %s", [now])
    return many / took


def ingested(told: Told) -> None:
    before = bare_inserts(5000)
    part = min(300, PLACES // 3)
    sensors = list(Sensor.objects.select_related("place__workshop").order_by("id")[: 3 * part])
    at = Reading.objects.order_by("-at")[0].at + timedelta(minutes=1)
    one = part / seconds(lambda: [read(None, s, at, 17.0) for s in sensors[:part]])  # type: ignore[func-returns-value,arg-type]
    batch = {}
    for number, size in enumerate((12, 60), start=1):
        own = sensors[number * part : (number + 1) * part]
        act = lambda: [read(None, s, at, 17.0, size) for s in own]  # type: ignore[arg-type,func-returns-value] # noqa: B023, E731
        batch[size] = size * part / seconds(act)
    bare = (before + bare_inserts(5000)) / 2
    told.add("readings a second, bare INSERT, one a statement", f"{bare:,.0f}")
    told.add(
        "  taken one by one, each moving its clocks",
        f"{one:,.0f} ({one / bare:.2f} of bare)",
        "a third",
        one * 3 > bare,
    )
    batch = {f"by {size}, as a sensor keeps them": rate for size, rate in batch.items()}
    for size, (rate, many) in together({sensor.id for sensor in sensors}, at).items():
        batch[f"by {size} of each of {many} places at once, as a broker has them"] = rate
    for how, rate in batch.items():
        told.add(
            f"  taken {how}",
            f"{rate:,.0f} ({rate / bare:.2f} of bare)",
            "a third",
            rate * 3 > bare,
        )


def together(but: set[UUID], at: datetime) -> dict[int, tuple[float, int]]:
    """Readings a second of all the sensors of a workshop in one call, and how many those are."""
    found = {}
    fresh = Sensor.objects.select_related("place__workshop").exclude(id__in=but)
    shops = fresh.values_list("place__workshop", flat=True).distinct().order_by("place__workshop")
    for size, shop in zip((1, 12, 60), shops[1:4], strict=True):
        own = list(fresh.filter(place__workshop=shop))
        teller = Teller(own[0].place.workshop, None, Membership.Role.HELPER)
        times = [at + timedelta(minutes=number) for number in range(size)]
        said = {
            one: [ReadingSaid(id_of(one.id, t), t, 17.0 + t.minute % 3, 60.0) for t in times]
            for one in own
        }
        act = partial(readings_together, teller, said, times[-1])
        took = seconds(act)
        assert Reading.objects.filter(sensor__in=own, at=times[-1]).count() == len(own)
        found[size] = (size * len(own) / took, len(own))
    return found


def alerts(told: Told) -> None:
    """Gates come due on as many clocks in as many places, 300 a second; from due to committed."""
    many = min(ALERTS_A_SECOND * ALERTS_S, PLACES // 2)
    gates = list(
        Gate.objects.filter(kind="clamps_off", state=Gate.State.WAITING)
        .select_related("act_clock__place__workshop", "wait")
        .order_by("-id")[:many]
    )
    rows = [row for gate in gates if (row := gate.act_clock)]
    ages = []
    for start in range(0, many, 100):
        some = rows[start : start + 100]
        airs = place_airs({row.place: row.read_at for row in some})
        ages += [Ages(row.read_at, row.read_at, {row.place_id: airs[row.place_id]}) for row in some]
    clocks = [own.of_row(row) for own, row in zip(ages, rows, strict=True)]
    first = datetime.now(UTC) + timedelta(seconds=8 + many / 600)  # writing them takes a while
    due, of_gates, of_rows = {}, [], []
    for number, (gate, row, clock) in enumerate(zip(gates, rows, clocks, strict=True)):
        wanted = first + SECOND * number / ALERTS_A_SECOND
        gained = clock.age_at(instant_us(wanted)) - clock.age_at(instant_us(row.read_at))
        row.next_threshold_us = row.age_us + int(gained)
        (row.next_due_at,) = (moment_of(us) for us in instants_of(row, ages[number]))
        of_gates.append((row.next_threshold_us, gate.pk))
        of_rows.append((row.next_threshold_us, row.next_due_at, row.pk))
        due[str(gate.wait.glue_up_id)] = row.next_due_at
    with connection.cursor() as cursor:
        cursor.executemany("UPDATE waits_gate SET act_us = %s WHERE id = %s", of_gates)
        sets = "next_threshold_us = %s, next_due_at = %s"
        cursor.executemany(f"UPDATE waits_clock SET {sets} WHERE id = %s", of_rows)
    assert datetime.now(UTC) < first, "the machine was too busy to write them in time"
    spread = max(due.values()) - min(due.values())
    late = np.array(list(lateness(due).values()))
    p50, p99 = np.percentile(late, 50), np.percentile(late, 99)
    told.add(
        f"alerts: {len(late):,} of {many:,} in {spread.total_seconds():.0f} s on {many:,} clocks",
        f"p50 {p50 * 1000:.0f} p99 {p99 * 1000:.0f} max {late.max() * 1000:.0f} ms",
        "p99 under 200 ms",
        p99 < 0.2 and len(late) == many,
    )


def instants_of(row: Clock, ages: Ages) -> list[int]:
    """When a clock's next threshold is expected [us]."""
    return instants(row, np.array([row.next_threshold_us]), ages).tolist()


def lateness(due: dict[str, datetime]) -> dict[str, float]:
    """By how much each was committed after it was due [s]."""
    with commits() as committed:
        stop = Loop(SystemClock(), alone=False).start()
        give_up = max(due.values()).timestamp() + 60
        while len(committed.keys() & due.keys()) < len(due) and time.time() < give_up:
            time.sleep(0.1)
        stop()
    return {one: committed[one] - at.timestamp() for one, at in due.items() if one in committed}
