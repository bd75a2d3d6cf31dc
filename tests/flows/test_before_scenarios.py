"""A day in the shop, asked through the API: the act, what is to blame, and the moment."""

import re
from typing import Any

import pytest

from tests.flows.before import Before, clock, hours, line

pytestmark = pytest.mark.django_db

STACKS = {"spread_s": 25, "place_s": 15, "tighten_s": 20, "clamps_each": 1}


def test_a_cold_morning_says_when_the_wood_is_warm_and_that_nothing_is_glued_before() -> None:
    """After a night at 5 degC the heater comes on at eight: 75 mm blanks are not warm with the air."""
    shop = Before()
    for hour, temp in ((0, 6.0), (4, 5.0), (7, 5.0), (8, 5.0)):
        shop.cast.read(f"Tue {hour:02d}:00", temp, 70.0)
    shop.expect("Tue 08:00", {"08:00": 5.0, "08:30": 18.0, "20:00": 18.0})
    label = shop.glue("Glue", min_c=13)
    told = shop.glue_up("Tue 08:05", label=label, wood={"thickness_mm": 75})
    warm = line(told, "warm")
    assert told["word"] == "not_now"
    assert warm["word"] == "not_now"
    assert hours("Tue", "09:00") < clock(warm) < hours("Tue", "12:00")
    thin = line(shop.glue_up("Tue 08:05", label=label, wood={"thickness_mm": 10}), "warm")
    assert clock(thin) < clock(warm)


def test_the_last_glue_up_of_the_day_is_too_late_on_the_bench_and_not_in_the_box() -> None:
    shop = Before()
    shop.cast.place("Warm box")
    shop.cast.read("Mon 16:30", 13.0, 60.0)
    shop.expect("Mon 16:30", {"16:30": 13.0, "18:30": 9.0, "23:30": 4.0, "08:00": 4.0})
    shop.cast.read("Mon 16:30", 24.0, 40.0, place="Warm box")
    shop.expect("Mon 16:30", {"00:00": (24.0, 40.0)}, "Warm box")
    told = shop.glue_up("Mon 16:50", hands=STACKS, count=8)
    assert (told["word"], told["blame"]) == ("not_now", "night")
    (box,) = [one for one in told["instead"] if one["name"] == "Warm box"]
    assert (box["word"], box["latest"]) == ("go", None)
    assert "any time tonight" in box["says"]
    there = shop.glue_up("Mon 16:50", place=str(shop.cast.id("Warm box")), count=8, hands=STACKS)
    assert line(there, "night")["word"] == "go"
    assert {"clamps_off", "heavy"} <= {one["kind"] for one in there["gates"]}


def test_fourteen_bands_and_sixteen_rings_are_two_loads_and_off_frees_them_all() -> None:
    shop = Before()
    shop.cast.read("Tue 08:00", 20.0, 55.0)
    bands = shop.own("Bands", 14, kind="band")
    ring = {"kind": "ring", "segments": 10, "outside_mm": 172, "inside_mm": 110, "thickness_mm": 26}
    asked: dict[str, Any] = {"shape": ring, "hands": {**STACKS, "one_by_one": True}}
    too_many = shop.glue_up("Tue 08:50", count=16, **asked)
    assert (line(too_many, "clamps")["word"], too_many["blame"]) == ("not_now", "clamps")
    first = shop.glue_up("Tue 08:50", count=14, **asked)
    assert line(first, "clamps")["word"] == "go"
    assert line(first, "open_time")["values"]["oldest_s"] == 60
    tags = [f"R-{number:02d}" for number in range(1, 15)]
    shop.held("Load 1", tags, "Tue 09:30", Bands=14)
    assert _free(shop, bands, "Tue 09:31") == 0
    shop.cast.do("clamps_off", "Tue 10:40", glue_up=shop.cast.id("Load 1"))
    assert _free(shop, bands, "Tue 10:41") == 14


def _free(shop: Before, thing: str, at: str) -> int:
    lines = shop.phone.get("ledger", at).json()["lines"]
    return int(next(one["free"] for one in lines if one["thing"] == thing))


def test_a_window_that_closes_in_the_night_is_said_before_home() -> None:
    """Ended 11:00, closes 03:00, home at 18:00: recoat now, or scuff tomorrow."""
    from tests.flows.test_tonight import stems

    shop = Before()
    shop.cast.read("Mon 10:00", 18.0, 55.0)
    values = {"recoat_opens": 4, "recoat_closes": {"hours": 16, "by_wall": True}, "wipe_off": None}
    shop.cast.material("Varnish", "varnish_wiping", values)
    stems(shop)
    told = shop.phone.get("tonight", "Mon 16:45").json()
    (closing,) = [one for one in told["groups"] if one["what"] == "closes"]
    assert closing["gate"] == "recoat_closes"
    assert clock(closing) == pytest.approx(hours("Tue", "03:00"), abs=0.02)
    assert clock(closing) > clock(told, "home")
    said = [one["says"] for one in told["before_you_go"] if one["key"] == "closes"]
    assert re.search(r"recoat now or scuff tomorrow, window shuts 0[23]:\d\d", said[0])


def test_on_a_wet_day_the_shed_is_not_now_and_the_cupboard_goes() -> None:
    shop = Before()
    shop.cast.place("Cupboard")
    shop.cast.read("Wed 09:00", 12.0, 91.0)
    shop.cast.read("Wed 09:00", 19.0, 50.0, place="Cupboard")
    shop.expect("Wed 09:00", {"00:00": (12.0, 91.0)})
    shop.expect("Wed 09:00", {"00:00": (19.0, 50.0)}, "Cupboard")
    shop.own("Cupboard hooks", 12, kind="hook", place=shop.cast.id("Cupboard"))
    for name, family in (("Shellac", "shellac"), ("Water", "water_acrylic_pu")):
        label = str(shop.cast.material(name, family, {"touch": 1}))
        wet = shop.coat("Wed 09:05", label)
        assert (wet["word"], wet["blame"]) == ("not_now", "air_coat")
        dry = shop.coat("Wed 09:05", label, place=str(shop.cast.id("Cupboard")), count=12)
        assert line(dry, "air_coat")["word"] == "go"
        assert line(dry, "hooks")["word"] == "go"


def test_four_free_of_nine_wanted_and_33_on_billets_could_come_off_now() -> None:
    shop = Before()
    shop.cast.read("Mon 12:00", 20.0, 55.0)
    shop.own("Clamps", 37, force_kn=4.0)
    shop.own("Column B", 2, kind="column", force_kn=50.0, takes=9)
    shop.held("Billets", ["A-1", "A-2", "A-3"], "Mon 12:10", Clamps=33)
    asked: dict[str, Any] = {
        "count": 9,
        "shape": {"kind": "area", "area_m2": 0.003},
        "wood": {"density_kg_m3": 600},
        "press": {"thing": str(shop.cast.id("Clamps"))},
    }
    later = line(shop.glue_up("Mon 12:20", **asked), "clamps")
    assert (later["word"], later["values"]["free"]) == ("not_now", 4)
    assert clock(later) == pytest.approx(hours("Mon", "12:55"), abs=0.1)
    told = shop.glue_up("Mon 13:00", **asked)
    assert line(told, "clamps")["word"] == "care"
    assert "33 on Billets could come off now" in line(told, "clamps")["says"]
    early = shop.glue_up("Mon 12:20", **asked)
    assert "Column B" in line(early, "column")["says"]
