"""A file of bad rows only, or of one good row among them: told in bounded words, time and memory."""

import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from cureclock.intake import logger_file
from cureclock.intake.logger_file import look, offer, take_part
from cureclock.intake.logger_scan import MOST_FAULTS
from cureclock.shop.models import LoggerFile, Reading, Sensor
from tests.api.door import sensor_in
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db

MOST_MB = 300.0
GROWTH = 3.0  # what a row may cost in a file twenty times as long


@pytest.fixture(autouse=True)
def aside(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.setattr(logger_file, "folder", lambda: tmp_path)
    return tmp_path


def bad_rows(count: int) -> bytes:
    """Of each kind that is met: no time, no figure, the future, the impossible, an endless one."""
    kinds = (
        "2026-02-30 10:00,12.5,60",
        "2026-01-05 10:00,--,60",
        "2036-01-05 10:00,12.5,60",
        "2026-01-05 10:00,150,60",
        "yesterday,12.5,60",
        ",,",
    )
    lines = ["time,temperature (C),rh", "2026-01-01 00:00,12.5,60"]
    lines += [kinds[number % len(kinds)] for number in range(count)]
    return "\n".join(lines).encode()


def taken(cast: Cast, sensor: Sensor, content: bytes) -> Iterator[LoggerFile]:
    file, seen = offer(cast.owner, sensor.id, "bad.csv", content, when("Wed 00:00"))
    while file.done_at is None:
        file = take_part(cast.owner, file.id, seen.shape, when("Wed 00:00"))
        yield file


def shed() -> tuple[Cast, Sensor]:
    cast = Cast.open()
    cast.place()
    return cast, sensor_in(cast).sensor


def test_of_very_many_bad_rows_the_first_are_told_one_by_one_and_the_good_one_is_kept() -> None:
    cast, sensor = shed()
    *_, file = taken(cast, sensor, bad_rows(6000))
    assert (file.kept, file.refused, len(file.faults)) == (1, 6000, MOST_FAULTS)
    assert [one["row"] for one in file.faults] == list(range(3, MOST_FAULTS + 3))
    wrongs = [one["wrong"] for one in file.faults[:6]]
    assert len(set(wrongs)) == 6
    assert "future" in wrongs[2]
    assert Reading.objects.count() == 1


def test_rows_that_go_on_without_end_are_refused_and_told_once() -> None:
    cast, sensor = shed()
    endless = bad_rows(10) + b"\n2026-01-05 10:00,12.5," + b"6" * 100_000
    *_, file = taken(cast, sensor, endless)
    assert (file.kept, file.refused) == (1, 11)
    assert "endless" in file.faults[-1]["wrong"]


def held_mb() -> float:
    lines = dict(line.split(":", 1) for line in Path("/proc/self/status").read_text().splitlines())
    return int(lines["VmHWM"].split()[0]) / 1024


@pytest.mark.long
@pytest.mark.embedded
def test_a_million_bad_rows_are_told_of_in_bounded_time_and_memory() -> None:
    cast, sensor = shed()
    cost = {}
    for many in (50_000, 1_000_000):
        content = bad_rows(many)
        Path("/proc/self/clear_refs").write_text("5")  # forget the highest mark so far
        before_mb, began = held_mb(), time.process_time()
        *_, file = taken(cast, sensor, content)
        cost[many] = (time.process_time() - began) / many
        assert (file.refused, len(file.faults)) == (many, MOST_FAULTS)
        assert held_mb() - before_mb < MOST_MB
    assert cost[1_000_000] < GROWTH * cost[50_000]


def test_a_look_by_a_shape_that_fits_nothing_tells_so() -> None:
    cast, sensor = shed()
    file, seen = offer(cast.owner, sensor.id, "bad.csv", bad_rows(20), when("Wed 00:00"))
    _, other = look(cast.owner, file.id, type(seen.shape).of({**seen.shape.plain(), "temp": 9}))
    assert (other.rows, other.bad) == (0, 21)
    assert other.faults[0].wrong == "no temperature: no such column"
