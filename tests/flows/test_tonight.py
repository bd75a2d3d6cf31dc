"""Tonight through the API: how cold, the latest to press, what closes, what to see to."""

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.flows.before import Before, clock, hours

pytestmark = pytest.mark.django_db

NOON: dict[str, float | tuple[float, float]] = {
    "12:00": 20.0,
    "18:00": 18.0,
    "00:00": 12.0,
    "06:00": 8.0,
    "08:00": 8.0,
}


def asked(shop: Before, at: str, by: str = "") -> dict[str, Any]:
    answer = shop.phone.get(f"tonight?by={by}" if by else "tonight", at)
    assert answer.status_code == 200, answer.content
    told: dict[str, Any] = answer.json()
    return told


def press(told: dict[str, Any], material: str, place: str = "Shed") -> dict[str, Any]:
    (row,) = [
        one for one in told["press"] if (one["material"], one["place_name"]) == (material, place)
    ]
    found: dict[str, Any] = row
    return found


def gate(row: dict[str, Any], kind: str) -> dict[str, Any]:
    (found,) = [one for one in row["gates"] if one["kind"] == kind]
    told: dict[str, Any] = found
    return told


def typed() -> Before:
    shop = Before()
    shop.cast.read("Mon 12:00", 20.0, 55.0)
    shop.expect("Mon 12:00", NOON)
    return shop


@pytest.mark.parametrize(
    ("need_h", "latest"),
    [(1, "Tue 05:42"), (4, "Mon 23:47"), (6, "Mon 20:42"), (8, "Mon 18:10"), (10, "Mon 15:55")],
)
def test_the_latest_press_for_a_gate_to_be_open_at_eight(need_h: float, latest: str) -> None:
    shop = typed()
    shop.glue("Glue", light=need_h, clamps_off=0.5, heavy=12, min_c=3)
    row = press(asked(shop, "Mon 12:05", "08:00"), "Glue")
    found = gate(row, "light")
    assert found["ruled_by"] == "gate"
    assert clock(found, "latest") == pytest.approx(hours(*latest.split()), abs=2 / 60)


def test_the_cold_rules_where_it_is_stricter_than_the_gate() -> None:
    shop = typed()
    shop.glue("Film", light=4, clamps_off=0.5, min_c=10, keep_warm=2)
    row = press(asked(shop, "Mon 12:05", "08:00"), "Film")
    found = gate(row, "light")
    assert found["ruled_by"] == "cold"
    assert found["latest"] == row["latest"]
    assert clock(row, "latest") < hours("Mon", "23:47")


def glued(shop: Before, thickness_mm: float | None, at: str = "Mon 11:00") -> None:
    """Something of such wood was glued with the glue before."""
    shop.cast.piece(f"B {at}")
    tag = f"B {at}"
    more = {"label": "Glue label", "thickness_mm": thickness_mm}
    shop.cast.spread(f"G {at}", [tag], at, **more)
    shop.cast.press(f"G {at}", at)


def warmed() -> Before:
    """Twelve degrees since the morning, twenty from noon on: thick wood is still cold."""
    shop = Before()
    for at in ("Mon 00:00", "Mon 06:00", "Mon 11:59"):
        shop.cast.read(at, 12.0, 55.0)
    shop.cast.read("Mon 12:00", 20.0, 55.0)
    shop.expect("Mon 12:00", {"12:00": 20.0})
    shop.glue("Glue", light=4, clamps_off=0.5, heavy=12, min_c=3)
    return shop


def test_thick_wood_that_is_still_cold_has_to_be_pressed_sooner_and_the_line_says_for_what_wood() -> (
    None
):
    shop = warmed()
    glued(shop, None)
    by_air = press(asked(shop, "Mon 12:05", "18:00"), "Glue")
    assert by_air["wood_mm"] is None
    assert by_air["says"].endswith("(wood as warm as the air)")
    glued(shop, 75.0, "Mon 11:30")
    thick = press(asked(shop, "Mon 12:05", "18:00"), "Glue")
    assert thick["wood_mm"] == 75.0
    assert thick["says"].endswith("(wood 75 mm thick)")
    for kind in ("light", "heavy"):
        assert gate(thick, kind)["takes_h"] > gate(by_air, kind)["takes_h"] + 0.5
    assert clock(gate(thick, "light"), "latest") < clock(gate(by_air, "light"), "latest") - 0.2
    other = press(asked(shop, "Mon 12:05", "18:00"), "PVA-G")
    assert other["wood_mm"] is None


def test_what_is_glued_of_cold_thick_wood_takes_as_long_as_was_said() -> None:
    shop = warmed()
    glued(shop, 75.0)
    said = gate(press(asked(shop, "Mon 12:05", "18:00"), "Glue"), "light")["takes_h"]
    glued(shop, 75.0, "Mon 12:05")
    (group,) = [
        one
        for one in shop.phone.get("view", "Mon 12:06").json()["groups"]
        if one["name"] == "G Mon 12:05"
    ]
    (found,) = [one for one in group["gates"] if one["kind"] == "light"]
    assert clock(found["acts"], "first") == pytest.approx(hours("Mon", "12:05") + said, abs=1 / 30)


def test_wood_that_is_still_too_cold_is_asleep_though_the_air_is_warm() -> None:
    shop = warmed()
    shop.cast.material("Glue 2", "epoxy_slow", {"min_c": 15.0, "sleep_below_c": 15.0})
    for number, thickness_mm in enumerate((75.0, None)):
        tag = f"E{number}"
        shop.cast.piece(tag)
        shop.cast.spread(tag, [tag], "Mon 12:10", label="Glue 2 label", thickness_mm=thickness_mm)
        shop.cast.press(tag, "Mon 12:11")
    told = asked(shop, "Mon 12:15", "18:00")
    assert [one["name"] for one in told["groups"] if one["what"] == "sleeps"] == ["E0"]


def test_in_a_warm_box_eight_label_hours_take_six_and_a_bit() -> None:
    shop = typed()
    shop.cast.place("Warm box")
    shop.cast.read("Mon 12:00", 24.0, 40.0, place="Warm box")
    shop.expect("Mon 12:00", {"00:00": (24.0, 40.0)}, "Warm box")
    shop.glue("Glue", light=8, clamps_off=0.5, heavy=12)
    row = press(asked(shop, "Mon 12:05", "08:00"), "Glue", "Warm box")
    assert gate(row, "light")["takes_h"] == pytest.approx(6 + 4 / 60, abs=1 / 60)
    assert (row["word"], row["latest"]) == ("go", None)


def cooled(half_gap_h: float = 4.0) -> Before:
    shop = Before()
    for hour in range(10, 19):
        shop.cast.read(f"Mon {hour}:00", 18.0, 55.0)
    said = {"outside_low_c": 2.0, "half_gap_h": half_gap_h, "heater_off": True}
    shop.cast.do("air_expected", "Mon 18:00", place=shop.cast.id("Shed"), **said)
    return shop


def test_the_shed_cools_by_the_low_outside_and_halves_the_gap() -> None:
    """18 degC at 18:00, 2 outside, half-gap 4 h: 10 at 22:00, 6 at 02:00, 4 at 06:00."""
    shop = cooled()
    view = shop.phone.get("view", "Mon 18:00").json()
    air = {at[11:16]: temp for at, temp, _ in view["places"][0]["expected"]}
    found = [air[at] for at in ("22:00", "02:00", "06:00", "08:00")]
    assert found == pytest.approx([10, 6, 4, 3.4], abs=0.05)
    told = asked(shop, "Mon 18:00")
    (shed,) = told["places"]
    assert (shed["basis"], shed["unsure"]) == ("cooling", False)
    assert shed["low_c"] < 3.5
    assert clock(press(told, "PVA-G"), "latest") == pytest.approx(hours("Mon", "18:43"), abs=2 / 60)


def test_without_an_evening_temperature_it_says_unsure() -> None:
    shop = Before()
    shop.cast.place("Cupboard")
    shop.cast.read("Mon 10:00", 18.0, 55.0)
    told = asked(shop, "Mon 18:00")
    by_name = {place["name"]: place for place in told["places"]}
    assert (by_name["Shed"]["unsure"], by_name["Shed"]["basis"]) == (True, "held")
    assert (by_name["Cupboard"]["low_c"], by_name["Cupboard"]["basis"]) == (None, "none")
    keys = [one["key"] for one in told["before_you_go"]]
    assert keys.count("unsure") == 2


def test_the_last_nights_are_what_is_expected_where_nobody_typed_anything() -> None:
    shop = Before()
    for day in ("Mon", "Tue", "Wed", "Thu"):
        for hour, temp in ((0, 9.0), (4, 6.0), (8, 9.0), (12, 15.0), (16, 16.0), (20, 12.0)):
            if (day, hour) <= ("Thu", 16) or day != "Thu":
                shop.cast.read(f"{day} {hour:02d}:00", temp, 60.0)
    told = asked(shop, "Thu 20:05")
    (shed,) = told["places"]
    assert shed["basis"] == "as_before"
    assert shed["low_c"] == pytest.approx(6.0, abs=0.3)
    assert clock(shed, "low_at") == pytest.approx(hours("Fri", "04:00"), abs=0.6)


def test_what_the_night_spoils_closes_and_what_goes_into_the_box() -> None:
    shop = cooled()
    shop.cast.place("Warm box")
    shop.cast.read("Mon 17:00", 24.0, 40.0, place="Warm box")
    shop.expect("Mon 17:00", {"00:00": (24.0, 40.0)}, "Warm box")
    shop.own("Box", 300, kind="box", place=shop.cast.id("Warm box"))
    varnish = {"recoat_opens": 4, "recoat_closes": {"hours": 16, "by_wall": True}, "touch": 2}
    shop.cast.material("Varnish", "varnish_wiping", {**varnish, "wipe_off": None})
    stems(shop)
    shop.cast.piece("L-1")
    shop.cast.spread("Stack", ["L-1"], "Mon 19:00")
    shop.cast.press("Stack", "Mon 19:05")
    told = asked(shop, "Mon 19:10")
    whats = {(one["name"], one["what"]) for one in told["groups"]}
    assert ("Stack", "spoils") in whats
    assert ("Stems", "closes") in whats
    closing = next(one for one in told["groups"] if one["what"] == "closes")
    assert clock(closing) == pytest.approx(hours("Tue", "03:00"), abs=0.02)
    (goes,) = told["box"]
    assert (goes["name"], goes["to_name"], goes["free_litres"]) == ("Stack", "Warm box", 300)
    keys = [one["key"] for one in told["before_you_go"]]
    assert keys[0] == "rags"
    assert {"cold", "box", "closes", "lid"} <= set(keys)


def stems(shop: Before) -> None:
    from cureclock.actions.pieces_made import ZoneSaid

    cast = shop.cast
    cast.piece("S-1", zones=(ZoneSaid(cast.id("S-1 stem"), "stem"),))
    cast.do(
        "coat_began",
        "Mon 11:00",
        coat=cast.id("Stems"),
        name="Stems",
        label=cast.id("Varnish label"),
        place=cast.id("Shed"),
        zones=(cast.id("S-1 stem"),),
    )
    cast.do("coat_ended", "Mon 11:00", coat=cast.id("Stems"))


def test_home_and_back_are_the_workshops_own_hours() -> None:
    told = asked(cooled(), "Mon 17:00")
    assert (clock(told, "home"), clock(told, "back")) == (
        hours("Mon", "18:00"),
        hours("Tue", "08:00"),
    )
    assert clock(told, "by") == hours("Tue", "08:00")


@pytest.mark.parametrize("by", ["8", "25:00", "noon", "08:60", "08:00:00"])
def test_an_hour_that_is_none_is_refused_in_words(by: str) -> None:
    answer = Before().phone.get(f"tonight?by={by}", "Mon 18:00")
    assert answer.status_code == 422
    assert answer.json()["field"] == "by"


def test_the_number_of_queries_does_not_grow_with_what_waits() -> None:
    def queries(groups: int) -> int:
        shop = cooled()
        for number in range(groups):
            shop.cast.piece(f"R-{number}")
            shop.cast.spread(f"G{number}", [f"R-{number}"], "Mon 17:00")
            shop.cast.press(f"G{number}", "Mon 17:02")
        with CaptureQueriesContext(connection) as found:
            asked(shop, "Mon 18:05")
        return len(found)

    assert queries(2) == queries(12)
