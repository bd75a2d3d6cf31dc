"""What several sensors say at once is kept and judged as if each had spoken by itself."""

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from random import Random
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from cureclock.actions.readings_taken import readings_taken, readings_together
from cureclock.shop.models import Reading, Sensor
from cureclock.shop.readings import ReadingSaid, id_of
from cureclock.waits.clocks import effective
from cureclock.waits.models import Clock, Gate
from cureclock.waits.rebuild import differences
from tests.api.door import sensor_in
from tests.cast import Cast, when
from tests.draws import drawn
from tests.waits.test_in_order import glued

pytestmark = pytest.mark.django_db
MINUTE = timedelta(minutes=1)
APART = timedelta(seconds=2)  # at one instant the higher id counts, which is made up anew each time
NAMES = ("Shed", "Loft", "Cellar", "Loft")  # one place has two sensors

Said = Mapping[int, Sequence[tuple[datetime, float]]]


def heard(name: str = "Slipway shed") -> tuple[Cast, list[Sensor]]:
    """Four sensors in three places, each heard for a while."""
    cast = glued(name)
    sensors = [sensor_in(cast, place, rhythm_s=60).sensor for place in NAMES]
    times = [when("Mon 08:40") + number * MINUTE for number in range(8)]
    said = {n: [(t - n * APART, 18.0 + n / 10 + t.minute % 2) for t in times] for n in range(4)}
    take(cast, sensors, said, times[-1], True)
    return cast, sensors


def take(cast: Cast, sensors: Sequence[Sensor], said: Said, at: datetime, one_by_one: bool) -> int:
    """What they say; how many were taken together."""
    left = {
        sensors[number]: [ReadingSaid(id_of(sensors[number].id, t), t, c, 50.0) for t, c in rows]
        for number, rows in said.items()
    }
    kept: set[Any] = set() if one_by_one else readings_together(cast.owner, left, at)
    for sensor, rows in left.items():
        if sensor not in kept:
            readings_taken(cast.owner, sensor.place, rows, at, sensor, ids_of_instants=True)
    return len(kept)


def minutes(chance: Random) -> list[tuple[Said, datetime]]:
    """Handfuls of what they say: mostly one each; some many, late, twice, a leap, or too often."""
    found = []
    for number in range(9, 17):
        at = when("Mon 08:40") + number * MINUTE
        said = {}
        for sensor in range(4):
            kind = chance.choice([*["one"] * 8, "none", "many", "late", "leap", "flood"])
            level = 18.0 + sensor / 10 + at.minute % 2 + (20 if kind == "leap" else 0)
            then = at - sensor * APART
            then -= 9 * MINUTE if kind == "late" else timedelta()
            rows = [(then, level)] if kind != "none" else []
            if kind == "many":
                rows = [(then - timedelta(seconds=15 * back), level) for back in (2, 0, 1)]
            if kind == "flood":
                rows.append((then + timedelta(seconds=1), level))
            if rows:
                said[sensor] = rows
        found.append((said, at))
    return found


def kept(cast: Cast) -> list[tuple[Any, ...]]:
    rows = Reading.objects.filter(place__workshop=cast.workshop)
    return sorted(
        rows.values_list("place__name", "at", "temp_c", "rh_pct", "flag", "doubt", "arrived_at"),
        key=str,
    )


def clocks_and_gates(cast: Cast) -> tuple[list[Any], list[Any]]:
    """Where clocks stand and what is left to go on them: their ages count from nowhere."""
    clocks = [
        (row.place.name, row.response_hash, row.stance, row.read_at, row.rate, row.next_due_at)
        for row in Clock.objects.filter(workshop=cast.workshop).select_related("place")
    ]
    gates = []
    for gate in Gate.objects.with_clocks().filter(workshop=cast.workshop):
        figures = ((gate.act_clock, gate.act_us), (gate.sure_clock, gate.sure_us))
        left = [
            effective(row, us, gate.placed, gate.stay_at) - row.age_us
            for row, us in figures
            if row is not None and us is not None
        ]
        gates.append((gate.wait.piece.tag, gate.kind, gate.state, left))
    return sorted(clocks, key=str), sorted(gates, key=str)


@pytest.mark.parametrize("seed", drawn(range(6)))
def test_taken_together_or_one_by_one_the_rows_are_the_same(seed: int) -> None:
    told = minutes(Random(seed))
    (ours, sensors), (theirs, others) = heard(), heard("Another shed")
    together = sum(take(ours, sensors, said, at, False) for said, at in told)
    assert together > 8
    for said, at in told:
        take(theirs, others, said, at, True)
    assert kept(ours) == kept(theirs)
    assert clocks_and_gates(ours) == clocks_and_gates(theirs)
    assert differences(ours.workshop, when("Mon 09:10")) == []


def test_four_sensors_are_heard_by_as_many_questions_as_two() -> None:
    cast, sensors = heard()

    def asked(many: int, at: datetime) -> int:
        with CaptureQueriesContext(connection) as queries:
            assert take(cast, sensors, {n: [(at, 18.5)] for n in range(many)}, at, False) == many
        return len(queries)

    assert asked(2, when("Mon 08:49")) == asked(4, when("Mon 08:50"))


def test_a_sensor_that_was_doubted_or_struck_lately_is_judged_by_itself() -> None:
    cast, sensors = heard()
    nine, ten = when("Mon 08:49"), when("Mon 08:50")
    take(cast, sensors, {n: [(nine, 40.0 if n == 0 else 18.5)] for n in range(3)}, nine, True)
    (leap,) = Reading.objects.exclude(flag="")
    assert leap.sensor == sensors[0]
    struck = id_of(sensors[1].id, nine)
    cast.do("struck_out", nine, target=struck)
    assert take(cast, sensors, {n: [(ten, 18.5)] for n in range(3)}, ten, False) == 1
