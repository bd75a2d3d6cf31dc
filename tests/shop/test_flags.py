"""Flagged readings: a high one re-times nothing, a low one counts where it can hurt until ruled on.

Whatever is flagged, ruled, offset or believed, in whatever order it comes, a rebuild changes nothing.
"""

from datetime import datetime, timedelta
from random import Random
from typing import Any
from uuid import UUID, uuid4

import pytest

from cureclock.actions.readings_taken import readings_taken
from cureclock.core.lathe import Word
from cureclock.shop.models import Piece, Reading, Sensor, SensorFault
from cureclock.shop.readings import Kept, ReadingSaid
from cureclock.waits.lathe import spin_answer
from cureclock.waits.models import Gate, Suspicion
from cureclock.waits.rebuild import differences
from tests.api.door import sensor_in
from tests.cast import Cast, when
from tests.draws import drawn

pytestmark = pytest.mark.django_db


class Shed:
    """A shed with a sensor that reports every quarter of an hour, and a glue-up in it."""

    def __init__(self) -> None:
        self.cast = Cast.open()
        self.cast.place()
        self.cast.material()
        self.sensor: Sensor = sensor_in(self.cast).sensor

    def say(self, at: str | datetime, *temps: float, sensor: Sensor | None = None) -> Kept:
        """Readings a quarter of an hour apart, from a moment on, each as it comes."""
        moment = when(at) if isinstance(at, str) else at
        for number, temp_c in enumerate(temps):
            read_at = moment + timedelta(minutes=15 * number)
            said = ReadingSaid(uuid4(), read_at, temp_c, 60.0)
            who = sensor or self.sensor
            kept = readings_taken(self.cast.owner, who.place, [said], read_at, who)
        return kept

    def glue(self, at: str = "Mon 08:05") -> None:
        self.cast.piece("P")
        self.cast.spread("G", ["P"], at)
        self.cast.press("G", at)
        self.cast.do("joints_declared", at, piece=self.cast.id("P"))

    def rule(
        self, at: str, since: str, until: str, *, right: bool, ident: UUID | None = None
    ) -> Any:
        return self.cast.do(
            "reading_ruled",
            at,
            ident=ident,
            sensor=self.sensor.id,
            since=when(since),
            until=when(until),
            right=right,
        )

    def thresholds(self) -> dict[str, list[datetime | None]]:
        rows = Gate.objects.with_clocks().filter(wait__piece=self.cast.id("P"))
        return {
            gate.kind: [one.next_due_at for one in (gate.act_clock, gate.sure_clock) if one]
            for gate in rows
        }

    def right(self, at: str) -> bool:
        return differences(self.cast.workshop, when(at)) == []


def flags() -> list[str]:
    return list(Reading.objects.order_by("at").values_list("flag", flat=True))


def test_a_flagged_high_value_re_times_nothing() -> None:
    shed = Shed()
    shed.say("Mon 07:00", 14.0, 14.0, 14.0, 14.0, 14.0)
    shed.glue()
    before = shed.thresholds()
    shed.say("Mon 08:15", 31.0)
    assert flags()[-1] == "high"
    assert shed.thresholds() == before
    shed.say("Mon 08:30", 14.0, 14.1)
    assert flags()[-3:] == ["high", "", ""]
    assert shed.right("Mon 09:00")


def test_a_flagged_low_value_makes_the_forming_film_suspect_at_once_and_a_person_may_rule() -> None:
    shed = Shed()
    shed.say("Mon 07:00", 14.0, 14.0, 14.0, 14.0, 14.0)
    shed.glue()
    shed.say("Mon 08:15", 4.0)
    shed.say("Mon 08:30", 14.0)
    assert flags()[-2:] == ["low", ""]
    assert Suspicion.objects.filter(cause="cold", cleared_by=None).count() == 1
    shed.rule("Mon 08:40", "Mon 08:15", "Mon 08:15", right=False)
    assert not Suspicion.objects.filter(cause="cold", cleared_by=None).exists()
    assert shed.right("Mon 09:00")


def test_a_ruling_that_it_was_right_lets_it_count_and_taking_that_back_does_not() -> None:
    shed = Shed()
    shed.say("Mon 07:00", 14.0, 14.0, 14.0, 14.0, 14.0)
    shed.glue()
    shed.say("Mon 08:15", 26.0)
    shed.say("Mon 08:30", 14.0)
    shed.rule("Mon 08:40", "Mon 08:00", "Mon 09:00", right=True, ident=shed.cast.id("ruling"))
    reading = Reading.objects.get(temp_c=26.0)
    assert (reading.flag, reading.ruled_right) == ("high", True)
    assert shed.right("Mon 09:00")
    shed.cast.do("struck_out", "Mon 08:45", target=shed.cast.id("ruling"))
    reading.refresh_from_db()
    assert (reading.ruled_by, reading.ruled_right) == (None, None)
    assert shed.right("Mon 09:00")


def test_a_flagged_low_value_keeps_a_piece_from_the_lathe_until_ruled_wrong() -> None:
    shed = Shed()
    warm = [20.0 + quarter % 7 / 10 for quarter in range(60)]
    shed.say("Mon 07:00", *warm[:5])
    shed.glue()
    shed.say("Mon 08:15", *warm)
    shed.say("Mon 23:15", 3.0, 3.0)
    shed.say("Mon 23:45", *warm[:55])
    assert flags().count("low") == 2
    piece = Piece.objects.get(id=shed.cast.id("P"))
    assert spin_answer(piece, when("Tue 13:10")).word != Word.YES
    shed.rule("Tue 13:05", "Mon 23:00", "Tue 00:00", right=False)
    assert spin_answer(piece, when("Tue 13:10")).word == Word.YES


def test_what_a_person_reads_is_never_flagged() -> None:
    shed = Shed()
    shed.say("Mon 07:00", 14.0, 14.0, 14.0, 14.0)
    shed.cast.read("Mon 08:00", 36.0)
    assert flags()[-1] == ""


def test_a_flood_keeps_one_reading_in_ten_seconds_and_says_so_once() -> None:
    shed = Shed()
    at = when("Mon 08:00")
    said = [
        ReadingSaid(uuid4(), at + timedelta(milliseconds=number), 14.0, None)
        for number in range(3000)
    ]
    kept = readings_taken(
        shed.cast.owner, shed.sensor.place, said, at + timedelta(minutes=1), shed.sensor
    )
    assert (kept.new, len(kept.refused)) == (1, 2999)
    fault = SensorFault.objects.get(sensor=shed.sensor)
    assert (fault.kind, fault.count) == ("flood", 2999)
    assert "ten seconds" in fault.sample


def test_readings_from_the_future_are_counted_and_not_kept() -> None:
    shed = Shed()
    said = [ReadingSaid(uuid4(), when("Tue 08:00"), 14.0, None)]
    kept = readings_taken(shed.cast.owner, shed.sensor.place, said, when("Mon 08:00"), shed.sensor)
    assert (kept.new, SensorFault.objects.get().kind) == (0, "future")


def test_an_offset_moves_what_the_sensor_said_since_and_can_be_taken_back() -> None:
    shed = Shed()
    shed.say("Mon 07:00", 14.0, 14.0, 14.0, 14.0, 14.0)
    shed.glue()
    shed.say("Mon 08:15", 14.0, 14.1, 14.2)
    before = shed.thresholds()
    shed.cast.do(
        "sensor_offset", "Mon 08:00", arrived="Mon 09:00", ident=shed.cast.id("offset"),
        sensor=shed.sensor.id, temp_k=-2.0,
    )  # fmt: skip
    assert shed.thresholds()["heavy"] > before["heavy"]
    assert shed.right("Mon 09:30")
    shed.cast.do("struck_out", "Mon 09:05", target=shed.cast.id("offset"))
    assert shed.right("Mon 09:30")


def test_a_place_believes_the_sensor_it_is_told_to_and_people() -> None:
    shed = Shed()
    other: Sensor = sensor_in(shed.cast).sensor
    shed.say("Mon 07:00", 14.0, 14.0, 14.0, 14.0, 14.0)
    shed.glue()
    shed.cast.do("sensor_believed", "Mon 08:10", place=shed.cast.id("Shed"), sensor=shed.sensor.id)
    before = shed.thresholds()
    shed.say("Mon 08:15", 19.0, sensor=other)
    assert shed.thresholds() == before
    shed.say("Mon 08:20", 15.0)
    assert shed.thresholds() != before
    assert shed.right("Mon 09:00")


@pytest.mark.parametrize("seed", drawn(range(8)))
def test_whatever_is_flagged_ruled_offset_or_believed_a_rebuild_changes_nothing(seed: int) -> None:
    chance, shed = Random(seed), Shed()
    sensors = [shed.sensor, sensor_in(shed.cast).sensor]
    shed.say("Mon 06:00", 12.0, 12.2, 12.1)
    shed.glue("Mon 06:40")
    now, told = when("Mon 07:00"), []
    for step in range(40):
        now += timedelta(minutes=chance.choice([5, 15, 45]))
        late = timedelta(minutes=chance.choice([0, 0, 0, 20, 90]))
        ident, what = (
            uuid4(),
            chance.choice(["say"] * 6 + ["rule", "offset", "believe", "strike", "hand"]),
        )
        if what == "say":
            temp_c = 12 + chance.choice([0, 0.5, -0.5, 0, 12, -9, 41.6])
            said = ReadingSaid(ident, now - late, temp_c, None)
            readings_taken(shed.cast.owner, shed.sensor.place, [said], now, chance.choice(sensors))
        elif what == "rule":
            span = {"since": now - timedelta(hours=3), "until": now}
            right, sensor = chance.random() < 0.5, chance.choice(sensors).id
            shed.cast.do("reading_ruled", now, ident=ident, sensor=sensor, right=right, **span)
        elif what == "offset":
            sensor, more = chance.choice(sensors).id, chance.choice([-2.0, 1.5])
            shed.cast.do(
                "sensor_offset", now - late, arrived=now, ident=ident, sensor=sensor, temp_k=more
            )
        elif what == "believe":
            sensor = chance.choice([None, sensors[0].id])
            place = shed.cast.id("Shed")
            shed.cast.do(
                "sensor_believed", now - late, arrived=now, ident=ident, place=place, sensor=sensor
            )
        elif what == "hand":
            shed.cast.read(now - late, 10.0 + step % 5, arrived=now, ident=ident)  # type: ignore[arg-type]
        elif told:
            shed.cast.do("struck_out", now, target=chance.choice(told), reason="told wrongly")
        if what != "strike":
            told = [*told, ident] if what != "say" or Reading.objects.filter(id=ident) else told
    assert differences(shed.cast.workshop, now) == []
