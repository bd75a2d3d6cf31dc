"""What a backup and a restore cost, in time and in memory, with few readings and with a million.

Run: python3 manage.py bench tests/bench/bench_backup.py

Memory must not grow with the readings: a hundred times as many may take at most 100 MB more in
all. While a backup is made, whoever writes waits for nobody.
"""

import resource
import threading
import time
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import UUID

import pytest
from django.db import connection, connections

from cureclock.exports.archive.write import write_archive
from cureclock.intake.backup_restore import restore
from cureclock.shop.models import Place, Reading
from tests.cast import Cast, when
from tests.intake.whole_shop import NOW, forget, whole_shop

pytestmark = pytest.mark.django_db(transaction=True)
FEW, MANY = 10_000, 1_000_000
MOST_MORE_MB = 100
MINUTE = timedelta(minutes=1)


def shop_with(readings: int) -> Cast:
    """A shop read once a minute up to the Monday on which its story begins."""
    cast = whole_shop()
    place = Place.objects.get(id=cast.id("Shed"))
    for start in range(0, readings, 20_000):
        Reading.objects.bulk_create(
            Reading(
                id=UUID(int=number + 1),
                place=place,
                at=when("Mon 00:00") - MINUTE * number,
                arrived_at=when("Mon 00:00"),
                temp_c=10 + number % 97 / 10,
                rh_pct=40 + number % 41 / 2,
                mark=Reading.Mark.MEASURED,
            )
            for number in range(start, min(start + 20_000, readings))
        )
    return cast


def measured(what: Callable[[], Any]) -> tuple[Any, float, float]:
    """What came of it, how long it took [s], and the most memory the process held [MB]."""
    Path("/proc/self/clear_refs").write_text("5")  # forget the highest mark so far
    began = time.perf_counter()
    found = what()
    took_s = time.perf_counter() - began
    lines = dict(line.split(":", 1) for line in Path("/proc/self/status").read_text().splitlines())
    return found, took_s, int(lines["VmHWM"].split()[0]) / 1024


def test_memory_does_not_grow_with_the_readings(tmp_path: Path) -> None:
    found = {}
    for count in (FEW, MANY):
        cast = shop_with(count)
        path = tmp_path / f"{count}.zip"
        held_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        with path.open("wb") as out:
            _, backup_s, backup_mb = measured(
                lambda cast=cast, out=out: write_archive(cast.workshop, out, NOW)
            )
        forget(cast.workshop)
        back, restore_s, restore_mb = measured(lambda path=path: restore(path, NOW))
        size_mb = path.stat().st_size / 2**20
        print(
            f"\n{count} readings: backup {backup_s:.1f} s, {backup_mb:.0f} MB held; restore "
            f"{restore_s:.1f} s, {restore_mb:.0f} MB held; file {size_mb:.1f} MB"
            f" (before {held_mb:.0f} MB)"
        )
        assert back.rows["shop.Reading"] >= count
        found[count] = (backup_mb, restore_mb)
        forget(back.workshop)
    assert found[MANY][0] - found[FEW][0] < MOST_MORE_MB


def test_nobody_who_writes_waits_for_a_backup(tmp_path: Path) -> None:
    cast = shop_with(200_000)
    longest, stopping = [0.0], threading.Event()

    def tap() -> None:
        try:
            while not stopping.is_set():
                began = time.perf_counter()
                Place.objects.create(workshop=cast.workshop, name="x", made_at=NOW)
                longest[0] = max(longest[0], time.perf_counter() - began)
                time.sleep(0.01)
        finally:
            connections.close_all()

    before = Place.objects.filter(workshop=cast.workshop).count()
    writer = threading.Thread(target=tap)
    writer.start()
    time.sleep(0.3)
    with (tmp_path / "backup.zip").open("wb") as out:
        manifest, took_s, _ = measured(lambda: write_archive(cast.workshop, out, NOW))
    stopping.set()
    writer.join()
    places = next(one.rows for one in manifest.members if one.name == "tables/shop.Place.jsonl")
    written = Place.objects.filter(workshop=cast.workshop).count()
    print(
        f"\nbackup {took_s:.1f} s on {connection.vendor}; {written - before} taps meanwhile, "
        f"the slowest {longest[0] * 1000:.0f} ms"
    )
    assert places is not None
    assert before <= places < written
    assert longest[0] < max(took_s / 3, 1.0)
