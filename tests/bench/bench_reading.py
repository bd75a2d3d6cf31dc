"""What a reading costs, with few and with many gates open in its place.

Run: python3 manage.py bench tests/bench/bench_reading.py

A reading in order writes the same rows by the same statements whatever stands open, and its
time grows by less than half from 10 to 100,000 gates. The dear case, a morning's lowest that
re-ages twelve hours under 1,000 waits begun inside them, is shown by itself.
"""

import time
from collections.abc import Callable
from datetime import timedelta
from statistics import median
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from cureclock.actions.spread_began import JointSaid
from cureclock.shop.models import Joint, Piece
from cureclock.waits.models import Gate, Leg, Wait
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db
READINGS = 60


def shop_with(gates: int) -> Cast:
    """A shed read every quarter of an hour, with so many gates begun before the last reading."""
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.piece("P")
    cast.read("Mon 12:00", 18.0, 60.0)
    cast.spread("G", ["P"], "Mon 12:05")
    cast.press("G", "Mon 12:10")
    cast.read("Mon 12:15", 18.0, 60.0)
    multiply(cast, gates)
    return cast


def multiply(cast: Cast, gates: int) -> None:
    """Copy the one wait with its gates until so many gates are open."""
    own = list(Gate.objects.filter(wait__workshop=cast.workshop, state="waiting"))
    wait, leg = own[0].wait, own[0].wait.legs.get()
    copies = [Wait(**{**fields_of(wait), "id": uuid4()}) for _ in range(gates // len(own))]
    Wait.objects.bulk_create(copies, batch_size=2000)
    Leg.objects.bulk_create(
        (Leg(**{**fields_of(leg), "id": None, "wait_id": copy.id}) for copy in copies),
        batch_size=2000,
    )
    Gate.objects.bulk_create(
        (
            Gate(**{**fields_of(gate), "id": uuid4(), "wait_id": copy.id})
            for copy in copies
            for gate in own
        ),
        batch_size=2000,
    )


def fields_of(row):  # type: ignore[no-untyped-def]
    return {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}


def statements(cast: Cast, number: int) -> list[str]:
    """The statements of one reading, each with how often it is sent."""
    with CaptureQueriesContext(
        connection,
    ) as caught:
        take(cast, number)
    return [query["sql"].split(" ", 1)[0] for query in caught.captured_queries]


def take(cast: Cast, number: int) -> None:
    at = when("Mon 12:15") + timedelta(minutes=15 * (number + 1))
    cast.do("reading_taken", at, place=cast.id("Shed"), temp_c=17.0 - number % 5, rh_pct=60.0)


def milliseconds(act: Callable[[int], None], numbers: range) -> list[float]:
    taken = []
    for number in numbers:
        begun = time.perf_counter()
        act(number)
        taken.append((time.perf_counter() - begun) * 1000)
    return taken


def test_a_reading_costs_the_same_whatever_stands_open() -> None:
    told, sent = {}, {}
    for gates in (10, 1_000, 100_000):
        cast = shop_with(gates)
        take(cast, 0)
        sent[gates] = statements(cast, 1)
        told[gates] = milliseconds(lambda n: take(cast, n), range(2, READINGS))  # noqa: B023
        open_gates = Gate.objects.filter(wait__workshop=cast.workshop, wait__open=True).count()
        print(
            f"{open_gates:7d} gates open: {len(sent[gates])} statements, "
            f"{median(told[gates]):6.2f} ms a reading (lowest {min(told[gates]):.2f})"
        )
    assert sent[10] == sent[1_000] == sent[100_000]
    print(f"ratio 100,000 : 10 = {median(told[100_000]) / median(told[10]):.2f} (wanted under 1.5)")


def test_the_dear_case_a_mornings_lowest_under_a_thousand_waits() -> None:
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.read("Mon 18:00", 14.0, 60.0)
    tags = [f"P-{number}" for number in range(1000)]
    Piece.objects.bulk_create(
        Piece(id=cast.id(tag), workshop=cast.workshop, tag=tag, made_at=when("Mon 18:00"))
        for tag in tags
    )
    for group in range(10):
        name, own = f"G{group}", tags[group * 100 : group * 100 + 100]
        at = when("Mon 18:10") + timedelta(minutes=40 * group)
        joints = tuple(JointSaid(cast.id(f"j {tag}"), cast.id(tag), tag) for tag in own)
        cast.do(
            "spread_began",
            at,
            glue_up=cast.id(name),
            name=name,
            label=cast.id("PVA-G label"),
            place=cast.id("Shed"),
            joints=joints,
        )
        cast.do("pressure_on", at + timedelta(minutes=5), glue_up=cast.id(name))
    cast.read("Tue 06:00", 9.0, 70.0)
    assert Joint.objects.count() == 1000
    begun = time.perf_counter()
    cast.do("lowest_last_night", "Tue 06:05", place=cast.id("Shed"), temp_c=3.0)
    taken = time.perf_counter() - begun
    print(f"1,000 waits in 12 hours re-aged by a lowest: {taken:.2f} s (wanted under 1 s)")
