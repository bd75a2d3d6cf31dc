"""A group in full: every figure can be redone with a pencil from what is answered."""

from datetime import datetime, timedelta
from math import log
from typing import Any

import pytest

from tests.api.door import PhoneAtDoor, paired
from tests.cast import Cast
from tests.flows.test_cold_night import pressed, read_all

pytestmark = pytest.mark.django_db


def cold_night() -> tuple[Cast, PhoneAtDoor]:
    cast = pressed()
    read_all(cast, (0, 1, 2, 3, 4))
    return cast, paired(cast)


def group(
    cast: Cast, phone: PhoneAtDoor, at: str = "Tue 10:00", name: str = "G1"
) -> dict[str, Any]:
    response = phone.get(f"groups/{cast.id(name)}", at)
    assert response.status_code == 200, response.content
    return response.json()


def sum_of(told: dict[str, Any], kind: str) -> dict[str, Any]:
    return next(one for one in told["waits"][0]["why"] if one["kind"] == kind)


def rate(temp_c: float, why: dict[str, Any]) -> float:
    """By the rule on the page."""
    rule = why["rule"]
    assert rule["kind"] == "doubling"
    return rule["q"] ** ((temp_c - rule["label_temp_c"]) / 10)


def pencil(why: dict[str, Any]) -> datetime:
    """The sum redone from the label, the legs' ends and their temperatures, and nothing else."""
    need = why["label"]["value_h"]
    for factor in why["factors"]:
        need *= factor["value"]
    banked = 0.0
    for leg in why["legs"]:
        one, two = rate(leg["temp_from"], why), rate(leg["temp_to"], why)
        mean = one if abs(one - two) < 1e-9 else (one - two) / log(one / two)
        start, end = (datetime.fromisoformat(leg[name]) for name in ("from", "to"))
        hours = (end - start) / timedelta(hours=1)
        if banked + mean * hours >= need - 1e-6:
            assert leg is why["legs"][-1]
            assert one == pytest.approx(two), "the last leg of the cold night is level"
            return start + timedelta(hours=(need - banked) / mean)
        banked += mean * hours
    raise AssertionError("the legs end before the need is met")


def test_the_cold_night_is_redone_from_the_page_to_2332() -> None:
    why = sum_of(group(*cold_night()), "spin")
    assert pencil(why).strftime("%a %H:%M") == "Tue 23:32"
    shown = datetime.fromisoformat(why["figures"]["bare"])
    assert timedelta() <= shown - pencil(why) < timedelta(minutes=1)


def test_the_legs_are_the_readings_and_bank_what_a_pencil_says() -> None:
    legs = sum_of(group(*cold_night()), "spin")["legs"]
    assert [(leg["temp_from"], leg["temp_to"]) for leg in legs] == [
        (20, 15),
        (15, 8),
        (8, 6),
        (6, 20),
        (20, 20),
    ]
    assert [leg["mark"] for leg in legs] == ["typed"] * 4 + ["assumed"]
    assert [leg["rate_mean"] for leg in legs] == pytest.approx(
        [0.8451, 0.5602, 0.4065, 0.64, 1], abs=1e-4
    )
    assert legs[3]["sum_h"] == pytest.approx(10.46, abs=0.005)
    assert legs[-1]["sum_h"] == pytest.approx(24)


@pytest.mark.parametrize("kind", ["clamps_off", "light", "heavy", "spin", "service"])
def test_every_sum_adds_up_to_its_need(kind: str) -> None:
    why = sum_of(group(*cold_night()), kind)
    assert sum(leg["banked_h"] for leg in why["legs"]) == pytest.approx(why["need_h"], abs=1e-6)
    assert why["need_h"] == why["label"]["value_h"]
    assert why["remaining_h"] == 0
    assert why["factors"] == []


def test_the_margin_stands_apart_from_the_bare_figure() -> None:
    why = sum_of(group(*cold_night()), "spin")
    assert why["margin"] == 0.2
    assert why["sure_need_h"] == pytest.approx(28.8)
    figures = why["figures"]
    assert figures["bare"] < figures["sure"]
    assert figures["check_from"] is None  # never shown for what can hurt
    assert figures["not_after"] is None


def test_the_page_says_who_read_the_label_and_from_what() -> None:
    label = sum_of(group(*cold_night()), "spin")["label"]
    assert label["read_by"] == "Owner of Slipway shed"
    assert (label["typical"], label["material"]) == (False, "PVA-G")


def test_a_figure_nobody_read_is_called_typical() -> None:
    cast = pressed()
    cast.material("Bare", "pva_interior", {})
    cast.piece("L-02")
    cast.spread("G2", ["L-02"], "Mon 16:00", label="Bare label")
    cast.press("G2", "Mon 16:05")
    why = sum_of(group(cast, paired(cast), name="G2"), "spin")
    assert (why["label"]["typical"], why["label"]["read_by"]) == (True, None)
    assert why["sure_need_h"] == pytest.approx(why["label"]["upper_h"] * 1.2)


def test_a_wait_that_was_carried_shows_the_legs_of_both_places() -> None:
    cast, phone = cold_night()
    cast.place("Box")
    cast.read("Mon 12:00", 24.0, place="Box")
    cast.do("moved_place", "Mon 20:00", place=cast.id("Box"), glue_up=cast.id("G1"))
    told = group(cast, phone)
    why = sum_of(told, "spin")
    assert [leg["place"] for leg in why["legs"]] == ["Shed", "Box"]
    assert [stay["place"]["name"] for stay in told["stays"]] == ["Shed", "Box"]
    banked = why["legs"][0]["banked_h"]
    assert banked == pytest.approx(4 * 0.8451, abs=0.001)
    assert why["legs"][1]["banked_h"] == pytest.approx(24 - banked)


def test_a_leg_that_falls_asleep_is_split_where_it_does() -> None:
    cast = Cast.open()
    cast.place()
    cast.material("Urea", "urea_powder", {})
    cast.piece("L-01")
    cast.read("Mon 15:00", 24.0)
    cast.spread("G1", ["L-01"], "Mon 15:50", label="Urea label")
    cast.press("G1", "Mon 16:00")
    cast.read("Mon 20:00", 10.0)
    cast.read("Mon 23:00", 24.0)
    legs = sum_of(group(cast, paired(cast), "Mon 23:00"), "light")["legs"]
    asleep = [leg for leg in legs if leg["rate_mean"] == 0]
    assert [leg["banked_h"] for leg in asleep] == [0.0] * len(asleep)
    assert {leg["temp_to"] for leg in asleep} | {leg["temp_from"] for leg in asleep} >= {18.0, 10.0}
    assert all(
        min(leg["temp_from"], leg["temp_to"]) >= 18 - 1e-6 for leg in legs if leg["banked_h"]
    )


def test_a_gate_out_of_reach_says_what_is_still_wanting() -> None:
    cast = Cast.open()
    cast.place()
    cast.material("Urea", "urea_powder", {})
    cast.piece("L-01")
    cast.read("Mon 15:00", 5.0)
    cast.spread("G1", ["L-01"], "Mon 15:50", label="Urea label")
    cast.press("G1", "Mon 16:00")
    why = sum_of(group(cast, paired(cast), "Mon 17:00"), "heavy")
    assert why["figures"]["bare"] is None
    assert (why["sum_h"], why["remaining_h"]) == (0, why["need_h"])


def test_any_gate_opens_its_own_sum() -> None:
    cast, phone = cold_night()
    told = group(cast, phone)
    spin = next(gate for gate in told["waits"][0]["gates"] if gate["kind"] == "spin")
    why = phone.get(f"why/{spin['why_id']}", "Tue 10:00").json()
    assert why == sum_of(told, "spin")


def test_the_strip_shows_air_nights_and_where_the_gates_lie() -> None:
    strip = group(*cold_night())["strip"]
    assert strip["from"] == "2026-02-02T15:50:00Z"
    assert ["2026-02-02T20:00:00Z", "2026-02-03T08:00:00Z"] in strip["nights"]
    temps = {row[0]: row[1] for row in strip["temps"]}
    assert temps["2026-02-03T08:00:00Z"] == 6.0
    marks = {(mark["kind"], mark["figure"]): mark["at"] for mark in strip["marks"]}
    assert marks["spin", "bare"] == "2026-02-03T23:33:00Z"
    assert ("keep_warm", "bare") not in marks


def test_of_many_waits_the_slowest_comes_first_with_every_sum() -> None:
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.read("Mon 08:00", 20.0)
    for tag in ("L-01", "L-02", "L-03"):
        cast.piece(tag)
    cast.spread("G1", ["L-01", "L-02", "L-03"], "Mon 08:10")
    for tag, at in (("L-01", "Mon 08:20"), ("L-02", "Mon 08:40"), ("L-03", "Mon 08:30")):
        cast.press("G1", at, joints=(cast.id(f"G1/{tag}"),))
    told = group(cast, paired(cast), "Mon 09:00")
    assert told["waits"][0]["piece"]["tag"] == "L-02"
    assert len(told["waits"][0]["why"]) > 3
    assert [len(wait["why"]) for wait in told["waits"][1:]] == [1, 1]
    off = next(gate for gate in told["gates"] if gate["kind"] == "clamps_off")
    assert off["acts"] == {"first": "2026-02-02T09:05:00Z", "last": "2026-02-02T09:25:00Z"}
    assert off["bare"] == "2026-02-02T09:25:00Z"
