"""What taking in a year of one-minute readings costs, in time and in memory, from its file.

Run: python3 manage.py bench tests/bench/bench_import.py

525,600 rows, in a process that never holds more than 300 MB; and again, when every row is known
already. Seconds depend on the machine and on what else it does: the ratio is to a bare
`executemany` of the same rows into the same table, in the same run and in as many parts.
"""

import time
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from django.db import connection, transaction

from cureclock.intake.logger_file import offer, take_part
from cureclock.shop.models import LoggerFile, Reading, Sensor
from tests.api.door import sensor_in
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db(transaction=True)
ROWS = 525_600
MOST_MB = 300.0
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


def import_year(
    cast: Cast, sensor: Sensor, content: bytes, now: datetime
) -> tuple[LoggerFile, int]:
    """Look at it and take it in; how many parts that were."""
    file, seen = offer(cast.owner, sensor.id, "year.csv", content, now)
    if file.done_at is not None:
        file.delete()
        file, seen = offer(cast.owner, sensor.id, "year.csv", content, now)
    parts = 0
    while file.done_at is None:
        file, parts = take_part(cast.owner, file.id, seen.shape, now), parts + 1
    return file, parts


def bare_insert(parts: int) -> tuple[float, float]:
    """Take the rows out and put them back by nothing but their statement; seconds passed and used."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT * FROM shop_reading ORDER BY at")
        assert cursor.description
        names = [column[0] for column in cursor.description]
        rows = cursor.fetchall()
        cursor.execute("DELETE FROM shop_reading")
        marks = ", ".join(["%s"] * len(names))
        insert = f"INSERT INTO shop_reading ({', '.join(names)}) VALUES ({marks})"
        many = -(-len(rows) // parts)
        began_s, used_s = time.perf_counter(), time.process_time()
        for start in range(0, len(rows), many):
            with transaction.atomic():
                cursor.executemany(insert, rows[start : start + many])
    return time.perf_counter() - began_s, time.process_time() - used_s


def test_a_year_of_minutes_comes_in() -> None:
    cast = Cast.open()
    cast.place(at="Mon 00:00")
    cast.material()
    sensor: Sensor = sensor_in(cast, rhythm_s=60).sensor
    cast.piece("P")
    cast.spread("G", ["P"], "Mon 00:05")
    cast.press("G", "Mon 00:10")
    content, now = year_of_minutes(), when("Mon 12:00")
    Path("/proc/self/clear_refs").write_text("5")  # forget the highest mark so far
    told, parts = [], 1
    for turn in ("new", "known"):
        began_s, used_s = time.perf_counter(), time.process_time()
        file, parts = import_year(cast, sensor, content, now)
        told.append((turn, time.perf_counter() - began_s, time.process_time() - used_s))
        assert (file.kept + file.known, file.refused) == (ROWS, 0)
        assert (file.kept, file.known) == ((ROWS, 0) if turn == "new" else (0, ROWS))
    held = held_mb()
    assert Reading.objects.filter(sensor=sensor).count() == ROWS
    bare_s, bare_used_s = bare_insert(parts)
    for turn, took_s, used_s in told:
        print(
            f"\n{turn} on {connection.vendor}: {ROWS} rows in {parts} parts in {took_s:.1f} s "
            f"({used_s:.1f} s of a core); bare {bare_s:.1f} s ({bare_used_s:.1f} s); "
            f"ratio {took_s / bare_s:.1f} ({used_s / bare_used_s:.1f})"
        )
    print(f"at most {held:.0f} MB held, of which the file {len(content) / 2**20:.0f} MB")
    assert held < MOST_MB
