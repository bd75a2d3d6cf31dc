"""The worked figures of a glue-up, asked through the API before the glue is spread."""

import re
from typing import Any

import pytest

from tests.flows.before import Before, clock, hours, line

pytestmark = pytest.mark.django_db

STACKS = {"spread_s": 25, "place_s": 15, "tighten_s": 20, "clamps_each": 1}
DRUM = {"kind": "annulus", "outside_mm": 172, "inside_mm": 110, "lines": 2}
PANEL = {"kind": "stripe", "strips": 5, "length_mm": 440, "thickness_mm": 22, "strip_mm": 65}
BILLET = {"kind": "face", "boards": 2, "length_mm": 700, "width_mm": 48}


def read(temp_c: float, rh_pct: float | None = 55.0) -> Before:
    shop = Before()
    shop.cast.read("Mon 08:00", temp_c, rh_pct)
    return shop


def test_eight_stacks_at_the_label_temperature_leave_four_minutes_of_twelve() -> None:
    told = read(20.0).glue_up("Mon 08:05", count=8, hands=STACKS)
    open_time = line(told, "open_time")
    assert open_time["word"] == "go"
    assert open_time["values"]["oldest_s"] == 480
    assert open_time["values"]["spare_s"] == 240
    assert told["largest_load"] == 8
    assert "8:00" in open_time["sum"][0]


def test_at_28_degrees_eight_stacks_are_over_by_1_07_and_six_is_the_largest_load() -> None:
    told = read(28.0).glue_up("Mon 08:05", count=8, hands=STACKS)
    open_time = line(told, "open_time")
    assert (told["word"], told["blame"]) == ("not_now", "open_time")
    assert open_time["values"]["limit_s"] == pytest.approx(413.5, abs=0.1)
    assert "1:06" in open_time["says"] or "1:07" in open_time["says"]
    assert (told["largest_load"], told["loads"]) == (6, 2)
    assert line(told, "load_two")["values"]["oldest_s"] == 320
    assert line(told, "load_each")["values"]["oldest_s"] == 60


def test_dry_air_a_draught_and_damp_that_nobody_measured_take_a_quarter() -> None:
    dry = read(20.0, 30.0).glue_up("Mon 08:05", count=8, hands=STACKS)
    assert line(dry, "open_time")["values"]["limit_s"] == 540
    fan = read(20.0).glue_up("Mon 08:05", count=8, hands={**STACKS, "draught": True})
    assert line(fan, "open_time")["values"]["limit_s"] == 540
    unread = read(20.0, None).glue_up("Mon 08:05", count=8, hands=STACKS)
    assert line(unread, "open_time")["values"]["limit_s"] == 540


def test_without_a_dry_run_the_time_is_care_and_not_a_guess() -> None:
    told = read(20.0).glue_up("Mon 08:05", count=8)
    assert line(told, "open_time")["word"] == "care"
    assert told["largest_load"] is None


def test_twenty_four_drums_take_158_grams() -> None:
    told = read(20.0).glue_up("Mon 08:05", count=24, shape=DRUM)
    glue = line(told, "glue")
    assert glue["values"]["area_m2"] == pytest.approx(0.659, abs=0.001)
    assert glue["values"]["glue_g"] == pytest.approx(158, abs=0.5)


def test_180_grams_at_24_degrees_last_twelve_and_a_half_minutes_and_want_two_pots() -> None:
    shop = read(24.0)
    epoxy = shop.glue("Epoxy", "epoxy_slow", pot_life=0.5, pot_mass_g=100)
    told = shop.glue_up("Mon 08:05", label=epoxy, mix_g=180)
    pots = line(told, "pots")
    assert pots["values"]["pot_life_s"] / 60 == pytest.approx(12.6, abs=0.1)
    assert pots["word"] == "care"
    brisk = shop.glue_up("Mon 08:05", label=epoxy, mix_g=180, hands={"spread_s": 600})
    assert line(brisk, "pots")["values"]["pots"] == 1
    slow = shop.glue_up("Mon 08:05", label=epoxy, mix_g=180, hands={"spread_s": 900})
    assert line(slow, "pots")["values"]["pots"] == 2
    never = shop.glue_up("Mon 08:05", label=epoxy, mix_g=180, hands={"spread_s": 1800})
    assert (never["word"], line(never, "pots")["word"]) == ("not_now", "not_now")


def test_an_elm_panel_takes_three_clamps_by_force_and_by_spacing() -> None:
    shop = read(20.0)
    clamps = shop.own("F-clamps", 36, sort="f_clamp", force_kn=4.0, reach_mm=600.0)
    told = shop.glue_up(
        "Mon 08:05", shape=PANEL, wood={"density_kg_m3": 560}, press={"caul_mm": 35}
    )
    assert line(told, "pressure")["values"]["pressure_kpa"] == pytest.approx(1020)
    count = line(told, "clamps_count")["values"]
    assert (count["by_force"], count["by_spacing"], count["needed"]) == (3, 3, 3)
    assert count["force_kn"] == pytest.approx(9.9, abs=0.05)
    assert told["things"] == [{"thing": clamps, "name": "F-clamps", "count": 3}]
    assert line(told, "clamps")["word"] == "go"


def test_eleven_clamps_serve_two_billets_and_33_six_of_them() -> None:
    shop = read(20.0)
    shop.own("F-clamps", 36, force_kn=4.0)
    asked: dict[str, Any] = {"shape": BILLET, "wood": {"density_kg_m3": 680}}
    alone = shop.glue_up("Mon 08:05", **asked)
    assert line(alone, "clamps_count")["values"]["needed"] == 11
    two = shop.glue_up("Mon 08:05", count=2, press={"per_stack": 2}, **asked)
    assert line(two, "clamps_count")["values"]["needed"] == 11
    six = shop.glue_up("Mon 08:05", count=6, press={"per_stack": 2}, **asked)
    assert line(six, "clamps_count")["values"]["needed"] == 33


def test_a_ring_of_ten_says_its_saw_angle_and_takes_a_band_each() -> None:
    shop = read(20.0)
    shop.own("Bands", 14, kind="band")
    shop.own("F-clamps", 36, force_kn=4.0)
    ring = {"kind": "ring", "segments": 10, "outside_mm": 172, "inside_mm": 110, "thickness_mm": 26}
    told = shop.glue_up("Mon 08:05", count=16, shape=ring)
    saw = line(told, "saw")["values"]
    assert saw["mitre_deg"] == 18
    assert saw["outside_edge_mm"] == pytest.approx(55.9, abs=0.05)
    assert line(told, "clamps")["word"] == "not_now"  # 14 bands, 16 rings: two loads
    assert told["things"][0]["name"] == "Bands"


def test_a_bend_of_120_mm_in_six_plies_takes_a_form_of_116_7() -> None:
    shop = read(20.0)
    shop.own("Tray form", 1, kind="form")
    rim = {"kind": "bend", "plies": 6, "ply_mm": 3, "length_mm": 1450, "width_mm": 62}
    told = shop.glue_up("Mon 08:05", shape={**rim, "radius_mm": 120}, stressed=True)
    assert line(told, "form")["values"]["form_radius_mm"] == pytest.approx(116.7, abs=0.05)
    assert line(told, "creeps")["word"] == "care"
    assert told["things"][0]["name"] == "Tray form"


def test_the_water_of_the_glue_adds_four_points_to_a_bend_and_rests_it_for_days() -> None:
    """Six 3 mm plies at 700 kg/m3, five lines of 250 g/m2 at 40 %: 0.50 kg on 12.6 kg."""
    shop = read(20.0)
    urea = shop.glue("Urea", "urea_powder")
    rim = {"kind": "bend", "plies": 6, "ply_mm": 3, "length_mm": 1450, "width_mm": 62}
    asked: dict[str, Any] = {"shape": {**rim, "radius_mm": 120}, "spread_g_m2": 250}
    told = shop.glue_up("Mon 08:05", label=urea, wood={"density_kg_m3": 700}, **asked)
    water = line(told, "water")
    assert water["word"] == "note"
    assert water["values"]["points"] == pytest.approx(4.0, abs=0.05)
    assert water["values"]["rest_days"] == pytest.approx(7, abs=0.01)
    assert "5 × 250 g/m² × 40 % water ÷ (18 mm × 700 kg/m³)" in water["sum"][0]
    in_the_cold = read(10.0).glue_up("Mon 08:05", wood={"density_kg_m3": 700}, **asked)
    assert line(in_the_cold, "water")["values"]["rest_days"] > 12


def test_two_halves_of_24_mm_gain_a_third_of_a_point_on_average_and_a_resin_brings_no_water() -> (
    None
):
    shop = read(20.0)
    billet = {**BILLET, "thickness_mm": 24}
    asked: dict[str, Any] = {"shape": billet, "spread_g_m2": 200, "wood": {"density_kg_m3": 650}}
    water = line(shop.glue_up("Mon 08:05", **asked), "water")
    assert water["values"]["points"] == pytest.approx(0.3, abs=0.05)
    assert "beside the line" in water["says"]
    epoxy = shop.glue("Epoxy", "epoxy_slow")
    dry = shop.glue_up("Mon 08:05", label=epoxy, **asked)
    assert "water" not in {one["key"] for one in dry["lines"]}
    drums = shop.glue_up("Mon 08:05", shape=DRUM)
    assert "water" not in {one["key"] for one in drums["lines"]}


def test_a_cold_block_is_warm_enough_when_the_slab_says_so_and_glues_none_before() -> None:
    """50 mm from 6 degC in air of 18 degC reach 15 degC about 09:51, 75 mm about 11:15."""
    for thickness_mm, at in ((50, "09:51"), (75, "11:15")):
        shop = read(18.0)
        shop.expect("Mon 08:00", {"08:00": 18.0})
        label = shop.glue("PVA-15", min_c=15)
        told = shop.glue_up(
            "Mon 08:00", label=label, wood={"temp_c": 6.0, "thickness_mm": thickness_mm}
        )
        warm = line(told, "warm")
        assert (warm["word"], told["word"]) == ("not_now", "not_now")
        assert clock(warm) == pytest.approx(hours("Mon", at), abs=0.25)


def test_dew_on_cold_wood_is_no_time_to_glue() -> None:
    told = read(14.0, 72.0).glue_up("Mon 08:00", wood={"temp_c": 8.0})
    dew = line(told, "dew")
    assert dew["word"] == "not_now"
    assert dew["values"]["dew_c"] == pytest.approx(9.0, abs=0.1)
    near = read(14.0, 72.0).glue_up("Mon 08:00", wood={"temp_c": 11.0})
    assert line(near, "dew")["word"] == "care"


def test_moisture_match_and_window() -> None:
    shop = read(20.0)
    alike = shop.glue_up("Mon 08:05", wood={"moistures_pct": [9.0, 11.0]})
    assert [line(alike, key)["word"] for key in ("moisture", "match")] == ["go", "go"]
    apart = shop.glue_up("Mon 08:05", wood={"moistures_pct": [9.0, 11.5]})
    assert line(apart, "match")["word"] == "care"
    green = shop.glue_up("Mon 08:05", wood={"moistures_pct": [22.0, 11.0]})
    assert [line(green, key)["word"] for key in ("moisture", "match")] == ["not_now", "not_now"]
    assert "22 % against 11 %" in line(green, "match")["says"]


def test_faces_older_than_a_day_are_freshened_and_oily_ones_after_an_hour() -> None:
    shop = read(20.0)
    fresh = shop.glue_up("Mon 08:05", wood={"cut_at": "2026-02-02T07:00:00Z"})
    assert line(fresh, "fresh_face")["word"] == "go"
    old = shop.glue_up("Mon 08:05", wood={"cut_at": "2026-02-01T07:00:00Z"})
    assert line(old, "fresh_face")["word"] == "care"
    oily = {"cut_at": "2026-02-02T06:00:00Z", "woods": ["teak"]}
    assert line(shop.glue_up("Mon 08:05", wood=oily), "fresh_face")["word"] == "not_now"


def cooling(shop: Before) -> None:
    """Heater off 18:00 at 18 degC, outside 2 degC, half-gap 4 h, foreseen in the afternoon."""
    shop.cast.read("Mon 17:00", 18.0, 55.0)
    day: dict[str, float | tuple[float, float]] = {"08:00": 18.0, "18:00": 18.0}
    for half in range(1, 28):
        after = half / 2
        at = f"{int(18 + after) % 24:02d}:{30 * (half % 2):02d}"
        day[at] = round(2 + 16 * 0.5 ** (after / 4), 3)
    shop.expect("Mon 17:00", day)


@pytest.mark.parametrize(("keep_warm", "latest"), [(2, "18:43"), (3, "17:31")])
def test_the_night_says_until_when_a_film_is_good(keep_warm: float, latest: str) -> None:
    shop = Before()
    label = shop.glue("PVA", keep_warm=keep_warm)
    cooling(shop)
    early = line(shop.glue_up("Mon 17:00", label=label), "night")
    assert early["word"] == "go"
    assert clock(early) == pytest.approx(hours("Mon", latest), abs=2 / 60)
    late = shop.glue_up("Mon 17:00", label=label, at="2026-02-02T18:50:00Z")
    assert (late["word"], late["blame"], line(late, "night")["at"]) == ("not_now", "night", None)


def test_close_to_the_latest_good_time_is_care() -> None:
    shop = Before()
    cooling(shop)
    told = shop.glue_up("Mon 17:00", at="2026-02-02T18:25:00Z", hands={"spread_s": 10})
    assert (told["word"], told["blame"]) == ("care", "night")


def test_what_the_heater_going_off_does_is_known_at_once_by_the_outside_low() -> None:
    shop = Before()
    for hour in range(10, 19):
        shop.cast.read(f"Mon {hour}:00", 18.0, 55.0)
    shed = shop.cast.id("Shed")
    said = {"outside_low_c": 2.0, "half_gap_h": 4.0, "heater_off": True}
    shop.cast.do("air_expected", "Mon 18:00", place=shed, **said)
    night = line(shop.glue_up("Mon 18:00"), "night")
    assert clock(night) == pytest.approx(hours("Mon", "18:43"), abs=2 / 60)


def test_pressed_at_12_7_and_falling_two_degrees_an_hour_is_too_cold_by_19_30() -> None:
    shop = Before()
    shop.cast.read("Wed 18:10", 12.7, 60.0)
    fall: dict[str, float | tuple[float, float]] = {"18:10": 12.7, "20:10": 8.7, "23:10": 2.7}
    shop.expect("Wed 18:10", fall)
    told = shop.glue_up("Wed 18:10")
    assert (told["word"], told["blame"]) == ("not_now", "night")
    assert re.search(r"Too cold to set by 19:3[01] in Shed", line(told, "night")["says"])


def test_another_place_adhesive_or_hour_says_what_it_would_change() -> None:
    shop = Before()
    shop.cast.place("Warm box")
    cooling(shop)
    shop.cast.read("Mon 17:00", 24.0, 40.0, place="Warm box")
    shop.expect("Mon 17:00", {"00:00": (24.0, 40.0)}, "Warm box")
    shop.glue("Low", min_c=3)
    told = shop.glue_up("Mon 17:00", at="2026-02-02T19:00:00Z")
    ways = {(one["what"], one["name"]): one for one in told["instead"]}
    assert ways["place", "Warm box"]["word"] == "go"
    assert ways["place", "Warm box"]["latest"] is None
    assert ways["adhesive", "Low"]["word"] == "go"
    (hour,) = [one for one in told["instead"] if one["what"] == "hour"]
    assert clock(hour, "opens_at") == pytest.approx(hours("Tue", "08:00"), abs=3)
    gates = {one["kind"]: one for one in told["gates"]}
    assert {"clamps_off", "light", "heavy", "spin"} <= gates.keys()


def test_a_gate_that_the_label_does_not_offer_is_not_told() -> None:
    shop = read(20.0)
    label = shop.glue("No lathe", spin=None, open_time=None)
    told = shop.glue_up("Mon 08:05", label=label)
    assert "spin" not in {one["kind"] for one in told["gates"]}
