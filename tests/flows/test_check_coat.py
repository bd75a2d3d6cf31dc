"""The worked figures of a coat, asked through the API before it goes on."""

from typing import Any

import pytest

from tests.flows.before import Before, clock, hours, line

pytestmark = pytest.mark.django_db

LACQUER = {"dust_free": 0.5, "touch": 2, "handle": 4, "recoat_opens": 3, "min_c": 10}
OIL = {"dust_free": 4, "touch": 12, "handle": 24, "recoat_opens": 18, "min_c": 10, "max_rh_pct": 75}


def finish(shop: Before, name: str, family: str, values: dict[str, Any]) -> str:
    return str(shop.cast.material(name, family, {**values, "states_rule": True}))


def shed(temp_c: float, rh_pct: float | None) -> Before:
    shop = Before()
    shop.cast.read("Mon 15:55", temp_c, rh_pct)
    return shop


def test_14_degrees_at_72_percent_ask_for_wood_of_12_degrees() -> None:
    shop = shed(14.0, 72.0)
    oil = finish(shop, "Oil", "oil_boiled", OIL)
    shop.expect("Mon 15:56", {"00:00": (14.0, 72.0)})
    warm = shop.coat("Mon 16:00", oil, wood_c=12.1)
    assert line(warm, "air_coat")["values"]["dew_c"] == pytest.approx(9.0, abs=0.1)
    assert line(warm, "air_coat")["word"] == "go"
    cold = shop.coat("Mon 16:00", oil, wood_c=11.5)
    assert (cold["word"], line(cold, "air_coat")["word"]) == ("not_now", "not_now")
    assert "Dew" in line(cold, "air_coat")["says"]


def afternoon(shop: Before) -> None:
    """18 degC and 60 % at 16:00; the shed comes to 11 degC by the morning, no water added."""
    from cureclock.core.coat.air import night_rh_pct

    day: dict[str, float | tuple[float, float]] = {"16:00": (18.0, 60.0)}
    for hour in range(1, 13):
        temp = 18 - 7 * hour / 12
        damp = round(float(night_rh_pct(18, 60, temp)), 2)
        day[f"{(16 + hour) % 24:02d}:00"] = (round(temp, 3), damp)
    day["08:00"], day["12:00"] = (11.0, 93.0), (15.0, 72.0)
    shop.expect("Mon 15:56", day)


def test_go_for_a_two_hour_lacquer_and_not_now_for_an_oil_still_wet_in_the_cold() -> None:
    shop = shed(18.0, 60.0)
    afternoon(shop)
    lacquer = finish(shop, "Lacquer", "lacquer_nitro", {**LACQUER, "max_rh_pct": 70})
    oil = finish(shop, "Oil", "oil_boiled", OIL)
    quick = line(shop.coat("Mon 16:00", lacquer), "air_coat")
    assert quick["word"] == "go"
    slow = shop.coat("Mon 16:00", oil)
    assert (slow["word"], slow["blame"]) == ("not_now", "air_coat")
    assert line(slow, "air_coat")["values"]["rh_pct"] > 75


def test_17_degrees_at_68_percent_cooling_to_12_come_to_94_percent() -> None:
    shop = Before()
    shop.cast.read("Mon 15:55", 17.0, 68.0)
    shop.cast.do(
        "air_expected",
        "Mon 15:56",
        place=shop.cast.id("Shed"),
        outside_low_c=12.0,
        half_gap_h=1.0,
        heater_off=True,
    )
    oil = finish(shop, "Oil", "oil_boiled", {**OIL, "max_rh_pct": 90})
    told = line(shop.coat("Mon 16:00", oil), "air_coat")
    assert told["word"] == "not_now"
    assert "Dew" in told["says"]
    view = shop.phone.get("view", "Mon 16:00").json()
    damps = [rh for _, _, rh in view["places"][0]["expected"]]
    assert max(damps) == pytest.approx(94, abs=1)


def test_damp_that_nobody_measured_is_care() -> None:
    shop = shed(18.0, None)
    oil = finish(shop, "Oil", "oil_boiled", OIL)
    told = shop.coat("Mon 16:00", oil)
    assert line(told, "damp")["word"] == "care"


def test_the_batch_takes_0_68_litres() -> None:
    shop = shed(18.0, 50.0)
    varnish = finish(shop, "Varnish", "varnish_wiping", {"touch": 4})
    areas = [
        {"area_m2": 0.0853, "pieces": 24, "coats": 3},
        {"area_m2": 0.0191, "pieces": 24, "coats": 2},
    ]
    told = shop.coat("Mon 16:00", varnish, areas=areas, coverage_m2_l=12)
    assert line(told, "finish")["values"]["litres"] == pytest.approx(0.68, abs=0.005)


def test_sanding_into_a_wet_film_is_not_now() -> None:
    shop = shed(20.0, 50.0)
    shop.expect("Mon 15:56", {"00:00": (20.0, 50.0)})
    varnish = finish(shop, "Varnish", "varnish_wiping", {"dust_free": 2, "touch": 4})
    none = line(shop.coat("Mon 16:00", varnish), "dust")
    assert none["word"] == "note"
    assert "18:00" in none["says"]
    into = shop.coat("Mon 16:00", varnish, sanding_at="2026-02-02T17:30:00Z")
    assert (into["word"], line(into, "dust")["word"]) == ("not_now", "not_now")
    after = shop.coat("Mon 16:00", varnish, sanding_at="2026-02-02T18:30:00Z")
    assert line(after, "dust")["word"] == "go"


def test_solvents_want_no_flame_and_never_a_warm_box() -> None:
    shop = shed(20.0, 50.0)
    varnish = finish(shop, "Varnish", "varnish_wiping", {"touch": 4})
    assert line(shop.coat("Mon 16:00", varnish), "vapour")["word"] == "care"
    shop.own("Box", 300, kind="box", place=shop.cast.id("Shed"))
    assert line(shop.coat("Mon 16:00", varnish), "vapour")["word"] == "not_now"


def test_hooks_that_are_not_there_are_not_now_and_others_are_named() -> None:
    shop = shed(20.0, 50.0)
    shop.expect("Mon 15:56", {"00:00": (20.0, 50.0)})
    varnish = finish(shop, "Varnish", "varnish_wiping", {"touch": 4})
    shop.own("Cupboard hooks", 12, kind="hook", place=shop.cast.id("Shed"))
    shop.own("Points", 40, kind="point")
    few = shop.coat("Mon 16:00", varnish, count=12)
    assert line(few, "hooks")["word"] == "go"
    many = shop.coat("Mon 16:00", varnish, count=24, thing=str(shop.cast.id("Cupboard hooks")))
    assert (line(many, "hooks")["word"], line(many, "hooks_other")["word"]) == ("not_now", "note")
    assert many["things"] == [
        {"thing": str(shop.cast.id("Cupboard hooks")), "name": "Cupboard hooks", "count": 24}
    ]


@pytest.mark.parametrize(("temp_c", "coats"), [(20.0, 9), (14.0, 1)])
def test_coats_before_a_friday(temp_c: float, coats: int) -> None:
    """Recoat 8 label-h, 40 minutes a coat, shop 08 to 18, wrap 168 label-h, Friday 17:00 of week 2."""
    shop = Before()
    shop.cast.workshop.hours = {str(day): ["08:00", "18:00"] for day in range(5)}
    shop.cast.workshop.save()
    for hour in range(0, 8, 2):
        shop.cast.read(f"Mon {hour:02d}:00", temp_c, 50.0)
    shop.expect("Mon 07:30", {"00:00": (temp_c, 50.0)})
    values = {"recoat_opens": 8, "wrap": 168, "recoat_closes": None, "touch": 4, "handle": 12}
    varnish = finish(shop, "Varnish", "varnish_wiping", values)
    told = shop.coat("Mon 08:00", varnish, minutes=40, coats=9, due="2026-02-13T17:00:00Z")
    before = line(told, "before_date")
    assert before["values"]["coats"] == coats
    assert before["word"] == ("go" if coats == 9 else "care")
    if coats == 9:
        assert clock(before) == pytest.approx(
            hours("Mon", "08:40"), abs=0.02
        )  # then ends as the shop shuts
        assert len(before["sum"]) == 9


def test_a_finish_that_offers_no_wrap_gate_cannot_be_counted_to_a_date() -> None:
    shop = shed(20.0, 50.0)
    wax = finish(shop, "Varnish", "varnish_wiping", {"wrap": None, "touch": 4})
    told = shop.coat("Mon 16:00", wax, minutes=40, due="2026-02-13T17:00:00Z")
    assert line(told, "before_date")["word"] == "care"
