"""Sensors at the door: listed with what is wrong with them, keyed, and ruled on by a person."""

from datetime import timedelta
from typing import Any

import pytest

from cureclock.shop.models import BrokerVersion, Event
from cureclock.shop.sealing import unsealed
from tests.api.door import PhoneAtDoor, SensorAtDoor, paired, sensor_in
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db


def shed() -> tuple[Cast, PhoneAtDoor, SensorAtDoor]:
    cast = Cast.open()
    cast.place()
    return cast, paired(cast), sensor_in(cast)


def say(sensor: SensorAtDoor, first: str, *temps: float) -> Any:
    """A reading each quarter of an hour; the last one is sent as it is read."""
    times = [when(first) + timedelta(minutes=15 * number) for number in range(len(temps))]
    rows = [
        {"at": at.isoformat(), "temp_c": temp, "rh_pct": 60.0}
        for at, temp in zip(times, temps, strict=True)
    ]
    answer = sensor.post("readings", times[-1], {"readings": rows})
    assert answer.status_code == 200, answer.content
    return answer.json()


def shown(phone: PhoneAtDoor, at: str) -> Any:
    told = phone.get("sensors", at)
    assert told.status_code == 200
    (sensor,) = told.json()["sensors"]
    return sensor


def test_a_sensor_is_listed_with_its_last_word_and_its_silence() -> None:
    _, phone, sensor = shed()
    assert shown(phone, "Mon 08:00")["last"] is None
    say(sensor, "Mon 08:00", 12.0, 12.1)
    told = shown(phone, "Mon 08:30")
    assert (told["name"], told["place"]["name"]) == ("Shed sensor", "Shed")
    assert told["last"] == {
        "at": "2026-02-02T08:15:00Z",
        "temp_c": 12.1,
        "rh_pct": 60.0,
        "doubt": "",
    }
    assert (told["silent_since"], told["believed"], told["has_token"]) == (None, True, True)
    assert shown(phone, "Mon 09:00")["silent_since"] is None
    assert shown(phone, "Mon 09:01")["silent_since"] == "2026-02-02T08:15:00Z"


def test_what_is_told_of_a_sensor_is_shown_and_a_password_never() -> None:
    cast, phone, sensor = shed()
    ident = str(sensor.sensor.id)
    other = str(sensor_in(cast).sensor.id)
    taps = [
        phone.tap("sensor_offset", "Mon 08:00", sensor=ident, temp_k=-1.5),
        phone.tap("sensor_believed", "Mon 08:00", place=str(cast.id("Shed")), sensor=other),
        phone.tap(
            "sensor_topic", "Mon 08:00", sensor=ident, topic="shed/air", temp_field="air.temp"
        ),
        phone.tap("broker_told", "Mon 08:00", host="broker.lan", username="shed", password="knot"),
        phone.tap("air_expected", "Mon 08:00", place=str(cast.id("Shed")), half_gap_h=3.5),
    ]
    answers = phone.tell(*taps, at="Mon 08:01")
    assert {one["outcome"] for one in answers} == {"applied"}
    told = phone.get("sensors", "Mon 08:02").json()
    mine, theirs = sorted(told["sensors"], key=lambda one: one["id"] != ident)
    assert (mine["offset_k"], mine["believed"], theirs["believed"]) == (-1.5, False, True)
    assert (mine["topic"]["topic"], mine["topic"]["temp_field"]) == ("shed/air", "air.temp")
    assert told["broker"] | {"state": ""} == {
        "host": "broker.lan",
        "port": 1883,
        "tls": False,
        "username": "shed",
        "has_password": True,
        "state": "",
        "why": "",
        "state_at": None,
    }
    (place,) = told["places"]
    assert (place["believed"]["id"], place["half_gap_h"], place["half_gap_from"]) == (
        other,
        3.5,
        "typed",
    )
    assert b"knot" not in phone.get("sensors", "Mon 08:02").content


def test_the_records_alone_do_not_give_a_brokers_password_away(settings: Any) -> None:
    _, phone, _ = shed()
    phone.tell(
        phone.tap("broker_told", "Mon 08:00", host="broker.lan", username="shed", password="knot"),
        at="Mon 08:01",
    )
    kept = BrokerVersion.objects.get().password
    assert "knot" not in kept
    assert unsealed(kept) == "knot"
    assert "knot" not in str(Event.objects.get(kind="broker_told").body)
    settings.SECRET_KEY = "of another server " * 3
    assert unsealed(kept) is None


def test_a_new_token_shuts_the_old_one_out_and_a_lock_out_both() -> None:
    _, phone, sensor = shed()
    say(sensor, "Mon 08:00", 12.0)
    new = phone.post(f"sensors/{sensor.sensor.id}/token", "Mon 08:10", {}).json()["token"]
    row = {"readings": [{"at": "2026-02-02T08:15:00Z", "temp_c": 12.0}]}
    assert sensor.post("readings", "Mon 08:15", row).status_code == 401
    again = SensorAtDoor(sensor.sensor, new)
    assert again.post("readings", "Mon 08:15", row).json()["kept"] == 1
    told = phone.post(f"sensors/{sensor.sensor.id}/lock-out", "Mon 08:20", {}).json()
    assert told["sensors"][0]["has_token"] is False
    assert again.post("readings", "Mon 08:30", row).status_code == 401


@pytest.mark.parametrize("role", ["helper", "viewer"])
def test_only_the_owner_keys_a_sensor(role: str) -> None:
    cast, _, sensor = shed()
    phone = paired(cast, role)
    for what in ("token", "lock-out"):
        answer = phone.post(f"sensors/{sensor.sensor.id}/{what}", "Mon 08:00", {})
        assert (answer.status_code, answer.json()["key"]) == (403, "not_allowed")
    assert phone.get("sensors", "Mon 08:00").status_code == 200


def test_flagged_readings_are_shown_in_stretches_and_ruled_on_at_once() -> None:
    _, phone, sensor = shed()
    say(sensor, "Mon 06:00", 14.0, 14.1, 14.0, 14.1, 3.0, 3.1, 14.0, 14.1, 30.0, 14.1)
    low, high = (
        {key: one[key] for key in ("side", "doubt", "count", "since", "until", "lowest_c", "right")}
        for one in sorted(
            phone.get("doubted-readings", "Mon 09:00").json()["stretches"],
            key=lambda one: one["since"],
        )
    )
    assert (low["side"], low["count"], low["lowest_c"], low["right"]) == ("low", 2, 3.0, None)
    assert (low["since"], low["until"]) == ("2026-02-02T07:00:00Z", "2026-02-02T07:15:00Z")
    assert (high["side"], high["count"]) == ("high", 1)
    assert shown(phone, "Mon 09:00")["doubted"] == 3
    said = {"since": low["since"], "until": low["until"], "right": False}
    ruling = phone.tap("reading_ruled", "Mon 09:01", sensor=str(sensor.sensor.id), **said)
    assert phone.tell(ruling, at="Mon 09:01")[0]["outcome"] == "applied"
    told = phone.get("doubted-readings", "Mon 09:02").json()["stretches"]
    assert [one["right"] for one in told] == [None, False]
    assert shown(phone, "Mon 09:02")["doubted"] == 1


def test_what_a_sensor_does_wrong_is_counted_and_shown() -> None:
    _, phone, sensor = shed()
    rows = [
        {"at": f"2026-02-02T08:00:{second:02}Z", "temp_c": 12.0} for second in (0, 1, 2, 3, 11)
    ] + [
        {"at": "2026-02-02T10:00:00Z", "temp_c": 12.0},
        {"at": "2026-02-02T07:00:00Z", "temp_c": 999},
    ]
    answer = sensor.post("readings", "Mon 08:30", {"readings": rows}).json()
    assert (answer["kept"], len(answer["refused"])) == (2, 5)
    faults = {one["kind"]: one["count"] for one in shown(phone, "Mon 08:30")["faults"]}
    assert faults == {"flood": 3, "future": 1, "impossible": 1}
