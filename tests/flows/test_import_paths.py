"""The same air by four ways in: from a sensor over HTTP, as a logger's file, from a broker, by hand.

Air: hourly, of Greensboro (TMY3 723170TYA.CSV, NREL, in pvlib's data folder). The plain run takes
one day of it by hand, three from a broker, two weeks as a file; the long one the whole year.
By hand each reading is a tap of its own, whose cost goes with the clocks that stand in the shed:
the year by hand has those of one glue, the one that feels the damp as well.
"""

import json
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import partial
from typing import Any

import pytest
from django.db.models import QuerySet
from paho.mqtt import publish

from cureclock.actions.spread_began import JointSaid
from cureclock.intake.mqtt_listener import Listener
from cureclock.runtime.clock import SystemClock
from cureclock.shop.models import BrokerVersion, Reading
from cureclock.waits.clocks import effective
from cureclock.waits.models import Clock, Gate
from cureclock.waits.rebuild import differences
from tests.api.door import PhoneAtDoor, SensorAtDoor, at_the_clock, paired, sensor_in
from tests.cast import Cast
from tests.flows.test_year_of_air import greensboro
from tests.servers import Mosquitto

pytestmark = [pytest.mark.django_db, pytest.mark.slow]

START = datetime(2025, 1, 1, tzinfo=UTC)
LAST_H = 8759
BATCH = 480
GLUES = ("PVA-G", "UF", "XL")


@dataclass(frozen=True)
class Row:
    """One hour of air."""

    at: datetime
    temp_c: float
    rh_pct: float

    def plain(self) -> dict[str, Any]:
        return {"at": self.at.isoformat(), "temp_c": self.temp_c, "rh_pct": self.rh_pct}


def year(hours: int) -> list[Row]:
    air = greensboro()
    return [
        Row(START + timedelta(hours=hour), air.temp_c[hour], air.rh_pct[hour])
        for hour in range(hours)
    ]


class Shed:
    """A shed in which something was pressed early, before any air was told of."""

    def __init__(self, rows: list[Row], name: str, glues: tuple[str, ...] = GLUES) -> None:
        self.rows, self.glues = rows, glues
        self.cast = Cast.open(name)
        self.cast.do("place_made", START, place=self.cast.id("Shed"), name="Shed")
        self.phone: PhoneAtDoor = paired(self.cast)
        self.sensor: SensorAtDoor = sensor_in(self.cast, rhythm_s=3600)
        self.cast.material()
        self.cast.material("UF", "urea_two_part_normal", {})
        self.cast.material(
            "XL",
            "pva_cross_linking",
            {"heavy": 24, "response_kind": "water_loss", "air_weight": 0.5},
        )
        self.end = rows[-1].at
        self.glue(0.02)

    def glue(self, share: float) -> None:
        for label in self.glues:
            self.glue_with(label, START + timedelta(hours=round(share * len(self.rows), 1)))

    def glue_with(self, label: str, at: datetime) -> None:
        cast, name = self.cast, f"{label} {at:%m-%d %H}"
        cast.piece(name, at=at)
        joint = JointSaid(cast.id(f"{name} joint"), cast.id(name), name)
        said = {"label": cast.id(f"{label} label"), "place": cast.id("Shed"), "joints": (joint,)}
        cast.do("spread_began", at, glue_up=cast.id(f"{name} G"), name=name, **said)
        cast.press(f"{name} G", at + timedelta(minutes=5))

    def clocks(self) -> dict[tuple[str, str], tuple[datetime, float]]:
        """When each clock was read, and how fast it goes since."""
        rows = Clock.objects.filter(workshop=self.cast.workshop)
        return {(row.response_hash, row.stance): (row.read_at, row.rate) for row in rows}

    def to_go(self) -> dict[tuple[str, str], int]:
        """Label time [us] that each gate still needs, or has to spare; an age counts from nowhere."""
        rows = Gate.objects.with_clocks().filter(wait__workshop=self.cast.workshop)
        return {
            (gate.wait.piece.tag, gate.kind): effective(
                gate.act_clock, gate.act_us, gate.placed, gate.stay_at
            )
            - gate.act_clock.age_us
            for gate in rows.select_related("wait__piece").exclude(act_clock=None)
        }


def over_http(shed: Shed) -> None:
    for start in range(0, len(shed.rows), BATCH):
        rows = shed.rows[start : start + BATCH]
        answer = shed.sensor.post("readings", shed.end, {"readings": [r.plain() for r in rows]})
        assert answer.json() == {"kept": len(rows), "known": 0, "refused": []}


def as_a_file(shed: Shed) -> None:
    lines = [
        f"{r.at:%d.%m.%Y %H:%M};{r.temp_c};{r.rh_pct}".replace(".0;", ",0;") for r in shed.rows
    ]
    lines = [line[:16] + line[16:].replace(".", ",") for line in lines]
    content = "\n".join(["Zeit (UTC+00:00);Temperatur [degC];Feuchte [%]", *lines]).encode()
    with at_the_clock(shed.end):
        look = shed.phone.client.post(
            f"/api/sensors/{shed.sensor.sensor.id}/logger-files?name=year.csv",
            content,
            content_type="text/csv",
            headers=shed.phone.headers(),
        ).json()
    assert (look["rows"], look["bad"], look["shape"]["decimal"]) == (len(shed.rows), 0, ",")
    told = {"done_at": None}
    while told["done_at"] is None:
        address = f"logger-files/{look['file']['id']}/take"
        told = shed.phone.post(address, shed.end, {"shape": look["shape"]}).json()
    assert (told["kept"], told["refused"]) == (len(shed.rows), 0)


def from_a_broker(shed: Shed) -> None:
    broker = Mosquitto()
    fields = {"temp_field": "air.t", "rh_field": "air.h", "at_field": "at"}
    shed.cast.do("sensor_topic", START, sensor=shed.sensor.sensor.id, topic="shed/air", **fields)
    shed.cast.do("broker_told", START, host="127.0.0.1", port=broker.port)
    told = BrokerVersion.objects.get(workshop=shed.cast.workshop)
    listener = Listener(told, SystemClock(), "one")
    listen(listener, lambda: listener.state == "listening")
    for start in range(0, len(shed.rows), BATCH):  # a broker keeps a thousand for us, and no more
        rows = shed.rows[start : start + BATCH]
        sent = [
            json.dumps({"air": {"t": r.temp_c, "h": r.rh_pct}, "at": r.at.isoformat()})
            for r in rows
        ]
        publish.multiple(
            [("shed/air", one, 1, False) for one in sent], hostname="127.0.0.1", port=broker.port
        )
        mine = Reading.objects.filter(place__workshop=shed.cast.workshop)
        listen(listener, partial(all_came, mine, start + len(rows)))
    listener.stop()
    broker.stop()


def all_came(rows: QuerySet[Reading], many: int) -> bool:
    return rows.count() == many


def listen(listener: Listener, done: Callable[[], bool]) -> None:
    give_up = time.monotonic() + 60
    while not done():
        assert time.monotonic() < give_up, "it never came to be"
        rest_s = listener.turn()
        assert rest_s is not None
        time.sleep(min(rest_s, 0.1))


def by_hand(shed: Shed) -> None:
    """Sent every twenty days: told a year later, each tap would count a year of expected air."""
    for start in range(0, len(shed.rows), BATCH):
        rows = shed.rows[start : start + BATCH]
        taps = [
            shed.phone.tap(
                "reading_taken",
                row.at,
                place=str(shed.cast.id("Shed")),
                temp_c=row.temp_c,
                rh_pct=row.rh_pct,
            )
            for row in rows
        ]
        answers = shed.phone.tell(*taps, at=rows[-1].at)
        assert {one["outcome"] for one in answers} == {"applied"}


WAYS: dict[str, Callable[[Shed], None]] = {
    "http": over_http,
    "file": as_a_file,
    "broker": from_a_broker,
    "hand": by_hand,
}


def told_by(way: str, rows: list[Row], glues: tuple[str, ...] = GLUES) -> tuple[Any, Any]:
    """The clocks, and what each gate still needs, after the rows came in one way; what is kept agrees with a rebuild."""
    shed = Shed(rows, way, glues)
    WAYS[way](shed)
    shed.glue(0.5)
    shed.glue(0.98)
    assert Reading.objects.filter(place__workshop=shed.cast.workshop).count() == len(rows)
    assert differences(shed.cast.workshop, shed.end) == []
    clocks = shed.clocks()
    assert len(clocks) >= 5 * len(glues)
    assert {read_at for read_at, _ in clocks.values()} == {shed.end}
    to_go = shed.to_go()
    assert min(to_go.values()) < 0 < max(to_go.values())
    return clocks, to_go


@pytest.mark.parametrize(("way", "days"), [("file", 14), ("broker", 3), ("hand", 1)])
def test_the_same_air_makes_the_same_clocks_whichever_way_it_came(way: str, days: int) -> None:
    rows = year(days * 24)
    assert told_by(way, rows) == told_by("http", rows)


@pytest.mark.long
@pytest.mark.parametrize(("way", "glues"), [("file", GLUES), ("broker", GLUES), ("hand", ("XL",))])
def test_a_year_of_air_makes_the_same_clocks_whichever_way_it_came(
    way: str, glues: tuple[str, ...]
) -> None:
    rows = year(LAST_H)
    assert told_by(way, rows, glues) == told_by("http", rows, glues)
