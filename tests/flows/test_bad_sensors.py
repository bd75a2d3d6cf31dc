"""Sensors that go wrong, through the API: flooding, stuck, spiking, in the other scale, ahead of time.

What is doubted and high moves no time; what is doubted and low counts for a film that is forming
and for what can hurt, until a person rules. The good readings around it are kept.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

import pytest

from cureclock.waits.rebuild import differences
from tests.api.door import PhoneAtDoor, SensorAtDoor, paired, sensor_in
from tests.cast import Cast, when

pytestmark = [pytest.mark.django_db, pytest.mark.slow]

QUARTER = timedelta(minutes=15)


class Shed:
    """A shed with a sensor, in which something is pressed at five past eight."""

    def __init__(self) -> None:
        self.cast = Cast.open()
        self.cast.place()
        self.cast.material()
        self.phone: PhoneAtDoor = paired(self.cast)
        self.sensor: SensorAtDoor = sensor_in(self.cast)
        self.say("Mon 07:00", 14.0, 14.1, 14.0, 14.1, 14.0)
        self.cast.piece("P")
        self.cast.spread("G", ["P"], "Mon 08:05")
        self.cast.press("G", "Mon 08:05")
        self.cast.do("joints_declared", "Mon 08:06", piece=self.cast.id("P"))

    def say(self, first: str, *temps: float) -> Any:
        """A reading each quarter of an hour, sent when the last is read."""
        rows = [
            {"at": (when(first) + QUARTER * number).isoformat(), "temp_c": temp, "rh_pct": 60.0}
            for number, temp in enumerate(temps)
        ]
        return self.send(rows, when(first) + QUARTER * (len(rows) - 1))

    def send(self, rows: Sequence[dict[str, Any]], at: datetime) -> Any:
        answer = self.sensor.post("readings", at, {"readings": rows})
        assert answer.status_code == 200, answer.content
        return answer.json()

    def gates(self, at: str) -> dict[str, Any]:
        """When each gate acts, as the phone is told."""
        told = self.phone.get(f"groups/{self.cast.id('G')}", at).json()
        return {gate["kind"]: gate["acts"] for gate in told["gates"]}

    def wrong(self, at: str) -> list[str]:
        lines = self.phone.get("view", at).json()["now_list"]["wrong"]
        return [line["reason"] for line in lines]

    def spin(self, at: str) -> tuple[str, set[str]]:
        told = self.phone.get(f"pieces/{self.cast.id('P')}/may?act=spin", at).json()
        return told["word"], {reason["key"] for reason in told["reasons"]}

    def doubted(self, at: str) -> list[tuple[str, str, int]]:
        told = self.phone.get("doubted-readings", at).json()["stretches"]
        return [(one["side"], one["doubt"], one["count"]) for one in told]

    def faults(self, at: str) -> dict[str, int]:
        (sensor,) = self.phone.get("sensors", at).json()["sensors"]
        return {one["kind"]: one["count"] for one in sensor["faults"]}

    def rule(self, at: str, *, right: bool) -> None:
        (one,) = self.phone.get("doubted-readings", at).json()["stretches"]
        said = {"sensor": one["sensor"]["id"], "since": one["since"], "until": one["until"]}
        tap = self.phone.tap("reading_ruled", at, right=right, **said)
        assert self.phone.tell(tap, at=at)[0]["outcome"] == "applied"

    def is_right(self, at: str) -> bool:
        return differences(self.cast.workshop, when(at)) == []


@pytest.mark.parametrize(("said", "doubt"), [(31.0, "leap"), (57.4, "fahrenheit"), (70.0, "leap")])
def test_a_doubted_high_value_moves_no_time(said: float, doubt: str) -> None:
    shed = Shed()
    shed.say("Mon 08:15", 14.1)
    calm = shed.gates("Mon 08:31")
    shed.say("Mon 08:30", said)
    assert shed.doubted("Mon 08:31") == [("high", doubt, 1)]
    assert shed.gates("Mon 08:31") == calm
    assert shed.is_right("Mon 08:31")


def test_degrees_in_the_other_scale_move_no_time_for_as_long_as_they_last() -> None:
    shed = Shed()
    shed.say("Mon 08:15", 14.1)
    calm = shed.gates("Mon 12:00")
    shed.say("Mon 08:30", *[57.2 + step % 3 / 5 for step in range(14)])
    assert shed.doubted("Mon 12:00") == [("high", "fahrenheit", 14)]
    assert shed.gates("Mon 12:00") == calm
    assert shed.is_right("Mon 12:00")


def test_a_doubted_low_value_makes_a_forming_film_suspect_until_somebody_rules() -> None:
    shed = Shed()
    shed.say("Mon 08:15", 14.1)
    assert "suspect_cold" not in shed.wrong("Mon 08:31")
    shed.say("Mon 08:30", 4.0)
    shed.say("Mon 08:45", 14.1)
    assert shed.doubted("Mon 08:46") == [("low", "leap", 1)]
    assert "suspect_cold" in shed.wrong("Mon 08:46")
    shed.rule("Mon 08:50", right=False)
    assert "suspect_cold" not in shed.wrong("Mon 08:51")
    assert shed.is_right("Mon 08:51")


def test_a_doubted_low_value_keeps_the_lathe_answer_from_yes_until_somebody_rules() -> None:
    shed = Shed()
    shed.say("Mon 08:15", *[20.0 + step % 7 / 10 for step in range(60)])
    shed.say("Mon 23:15", 3.0, 3.0)
    shed.say("Mon 23:45", *[20.0 + step % 7 / 10 for step in range(54)])
    word, reasons = shed.spin("Tue 13:10")
    assert word != "yes"
    assert "flagged_low" in reasons
    shed.rule("Tue 13:11", right=False)
    word, reasons = shed.spin("Tue 13:12")
    assert (word, "flagged_low" in reasons) == ("yes", False)


def test_a_stuck_sensor_is_doubted_after_two_days_and_before_them_counts() -> None:
    shed = Shed()
    shed.say("Mon 08:15", *[14.2] * 250)
    (stuck,) = shed.doubted("+3 00:00")
    assert stuck[1] == "stuck"
    assert 50 < stuck[2] < 70
    assert shed.is_right("+3 00:00")


def test_a_flood_keeps_one_reading_in_ten_seconds_and_is_told_in_one_line() -> None:
    shed = Shed()
    start = when("Mon 08:15")
    rows = [
        {"at": (start + timedelta(milliseconds=number)).isoformat(), "temp_c": 14.0}
        for number in range(5000)
    ]
    answers = [shed.send(rows[part : part + 2500], start + QUARTER) for part in (0, 2500)]
    assert [one["kept"] for one in answers] == [1, 0]
    assert shed.faults("Mon 08:31") == {"flood": 4999}
    assert shed.is_right("Mon 08:31")


def test_readings_from_the_future_and_impossible_ones_are_told_and_the_good_is_kept() -> None:
    shed = Shed()
    rows = [
        {"at": when("Mon 08:15").isoformat(), "temp_c": 14.2},
        {"at": when("Tue 08:15").isoformat(), "temp_c": 14.2},
        {"at": when("Mon 08:30").isoformat(), "temp_c": 400.0},
        {"at": when("Mon 08:30").isoformat(), "temp_c": 14.3},
    ]
    told = shed.send(rows, when("Mon 08:31"))
    assert (told["kept"], [one["row"] for one in told["refused"]]) == (2, [1, 2])
    assert all(one["wrong"] and one["mend"] for one in told["refused"])
    assert shed.faults("Mon 08:31") == {"future": 1, "impossible": 1}


def test_the_half_gap_time_is_learned_from_nights_with_the_heater_off_and_typing_wins() -> None:
    shed = Shed()
    place = str(shed.cast.id("Shed"))
    for day in range(4):
        off = f"+{day + 1} 18:00"
        tap = shed.phone.tap("air_expected", off, place=place, outside_low_c=2.0, heater_off=True)
        shed.phone.tell(tap, at=off)
        shed.say(off, *[2 + 16 * 0.5 ** (quarter / 4 / 3) for quarter in range(40)])
        on = shed.phone.tap("air_expected", f"+{day + 2} 07:00", place=place, heater_off=False)
        shed.phone.tell(on, at=f"+{day + 2} 07:00")
    (told,) = shed.phone.get("sensors", "+5 08:00").json()["places"]
    assert told["half_gap_from"] == "learned"
    assert told["nights"] == 3  # the fourth had no evening after it to say it
    assert told["half_gap_h"] == pytest.approx(3.0, rel=0.05)
    typed = shed.phone.tap("air_expected", "+5 08:00", place=place, half_gap_h=5.0)
    shed.phone.tell(typed, at="+5 08:00")
    (told,) = shed.phone.get("sensors", "+5 08:01").json()["places"]
    assert (told["half_gap_h"], told["half_gap_from"]) == (5.0, "typed")
    assert shed.is_right("+5 08:01")
