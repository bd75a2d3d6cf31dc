"""A logger's file comes in part by part: it goes on where it was, and a row twice is one fact."""

from datetime import timedelta
from pathlib import Path

import pytest

from cureclock.intake import logger_file
from cureclock.intake.logger_file import offer, take_part
from cureclock.shop.models import LoggerFile, Reading, Sensor
from cureclock.waits.rebuild import differences
from tests.api.door import sensor_in
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _small_parts(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(logger_file, "PART_BYTES", 1000)
    monkeypatch.setattr(logger_file, "folder", lambda: tmp_path)


def shed() -> tuple[Cast, Sensor]:
    cast = Cast.open()
    cast.place()
    cast.material()
    sensor: Sensor = sensor_in(cast).sensor
    cast.piece("P")
    cast.spread("G", ["P"], "Mon 06:00")
    cast.press("G", "Mon 06:05")
    return cast, sensor


def quarters(count: int, bad: tuple[int, ...] = ()) -> bytes:
    lines = ["time,temperature (C),rh"]
    for number in range(count):
        at = when("Mon 00:00") + timedelta(minutes=15 * number)
        temp = "--" if number in bad else f"{14 + number % 5 / 10}"
        lines.append(f"{at:%Y-%m-%d %H:%M},{temp},60")
    return "\n".join(lines).encode()


def test_a_file_comes_in_part_by_part_and_a_rebuild_changes_nothing() -> None:
    cast, sensor = shed()
    file, seen = offer(
        cast.owner, sensor.id, "a.csv", quarters(120, bad=(3, 50)), when("Wed 00:00")
    )
    assert (seen.rows, seen.bad, seen.asked, seen.shape.step_s) == (118, 2, (), 900)
    parts = 0
    while file.done_at is None:
        file, parts = take_part(cast.owner, file.id, seen.shape, when("Wed 00:00")), parts + 1
        assert differences(cast.workshop, when("Wed 00:00")) == []
    assert (file.kept, file.refused, parts > 2) == (118, 2, True)
    assert [one["row"] for one in file.faults] == [5, 52]


def test_the_same_rows_in_another_file_are_known() -> None:
    cast, sensor = shed()
    for count, kept, known in ((40, 40, 0), (60, 20, 40)):
        file, seen = offer(cast.owner, sensor.id, "a.csv", quarters(count), when("Wed 00:00"))
        while file.done_at is None:
            file = take_part(cast.owner, file.id, seen.shape, when("Wed 00:00"))
        assert (file.kept, file.known) == (kept, known)
    assert Reading.objects.count() == 60


def test_a_file_that_was_broken_off_goes_on_where_it_was() -> None:
    cast, sensor = shed()
    file, seen = offer(cast.owner, sensor.id, "a.csv", quarters(120), when("Wed 00:00"))
    take_part(cast.owner, file.id, seen.shape, when("Wed 00:00"))
    again, _ = offer(cast.owner, sensor.id, "a.csv", quarters(120), when("Wed 01:00"))
    assert (again.id, again.kept, LoggerFile.objects.count()) == (file.id, again.row - 1, 1)
    while again.done_at is None:
        again = take_part(cast.owner, again.id, None, when("Wed 01:00"))
    assert (again.kept, again.known) == (120, 0)
