"""A real broker: heard, killed, started again; kept, repeated and garbled messages; one listener."""

import socket
import threading
import time
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.db import DatabaseError
from paho.mqtt import publish

from cureclock.exports.archive.secrets import NEVER_UNSEALED
from cureclock.intake import mqtt_heard, mqtt_listener
from cureclock.intake.mqtt_heard import Hearing
from cureclock.intake.mqtt_listener import Listener
from cureclock.runtime import listening
from cureclock.runtime.clock import SystemClock
from cureclock.shop.models import BrokerVersion, Reading, Sensor, SensorFault
from cureclock.waits.rebuild import differences
from tests.api.door import PhoneAtDoor, paired, sensor_in
from tests.cast import Cast
from tests.servers import Mosquitto

pytestmark = [pytest.mark.django_db, pytest.mark.slow]

LONGEST_S = 15.0


@pytest.fixture
def broker() -> Iterator[Mosquitto]:
    started = Mosquitto()
    yield started
    started.stop()


class Shed:
    """A shed with a sensor that is heard at a broker."""

    def __init__(self, port: int, **said: Any) -> None:
        self.cast = Cast.open()
        self.cast.place()
        self.sensor: Sensor = sensor_in(self.cast, rhythm_s=60).sensor
        self.port = port
        self.hear(**{"topic": "shed/air", "temp_field": "t", "at_field": "at"} | said)
        self.tell_broker(port)

    def hear(self, sensor: Sensor | None = None, **said: Any) -> None:
        ident = (sensor or self.sensor).id
        self.cast.do("sensor_topic", now(), sensor=ident, **said)

    def tell_broker(self, port: int, **said: Any) -> None:
        self.cast.do("broker_told", now(), host="127.0.0.1", port=port, **said)

    @property
    def told(self) -> BrokerVersion:
        return BrokerVersion.objects.filter(workshop=self.cast.workshop).order_by("since").last()

    def listener(self, name: str = "one") -> Listener:
        return Listener(self.told, SystemClock(), name)

    def say(self, *payloads: str | bytes, topic: str = "shed/air", kept: bool = False) -> None:
        sent = [(topic, payload, 1, kept) for payload in payloads]
        publish.multiple(sent, hostname="127.0.0.1", port=self.port)

    def readings(self) -> list[float]:
        return list(Reading.objects.order_by("at").values_list("temp_c", flat=True))


def now() -> datetime:
    return SystemClock().now()


def message(temp_c: float, minutes_ago: float) -> str:
    at = now() - timedelta(minutes=minutes_ago)
    return f'{{"t": {temp_c}, "at": "{at.isoformat()}"}}'


def turn_until(listener: Listener, done: Callable[[], bool]) -> None:
    """Listen until something is so."""
    give_up = time.monotonic() + LONGEST_S
    while not done():
        assert time.monotonic() < give_up, "it never came to be"
        rest_s = listener.turn()
        assert rest_s is not None
        time.sleep(min(rest_s, 0.1))


def hears(listener: Listener) -> bool:
    return listener.state == "listening"


def test_readings_are_heard_the_same_twice_is_one_and_the_broker_may_die(
    broker: Mosquitto, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(mqtt_listener, "SHORTEST_S", 0.2)
    shed = Shed(broker.port)
    listener = shed.listener()
    turn_until(listener, lambda: hears(listener))
    first = message(12.5, 5)
    shed.say(first, first, message(12.6, 4))
    turn_until(listener, lambda: shed.readings() == [12.5, 12.6])
    broker.kill()
    turn_until(listener, lambda: listener.state == "unreachable")
    shed.told.refresh_from_db()
    assert shed.told.state.startswith("unreachable ")
    broker.again()
    turn_until(listener, lambda: hears(listener))
    shed.say(message(12.7, 3), first)
    turn_until(listener, lambda: shed.readings() == [12.5, 12.6, 12.7])
    listener.stop()
    assert (shed.told.held_by, shed.told.held_until) == ("", None)
    assert not SensorFault.objects.exists()
    assert differences(shed.cast.workshop, now()) == []


def test_what_was_said_while_nobody_listened_is_heard_afterwards(broker: Mosquitto) -> None:
    shed = Shed(broker.port)
    listener = shed.listener()
    turn_until(listener, lambda: hears(listener))
    listener.stop()
    shed.say(message(12.5, 5), message(12.6, 4))
    again = shed.listener("two")
    turn_until(again, lambda: shed.readings() == [12.5, 12.6])
    again.stop()


def test_what_could_not_be_kept_is_given_again(
    broker: Mosquitto, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(mqtt_listener, "SHORTEST_S", 0.2)
    shed, keep, failed = Shed(broker.port), Hearing.take, []

    def once_full(hearing: Hearing, *said: Any) -> None:
        if not failed:
            failed.append(said)
            raise DatabaseError("the disk is full")
        keep(hearing, *said)

    monkeypatch.setattr(Hearing, "take", once_full)
    listener = shed.listener()
    turn_until(listener, lambda: hears(listener))
    shed.say(message(12.5, 5))
    turn_until(listener, lambda: shed.readings() == [12.5])
    assert len(failed) == 1
    listener.stop()


def test_a_sensor_that_makes_the_reader_stumble_keeps_no_other_from_being_heard(
    broker: Mosquitto, monkeypatch: pytest.MonkeyPatch
) -> None:
    shed = Shed(broker.port)
    other: Sensor = sensor_in(shed.cast, rhythm_s=60).sensor
    shed.hear(other, topic="shed/other", temp_field="t", at_field="at")
    keep = mqtt_heard.readings_taken

    def stumble(teller: Any, place: Any, rows: Any, at: Any, sensor: Sensor, **more: Any) -> Any:
        if sensor == shed.sensor:
            raise ZeroDivisionError
        return keep(teller, place, rows, at, sensor, **more)

    monkeypatch.setattr(mqtt_heard, "readings_taken", stumble)
    listener = shed.listener()
    turn_until(listener, lambda: hears(listener))
    shed.say(message(12.5, 5))
    shed.say(message(13.5, 5), topic="shed/other")
    turn_until(listener, lambda: shed.readings() == [13.5])
    turn_until(listener, lambda: SensorFault.objects.filter(sensor=shed.sensor).exists())
    assert hears(listener)
    listener.stop()


def test_a_kept_message_counts_where_it_says_when_and_is_passed_over_where_not(
    broker: Mosquitto,
) -> None:
    shed = Shed(broker.port)
    other: Sensor = sensor_in(shed.cast, rhythm_s=60).sensor
    shed.hear(other, topic="shed/bare")
    shed.say(message(12.5, 5), kept=True)
    shed.say("33.0", topic="shed/bare", kept=True)
    listener = shed.listener()
    turn_until(listener, lambda: shed.readings() == [12.5])
    shed.say("13.0", topic="shed/bare")
    turn_until(listener, lambda: shed.readings() == [12.5, 13.0])
    listener.stop()


def test_garbage_is_counted_explained_and_bounded_and_the_good_is_kept(broker: Mosquitto) -> None:
    shed = Shed(broker.port)
    listener = shed.listener()
    turn_until(listener, lambda: hears(listener))
    shed.say(b"\x00\xff\x00", "{", "[" * 5000, b"x" * 200_000, message(12.5, 5), message(999, 4))
    turn_until(listener, lambda: shed.readings() == [12.5])
    turn_until(listener, lambda: SensorFault.objects.filter(count=5).exists())
    fault = SensorFault.objects.get()
    assert (fault.kind, fault.sensor_id) == ("unreadable", shed.sensor.id)
    assert fault.sample.startswith("999 is no temperature")
    listener.stop()


def test_a_last_will_makes_a_sensor_silent_until_it_speaks(broker: Mosquitto) -> None:
    shed = Shed(broker.port, status_topic="shed/state", gone_word="offline")
    phone = paired(shed.cast)
    shed.cast.material()
    shed.cast.piece("P", "Mon 00:00")
    shed.cast.spread("G", ["P"], (now() - timedelta(hours=1)))
    shed.cast.press("G", now() - timedelta(minutes=55))
    listener = shed.listener()
    turn_until(listener, lambda: hears(listener))
    shed.say(message(12.5, 1))
    turn_until(listener, lambda: shed.readings() == [12.5])
    shed.say("online", topic="shed/state")
    shed.say("offline", topic="shed/state")
    turn_until(listener, lambda: gone_at(phone) is not None)
    assert "no_word" in wrongs(phone)
    shed.say(message(12.6, 0))
    turn_until(listener, lambda: len(shed.readings()) == 2)
    assert gone_at(phone) is None
    assert "no_word" not in wrongs(phone)
    listener.stop()


def wrongs(phone: PhoneAtDoor) -> list[str]:
    told = phone.get("view", now()).json()["now_list"]["wrong"]
    return [line["reason"] for line in told]


def gone_at(phone: PhoneAtDoor) -> Any:
    (sensor,) = phone.get("sensors", now()).json()["sensors"]
    return sensor["gone_at"]


def test_who_is_not_let_in_is_told_so_and_gets_in_with_the_password() -> None:
    broker = Mosquitto(password="knot")
    shed = Shed(broker.port)
    listener = shed.listener()
    turn_until(listener, lambda: listener.state == "refused")
    phone = paired(shed.cast)
    assert phone.get("sensors", now()).json()["broker"]["state"] == "refused"
    shed.tell_broker(broker.port, username="shed", password="knot")
    time.sleep(mqtt_listener.LOOK_S)
    assert listener.turn() is None  # another broker counts now
    listener.stop()
    again = shed.listener()
    turn_until(again, lambda: hears(again))
    again.stop()
    broker.stop()


def test_after_a_restore_the_broker_is_not_called_and_the_page_asks_for_the_password() -> None:
    shed = Shed(1)
    shed.tell_broker(1, username="shed", password="knot")
    BrokerVersion.objects.update(password=NEVER_UNSEALED)
    listener = shed.listener()
    listener.turn()
    broker = paired(shed.cast).get("sensors", now()).json()["broker"]
    assert (broker["state"], broker["why"]) == ("refused", mqtt_listener.PASSWORD_GONE)
    listener.stop()


def test_one_at_a_time_listens_and_another_takes_over_when_it_has_gone(broker: Mosquitto) -> None:
    shed = Shed(broker.port)
    one, two = shed.listener("one"), shed.listener("two")
    turn_until(one, lambda: hears(one))
    assert two.turn() is None
    BrokerVersion.objects.update(held_until=now() - timedelta(seconds=1))  # as if it had died
    three = shed.listener("three")
    turn_until(three, lambda: hears(three))
    assert shed.told.held_by == "three"
    three.stop()
    one.stop()


def test_a_topic_told_while_it_listens_is_heard_and_one_taken_back_is_not(
    broker: Mosquitto, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(mqtt_listener, "LOOK_S", 0.1)
    shed = Shed(broker.port)
    listener = shed.listener()
    turn_until(listener, lambda: hears(listener))
    shed.hear(topic="loft/air", temp_field="t", at_field="at")
    turn_until(listener, lambda: listener.hearing.topics == {"loft/air"})
    shed.say(message(9.0, 3))
    shed.say(message(12.5, 2), topic="loft/air")
    turn_until(listener, lambda: shed.readings() == [12.5])
    listener.stop()


def test_what_speaks_no_mqtt_is_left_alone_and_tried_ever_later(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(mqtt_listener, "SHORTEST_S", 0.2)

    def answer(door: socket.socket) -> None:
        while True:
            try:
                caller, _ = door.accept()
            except OSError:
                return
            with caller:
                caller.recv(1000)
                # A welcome, then a packet that claims to be 256 MB long.
                caller.sendall(b"\x20\x02\x00\x00\x30\xff\xff\xff\x7f" + b"x" * 100_000)
                time.sleep(0.3)

    with socket.create_server(("127.0.0.1", 0)) as door:
        threading.Thread(target=answer, args=(door,), daemon=True).start()
        shed = Shed(door.getsockname()[1])
        listener = shed.listener()
        turn_until(listener, lambda: listener.state == "lost")
        shed.told.refresh_from_db()
        assert shed.told.state == "lost what came is no MQTT"
        waits = []
        for _ in range(3):
            began = time.monotonic()
            turn_until(listener, lambda: listener.state == "connecting")
            waits.append(time.monotonic() - began)
            turn_until(listener, lambda: listener.state == "lost")
        listener.stop()
    assert waits[1] > 1.2 * waits[0]
    assert waits[2] > 1.2 * waits[1]
    assert Reading.objects.count() == 0


def test_a_shared_server_calls_no_broker_inside_a_house(
    broker: Mosquitto, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.CURECLOCK_BROKER_IN_HOUSE = False
    shed = Shed(broker.port)
    listener = shed.listener()
    turn_until(listener, lambda: listener.state == "unreachable")
    shed.told.refresh_from_db()
    assert shed.told.state == "unreachable this server calls no broker inside a house"
    listener.stop()
    monkeypatch.setattr(mqtt_listener, "leads_outside", lambda host: host == "broker.example.org")
    monkeypatch.setattr(socket, "getaddrinfo", leads_to(broker.port))
    shed.cast.do("broker_told", now(), host="broker.example.org", port=broker.port)
    fooled = shed.listener()  # the name led outside when it was looked at, and now does not
    turn_until(fooled, lambda: fooled.state == "unreachable")
    assert fooled.turn() != 0.0
    fooled.stop()


def leads_to(port: int) -> Callable[..., list[Any]]:
    return lambda *_, **__: [(socket.AF_INET, socket.SOCK_STREAM, 6, "", ("127.0.0.1", port))]


def test_a_flood_keeps_one_reading_in_ten_seconds_and_is_counted(broker: Mosquitto) -> None:
    shed = Shed(broker.port, temp_field="", at_field="")
    listener = shed.listener()
    turn_until(listener, lambda: hears(listener))
    temps = [f"{12 + number % 3 / 10}" for number in range(900)]
    flood = threading.Thread(target=shed.say, args=temps)
    began = time.monotonic()
    flood.start()
    turn_until(listener, lambda: flooded() + Reading.objects.count() == 900)
    flood.join()
    took_s = time.monotonic() - began
    assert Reading.objects.count() <= took_s / 10 + 2
    listener.stop()


def flooded() -> int:
    return sum(SensorFault.objects.filter(kind="flood").values_list("count", flat=True))


@pytest.mark.django_db(transaction=True)
def test_the_house_listens_by_itself_and_stops_when_told(
    broker: Mosquitto, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(listening, "EVERY_S", 0.05)
    shed = Shed(broker.port)
    stop = listening.start(SystemClock())
    try:
        wait_for(lambda: shed.told.state == "listening")
        shed.say(message(12.5, 5))
        wait_for(lambda: shed.readings() == [12.5])
    finally:
        stop()
    assert shed.told.held_until is None


def wait_for(done: Callable[[], bool]) -> None:
    give_up = time.monotonic() + LONGEST_S
    while not done():
        assert time.monotonic() < give_up, "it never came to be"
        time.sleep(0.05)
