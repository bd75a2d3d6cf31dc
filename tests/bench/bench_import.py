"""What taking in a year of one-minute readings costs, in time and in memory, from its file.

Run: python3 manage.py bench tests/bench/bench_import.py

525,600 rows under 20 s on SQLite, in a process that never holds more than 300 MB; and again,
when every row is known already.
"""

import time
from datetime import timedelta
from pathlib import Path

import pytest
from django.db import connection

from cureclock.intake.logger_file import offer, take_part
from cureclock.shop.models import Reading, Sensor
from tests.api.door import sensor_in
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db(transaction=True)
ROWS = 525_600
MOST_S, MOST_MB = 20.0, 300.0
MINUTE = timedelta(minutes=1)


def year_of_minutes() -> bytes:
    start = when("Mon 00:00") - MINUTE * ROWS
    lines = ["Date;Time;Temperature [degC];RH [%]"]
    for number in range(ROWS):
        at = start + MINUTE * number
        temp = 10 + 8 * (number % 1440) / 1440 + number % 7 / 10
        lines.append(f"{at:%d.%m.%Y;%H:%M:%S};{temp:.1f};{50 + number % 23}".replace(".0;", ",0;"))
    return "\n".join(lines).encode()


def held_mb() -> float:
    lines = dict(line.split(":", 1) for line in Path("/proc/self/status").read_text().splitlines())
    return int(lines["VmHWM"].split()[0]) / 1024


def test_a_year_of_minutes_comes_in_within_twenty_seconds() -> None:
    cast = Cast.open()
    cast.place(at="Mon 00:00")
    cast.material()
    sensor: Sensor = sensor_in(cast, rhythm_s=60).sensor
    cast.piece("P")
    cast.spread("G", ["P"], "Mon 00:05")
    cast.press("G", "Mon 00:10")
    content, now = year_of_minutes(), when("Mon 12:00")
    Path("/proc/self/clear_refs").write_text("5")  # forget the highest mark so far
    for turn in ("new", "known"):
        began = time.perf_counter()
        seen = offer(cast.owner, sensor.id, "year.csv", content, now)
        file = seen.file
        looked_s, parts = time.perf_counter() - began, 0
        if turn == "known":
            file.delete()
            seen = offer(cast.owner, sensor.id, "year.csv", content, now)
            file = seen.file
        while file.done_at is None:
            file = take_part(cast.owner, file.id, seen.shape, now)
            parts += 1
        took_s = time.perf_counter() - began
        print(
            f"\n{turn} on {connection.vendor}: {seen.rows} rows looked at in {looked_s:.1f} s, "
            f"taken in {took_s:.1f} s in {parts} parts; {file.kept} kept, {file.known} known, "
            f"{held_mb():.0f} MB held"
        )
        assert (seen.bad, file.kept + file.known, file.refused) == (0, ROWS, 0)
        assert turn == "known" or took_s < MOST_S
    assert Reading.objects.filter(sensor=sensor).count() == ROWS
    assert held_mb() < MOST_MB
