"""Stock and identity by the API: what a phone tells comes back, and nobody else's does."""

from typing import Any
from uuid import uuid4

import pytest

from tests.api.door import PhoneAtDoor, paired
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db


@pytest.fixture
def door() -> tuple[Cast, PhoneAtDoor]:
    cast = Cast.open()
    cast.place()
    cast.material()
    return cast, paired(cast)


def told(phone: PhoneAtDoor, verb: str, at: str, **said: Any) -> dict[str, Any]:
    (answer,) = phone.tell(phone.tap(verb, at, **said), at=at)
    return answer


def test_a_lot_is_taken_in_metered_and_shown(door: tuple[Cast, PhoneAtDoor]) -> None:
    _, phone = door
    lot = str(uuid4())
    said = {"lot": lot, "name": "עץ 🪵 rowan", "emc_pct": 12.0, "wanted_pct": 15.0}
    assert told(phone, "lot_taken_in", "Mon 08:00", **said)["outcome"] == "applied"
    for at, mc_pct in (("Mon 09:00", 24.0), ("+60 09:00", 18.0)):
        assert told(phone, "metered", at, lot=lot, mc_pct=mc_pct)["outcome"] == "applied"
    (shown,) = phone.get("lots", "+60 10:00").json()["lots"]
    assert (shown["name"], shown["word"], shown["mc_pct"]) == ("עץ 🪵 rowan", "not_yet", 18.0)
    assert round(shown["forecast"]["halves_days"]) == 60
    assert paired(Cast.open("Another")).get("lots", "+60 10:00").json()["lots"] == []


def test_a_container_is_told_of(door: tuple[Cast, PhoneAtDoor]) -> None:
    cast, phone = door
    said = {
        "container": str(uuid4()),
        "material": str(cast.id("PVA-G")),
        "name": "bottle",
        "expires": "2026-02-01",
        "holds_g": 500.0,
    }
    assert told(phone, "container_taken_in", "Mon 08:00", **said)["outcome"] == "applied"
    (shown,) = phone.get("containers", "Mon 09:00").json()["containers"]
    assert (shown["odd"], shown["expires"], shown["left_g"]) == (["expired"], "2026-02-01", 500.0)


def test_wood_that_is_asked_about_has_to_be_there(door: tuple[Cast, PhoneAtDoor]) -> None:
    cast, phone = door
    cast.piece("P-1")
    assert phone.get(f"wood?piece={cast.id('P-1')}", "Mon 09:00").json()["word"] == "unknown"
    assert phone.get(f"wood?piece={uuid4()}", "Mon 09:00").status_code == 404
    for wrong in ("wood", "wood?piece=1", f"wood?piece={cast.id('P-1')}&label=x"):
        answer = phone.get(wrong, "Mon 09:00")
        assert (answer.status_code, answer.json()["key"]) == (422, "wrong_shape"), wrong


def test_numbers_are_asked_for_and_candidates_named(door: tuple[Cast, PhoneAtDoor]) -> None:
    cast, phone = door
    cast.piece("H-1")
    said = {"pieces": [{"id": str(uuid4()), "tag": "S-1", "made_from": [str(cast.id("H-1"))]}]}
    told(phone, "pieces_made", "Mon 09:00", **said)
    (asked,) = phone.get("numbers", "Mon 10:00").json()["asked"]
    assert (asked["moment"], [one["tag"] for one in asked["pieces"]]) == ("sawn", ["S-1"])
    found = phone.get("who-am-i?hold=no", "Mon 10:00").json()
    assert [one["tag"] for one in found["candidates"]] == ["S-1"]
    for wrong in ("coats=-1", "coats=x", "hold=perhaps", "batch=1"):
        assert phone.get(f"who-am-i?{wrong}", "Mon 10:00").status_code == 422, wrong


def test_a_name_of_ten_thousand_characters_is_refused_by_its_field(
    door: tuple[Cast, PhoneAtDoor],
) -> None:
    _, phone = door
    answer = told(phone, "lot_taken_in", "Mon 08:00", lot=str(uuid4()), name="x" * 10_000)
    assert (answer["outcome"], answer["problem"]["field"]) == ("refused", "said.name")
    assert phone.get("lots", when("Mon 09:00")).json()["lots"] == []
