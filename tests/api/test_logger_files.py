"""A logger's file through the API: sent, shown as it would be read, agreed to, taken in parts."""

import os
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from cureclock.api import logger_files
from cureclock.intake import logger_file
from cureclock.shop.models import LoggerFile, Reading
from tests.api.door import PhoneAtDoor, SensorAtDoor, at_the_clock, paired, sensor_in
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db

BERLIN = ZoneInfo("Europe/Berlin")


@pytest.fixture
def aside(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.setattr(logger_file, "PART_BYTES", 1000)
    monkeypatch.setattr(logger_file, "folder", lambda: tmp_path)
    return tmp_path


def shed(zone: str = "UTC") -> tuple[Cast, PhoneAtDoor, SensorAtDoor]:
    cast = Cast.open()
    cast.workshop.zone = zone
    cast.workshop.save()
    cast.place()
    return cast, paired(cast), sensor_in(cast)


def send(phone: PhoneAtDoor, sensor: SensorAtDoor, content: bytes, at: str = "Wed 00:00") -> Any:
    with at_the_clock(at):
        return phone.client.post(
            f"/api/sensors/{sensor.sensor.id}/logger-files?name=shed.csv",
            content,
            content_type="text/csv",
            headers=phone.headers(),
        )


def take(phone: PhoneAtDoor, look: Any, at: str = "Wed 00:00", **shape: Any) -> list[Any]:
    """Every answer until the file is in."""
    said = {"shape": {**look["shape"], **shape}}
    told = [phone.post(f"logger-files/{look['file']['id']}/take", at, said)]
    while told[-1].status_code == 200 and told[-1].json()["done_at"] is None:
        told.append(phone.post(f"logger-files/{look['file']['id']}/take", at, {}))
    return [one.json() for one in told]


def quarters(count: int, head: str = "time,temperature (C),rh", bad: int = -1) -> bytes:
    lines = [head]
    for number in range(count):
        at = when("Mon 00:00") + timedelta(minutes=15 * number)
        lines.append(f"{at:%Y-%m-%d %H:%M},{'--' if number == bad else 14 + number % 5 / 10},60")
    return "\n".join(lines).encode()


@pytest.mark.usefixtures("aside")
def test_a_file_is_shown_agreed_to_and_taken_in_parts_with_its_progress() -> None:
    _, phone, sensor = shed()
    answer = send(phone, sensor, quarters(120, bad=40))
    assert answer.status_code == 201, answer.content
    look = answer.json()
    assert look["columns"] == ["time", "temperature (C)", "rh"]
    assert look["why"] == {"order": "file", "fahrenheit": "file", "zone": "workshop"}
    assert (look["rows"], look["bad"], look["asked"]) == (119, 1, [])
    assert look["lines"][0] == "2026-02-02 00:00,14.0,60"
    assert look["first"][0] == {"row": 2, "at": "2026-02-02T00:00:00Z", "temp_c": 14, "rh_pct": 60}
    assert Reading.objects.count() == 0
    told = take(phone, look)
    assert len(told) > 2
    ways = [one["byte"] for one in told]
    assert ways == sorted(set(ways))
    assert ways[-1] == told[-1]["size"]
    assert (told[-1]["kept"], told[-1]["refused"]) == (119, 1)
    (fault,) = told[-1]["faults"]
    assert (fault["row"], fault["field"]) == (42, "temp")
    assert Reading.objects.count() == 119
    assert [one["id"] for one in phone.get("logger-files", "Wed 00:00").json()["files"]] == [
        look["file"]["id"]
    ]


def test_a_file_that_came_in_is_no_longer_kept_and_the_same_again_is_known(aside: Path) -> None:
    _, phone, sensor = shed()
    take(phone, send(phone, sensor, quarters(60)).json())
    assert list(aside.iterdir()) == []
    again = send(phone, sensor, quarters(60)).json()
    assert again["file"]["done_at"] is not None
    assert list(aside.iterdir()) == []
    (longer,) = take(phone, send(phone, sensor, quarters(61)).json())[-1:]
    assert (longer["kept"], longer["known"]) == (1, 60)


@pytest.mark.usefixtures("aside")
def test_a_correction_of_the_guess_is_looked_at_before_anything_counts() -> None:
    _, phone, sensor = shed()
    look = send(phone, sensor, quarters(40, head="time,warmth,damp")).json()
    said = {"shape": {**look["shape"], "fahrenheit": True, "zone": "+01:00"}}
    seen = phone.post(f"logger-files/{look['file']['id']}/look", "Wed 00:00", said).json()
    assert seen["first"][0]["temp_c"] == pytest.approx((14 - 32) / 1.8, abs=1e-3)
    assert seen["first"][0]["at"] == "2026-02-01T23:00:00Z"
    assert Reading.objects.count() == 0
    for name, wrong in (("zone", "Mars"), ("separator", "x"), ("order", "dym"), ("temp", -1)):
        said = {"shape": {**look["shape"], name: wrong}}
        answer = phone.post(f"logger-files/{look['file']['id']}/look", "Wed 00:00", said)
        assert (answer.status_code, answer.json()["field"]) == (422, name)


@pytest.mark.usefixtures("aside")
def test_a_tab_comes_back_as_it_was_told() -> None:
    _, phone, sensor = shed()
    look = send(phone, sensor, quarters(40).replace(b",", b"\t")).json()
    assert look["shape"]["separator"] == "\t"
    assert take(phone, look)[-1]["kept"] == 40


def autumn(*, order: int = 1) -> bytes:
    """A night on which the clock is put back from three to two, row by row as a logger shows it."""
    start = datetime(2026, 10, 24, 23, 0, tzinfo=ZoneInfo("UTC"))
    rows = []
    for number in range(12):
        at = (start + timedelta(minutes=30 * number)).astimezone(BERLIN)
        rows.append(f"{at:%d.%m.%Y %H:%M};{10 + number},0;60")
    return "\n".join(["Zeit;Temperatur [degC];Feuchte [%]", *rows[::order]]).encode()


@pytest.mark.usefixtures("aside")
@pytest.mark.parametrize("order", [1, -1])
def test_the_repeated_hour_is_derived_from_the_order_of_rows(order: int) -> None:
    _, phone, sensor = shed("Europe/Berlin")
    look = send(phone, sensor, autumn(order=order), "+290 00:00").json()
    assert (look["asked"], look["shape"]["repeated"]) == ([], "derived")
    assert take(phone, look, "+290 00:00")[-1]["kept"] == 12
    told = Reading.objects.order_by("at").values_list("at", "temp_c")
    start = datetime(2026, 10, 24, 23, 0, tzinfo=ZoneInfo("UTC"))
    assert list(told) == [(start + timedelta(minutes=30 * n), 10.0 + n) for n in range(12)]


@pytest.mark.usefixtures("aside")
def test_the_repeated_hour_is_asked_where_nothing_tells_it_and_never_guessed() -> None:
    _, phone, sensor = shed("Europe/Berlin")
    lines = autumn().decode().split("\n")
    once = "\n".join(lines[:3] + lines[5:6] + lines[8:]).encode()  # 02:00 stands there once
    look = send(phone, sensor, once, "+290 00:00").json()
    assert (look["asked"], look["shape"]["repeated"]) == (["repeated"], "")
    unsaid = take(phone, look, "+290 00:00")[-1]
    assert (unsaid["refused"], unsaid["faults"][0]["row"]) == (1, 4)
    assert "twice" in unsaid["faults"][0]["wrong"]
    other = send(phone, sensor, once + b"\n", "+290 00:00").json()
    said = take(phone, other, "+290 00:00", repeated="second")[-1]
    assert (said["kept"], said["refused"]) == (1, 0)
    assert Reading.objects.filter(at="2026-10-25T01:00:00Z").count() == 1


def test_what_is_no_file_of_readings_or_too_large_is_refused_in_words(
    aside: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _, phone, sensor = shed()
    for content in (b"", b"no table here", b"\x89PNG\r\n\x1a\n" + bytes(range(256))):
        answer = send(phone, sensor, content)
        assert (answer.status_code, answer.json()["key"]) == (422, "no_readings")
    monkeypatch.setattr(logger_files, "MOST_BYTES", 1000)
    monkeypatch.setattr(logger_file, "MOST_BYTES", 1000)
    answer = send(phone, sensor, quarters(100))
    assert (answer.status_code, answer.json()["key"]) == (413, "too_big")
    assert (list(aside.iterdir()), LoggerFile.objects.count()) == ([], 0)


def test_a_viewer_sends_no_file_and_a_stranger_reaches_none(aside: Path) -> None:
    cast, phone, sensor = shed()
    viewer = paired(cast, "viewer")
    assert send(viewer, sensor, quarters(9)).status_code == 403
    look = send(phone, sensor, quarters(9)).json()
    ident = look["file"]["id"]
    for what in ("take", "drop"):
        assert viewer.post(f"logger-files/{ident}/{what}", "Wed 00:00", {}).status_code == 403
    stranger = paired(Cast.open("Other yard"))
    assert send(stranger, sensor, quarters(9)).status_code == 404
    for what in ("look", "take", "drop"):
        answer = stranger.post(f"logger-files/{ident}/{what}", "Wed 00:00", {})
        assert answer.status_code == 404
    assert stranger.get("logger-files", "Wed 00:00").json()["files"] == []
    assert len(list(aside.iterdir())) == 1


def test_files_that_nobody_wants_do_not_pile_up(
    aside: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    _, phone, sensor = shed()
    monkeypatch.setattr(logger_file, "MOST_WAITING", 3)
    looks = [send(phone, sensor, quarters(count)).json() for count in (9, 10, 11)]
    refused = send(phone, sensor, quarters(12))
    assert (refused.status_code, refused.json()["field"]) == (422, "file")
    ident = looks[0]["file"]["id"]
    assert len(phone.post(f"logger-files/{ident}/drop", "Wed 00:00", {}).json()["files"]) == 2
    assert len(list(aside.iterdir())) == 2
    for path in aside.iterdir():
        os.utime(path, times=(when("Wed 00:00").timestamp(),) * 2)
    assert logger_file.tidy(when("+8 23:59")) == 0
    assert logger_file.tidy(when("+9 00:01")) == 2
    assert (list(aside.iterdir()), LoggerFile.objects.count()) == ([], 0)
    gone = phone.post(f"logger-files/{looks[1]['file']['id']}/take", "+10 00:00", {})
    assert gone.status_code == 404
