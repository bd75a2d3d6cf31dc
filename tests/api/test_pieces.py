"""A piece at the door: the lathe's word with its age, and what ships on the shelf."""

from datetime import timedelta
from typing import Any

import pytest

from cureclock.waits.may.answers import ACTS
from tests.api.door import PhoneAtDoor, paired
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db


def lathe_day(until: str = "Tue 12:00") -> tuple[Cast, PhoneAtDoor]:
    cast = Cast.open()
    cast.place()
    cast.material()
    cast.piece("L-01")
    at = when("Mon 08:00")
    cast.do("reading_taken", at, place=cast.id("Shed"), temp_c=20.0)
    cast.spread("G1", ["L-01"], "Mon 08:00")
    cast.press("G1", "Mon 08:05")
    cast.do("joints_declared", "Mon 08:10", piece=cast.id("L-01"))
    while at < when(until):
        at += timedelta(hours=4)
        cast.do("reading_taken", at, place=cast.id("Shed"), temp_c=20.0)
    return cast, paired(cast)


def asked(cast: Cast, phone: PhoneAtDoor, at: str, act: str = "spin") -> dict[str, Any]:
    return phone.get(f"pieces/{cast.id('L-01')}/may?act={act}", at).json()


def test_not_yet_names_the_joint_and_when() -> None:
    told = asked(*lathe_day(), "Tue 12:00")
    assert (told["word"], told["blame"]) == ("not_yet", "G1 L-01")
    # 27.92 of 28.8 h by 12:00; the rest at 15 degC, the coldest plausible: 0.88 x 1.15 / 0.707
    assert told["until"] == "2026-02-03T13:27:00Z"
    assert told["answered_at"] == "2026-02-03T12:00:00Z"
    assert told["cautions"] == ["lathe"]
    assert told["reasons"][0] == {"key": "short", "name": "G1 L-01", "at": "2026-02-03T13:27:00Z"}


def test_yes_comes_with_its_caution_and_its_age() -> None:
    told = asked(*lathe_day("Tue 16:00"), "Tue 16:00")
    assert (told["word"], told["until"]) == ("yes", None)
    assert told["cautions"] == ["lathe"]
    assert told["answered_at"] == "2026-02-03T16:00:00Z"


def test_a_phone_with_taps_of_its_own_is_named() -> None:
    cast, phone = lathe_day()
    phone.post("heartbeat", "Tue 12:50", {"unsent": 2})
    reasons = asked(cast, phone, "Tue 12:54")["reasons"]
    assert {"key": "phone_unsent", "name": phone.phone.name, "at": None} in reasons


def test_only_what_can_be_answered_is_asked() -> None:
    told = asked(*lathe_day(), "Tue 12:54", act="fly")
    assert (told["status"], told["field"]) == (422, "act")


def test_every_act_is_answered_at_once_as_it_is_by_itself() -> None:
    cast, phone = lathe_day()
    told = phone.get(f"pieces/{cast.id('L-01')}/can", "Tue 12:00").json()["answers"]
    assert [one["act"] for one in told] == list(ACTS)
    for one in told:
        assert one == {**asked(cast, phone, "Tue 12:00", one["act"]), "act": one["act"]}


def test_a_piece_in_full_is_served() -> None:
    cast, phone = lathe_day()
    told = phone.get(f"pieces/{cast.id('L-01')}", "Tue 12:00").json()
    assert told["tag"] == "L-01"
    assert [joint["name"] for joint in told["joints"]] == ["G1 L-01"]
    assert told["joints"][0]["spin"]["sure"] == "2026-02-03T13:01:00Z"  # 0.88 h x 1.15
    assert "joints_declared" in [line["kind"] for line in told["history"]]


def test_the_shelf_has_every_kind_with_its_source() -> None:
    _, phone = lathe_day()
    told = phone.get("library", "Tue 12:00").json()
    families = {one["key"]: one for one in told["families"]}
    assert families["pva_interior"]["role"] == "adhesive"
    assert families["oil_raw"]["role"] == "finish"
    assert "rags" in families["oil_raw"]["cautions"]
    known = {one["key"] for one in told["sources"]}
    gates = [gate for one in told["families"] for gate in one["gates"]]
    assert len(gates) > 100
    assert all(gate["source"] in known and gate["status"] for gate in gates)
    assert {one["key"] for one in told["woods"]} >= {"ash", "sycamore"}
    assert told["clamp_kinds"]
