"""Readings through the door: the good ones kept, each of the others reported by its row."""

from typing import Any
from uuid import uuid4

import pytest

from cureclock.shop.models import Reading
from cureclock.waits.models import Clock
from tests.api.door import PhoneAtDoor, paired, sensor_in
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db


def shed() -> tuple[Cast, PhoneAtDoor]:
    cast = Cast.open()
    cast.place()
    return cast, paired(cast)


def row(at: str, temp_c: Any = 12.0, **more: Any) -> dict[str, Any]:
    return {"id": str(uuid4()), "at": when(at).isoformat(), "temp_c": temp_c, **more}


def test_a_sensor_sends_for_its_own_place() -> None:
    cast, _ = shed()
    sensor = sensor_in(cast)
    response = sensor.post("readings", "Mon 12:00", {"readings": [row("Mon 11:45", 12.5)]})
    assert response.json() == {"kept": 1, "known": 0, "refused": []}
    reading = Reading.objects.get()
    assert (reading.mark, reading.sensor, reading.temp_c) == (0, sensor.sensor, 12.5)


def test_a_phone_sends_what_was_read_by_hand() -> None:
    cast, phone = shed()
    body = {"place": str(cast.id("Shed")), "readings": [row("Mon 11:45", rh_pct=70.0)]}
    assert phone.post("readings", "Mon 12:00", body).json()["kept"] == 1
    assert Reading.objects.get().mark == Reading.Mark.TYPED


def test_good_rows_are_kept_and_each_bad_one_is_told_by_its_number() -> None:
    cast, _ = shed()
    rows = [
        row("Mon 10:00"),
        row("Mon 10:15", 400),
        row("Mon 10:30", rh_pct=130),
        {**row("Mon 10:45"), "at": "2026-02-02T10:45:00"},
        row("Mon 13:00"),
        "12.5",
        {**row("Mon 11:00"), "temp_f": 60},
        {"id": str(uuid4()), "at": when("Mon 11:15").isoformat()},
        row("Mon 11:30", float(11)),
    ]
    told = sensor_in(cast).post("readings", "Mon 12:00", {"readings": rows}).json()
    assert (told["kept"], told["known"]) == (2, 0)
    assert [(one["row"], one["field"]) for one in told["refused"]] == [
        (1, "temp_c"),
        (2, "rh_pct"),
        (3, "at"),
        (4, "at"),
        (5, "body"),
        (6, "temp_f"),
        (7, "temp_c"),
    ]
    assert all(one["wrong"] and one["mend"] for one in told["refused"])
    assert "400" in told["refused"][0]["wrong"]
    assert "future" in told["refused"][3]["wrong"]
    assert Reading.objects.count() == 2


def test_the_same_rows_twice_are_known() -> None:
    cast, _ = shed()
    sensor, rows = sensor_in(cast), [row("Mon 10:00"), row("Mon 10:15")]
    sensor.post("readings", "Mon 12:00", {"readings": rows})
    told = sensor.post("readings", "Mon 12:00", {"readings": rows}).json()
    assert told == {"kept": 0, "known": 2, "refused": []}


def test_a_row_whose_id_stands_for_another_reading_is_refused() -> None:
    cast, _ = shed()
    sensor, one = sensor_in(cast), row("Mon 10:00")
    sensor.post("readings", "Mon 12:00", {"readings": [one]})
    told = sensor.post("readings", "Mon 12:00", {"readings": [{**one, "temp_c": 13.0}]}).json()
    assert [fault["field"] for fault in told["refused"]] == ["id"]
    assert Reading.objects.get().temp_c == 12.0


def test_a_sensor_may_leave_ids_out_and_one_instant_is_one_reading() -> None:
    cast, _ = shed()
    sensor = sensor_in(cast)
    utc = {"at": "2026-02-02T10:00:00Z", "temp_c": 9.0}
    local = {"at": "2026-02-02T12:00:00+02:00", "temp_c": 9.0}
    assert sensor.post("readings", "Mon 12:00", {"readings": [utc]}).json()["kept"] == 1
    assert sensor.post("readings", "Mon 12:00", {"readings": [local]}).json()["known"] == 1


def test_a_phone_may_not_leave_ids_out() -> None:
    cast, phone = shed()
    rows = [{"at": "2026-02-02T10:00:00Z", "temp_c": 9.0}]
    body = {"place": str(cast.id("Shed")), "readings": rows}
    told = phone.post("readings", "Mon 12:00", body).json()
    assert [fault["field"] for fault in told["refused"]] == ["id"]


def test_a_sensors_token_opens_nothing_else() -> None:
    cast, _ = shed()
    sensor = sensor_in(cast)
    for path in ("happenings", "heartbeat", "pairing-links", "sensors"):
        assert sensor.post(path, "Mon 12:00", {}).status_code == 401


def test_a_sensor_does_not_speak_for_another_place() -> None:
    cast, _ = shed()
    cast.place("Box")
    body = {"place": str(cast.id("Box")), "readings": [row("Mon 10:00")]}
    assert sensor_in(cast).post("readings", "Mon 12:00", body).status_code == 404


def test_another_workshops_place_is_as_unknown_as_none() -> None:
    _, phone = shed()
    other = Cast.open("Other shed")
    other.place()
    rows = [row("Mon 10:00")]
    theirs = phone.post("readings", "Mon 12:00", {"place": str(other.id("Shed")), "readings": rows})
    none = phone.post("readings", "Mon 12:00", {"place": str(uuid4()), "readings": rows})
    assert theirs.status_code == none.status_code == 404
    assert theirs.json() == none.json()


def test_a_viewers_readings_are_refused() -> None:
    cast, _ = shed()
    body = {"place": str(cast.id("Shed")), "readings": [row("Mon 10:00")]}
    assert paired(cast, "viewer").post("readings", "Mon 12:00", body).status_code == 403


def test_a_hundred_rows_move_a_clock_once_and_cost_no_more_queries_than_two(
    django_assert_max_num_queries: Any,
) -> None:
    cast, _ = shed()
    cast.material()
    cast.piece("L-01")
    cast.spread("G1", ["L-01"], "Mon 00:10")
    cast.press("G1", "Mon 00:20")
    sensor = sensor_in(cast)
    rows = [
        row(f"Mon {hour:02}:{minute:02}") for hour in range(1, 11) for minute in range(0, 60, 6)
    ]
    with django_assert_max_num_queries(68):
        assert sensor.post("readings", "Mon 12:00", {"readings": rows}).json()["kept"] == 100
    assert {clock.read_at for clock in Clock.objects.all()} == {when("Mon 10:54")}


@pytest.mark.parametrize("token", ["", "x", "Sensor", "é"])
def test_a_made_up_token_is_nobody(token: str) -> None:
    cast, _ = shed()
    sensor = sensor_in(cast)
    sensor.token = token
    response = sensor.post("readings", "Mon 12:00", {"readings": []})
    assert response.status_code == 401
    assert response["WWW-Authenticate"] == "Sensor"
