"""The view: what a phone keeps, by a number of queries that does not grow with the shop."""

from typing import Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.api.door import PhoneAtDoor, paired
from tests.cast import PVA_G, Cast

pytestmark = pytest.mark.django_db


def shed(groups: int, tags_each: int = 2, name: str = "Slipway shed") -> Cast:
    """Glue-ups and coats in one shed, some too cold, one with a contradiction."""
    cast = Cast.open(name)
    cast.place()
    cast.material()
    cast.material("Oil", "oil_varnish_blend", {})
    cast.read("Mon 08:00", 18.0, 60.0)
    for number in range(groups):
        tags = [f"{number}-{n}" for n in range(tags_each)]
        for tag in tags:
            cast.piece(tag, zones=(zone(cast, tag),))
        cast.spread(f"G{number}", tags, "Mon 08:10")
        cast.press(f"G{number}", "Mon 08:15")
        coat(cast, f"C{number}", tags, "Mon 09:00")
        cast.do("coat_ended", "Mon 09:20", coat=cast.id(f"C{number}"))
    cast.do("clamps_off", "Mon 08:12", glue_up=cast.id("G0"))
    cast.read("Mon 09:30", 8.0, 60.0)
    return cast


def zone(cast: Cast, tag: str) -> Any:
    from cureclock.actions.pieces_made import ZoneSaid

    return ZoneSaid(cast.id(f"{tag} drum"), "drum")


def coat(cast: Cast, name: str, tags: list[str], at: str, label: str = "Oil label") -> None:
    cast.do(
        "coat_began",
        at,
        coat=cast.id(name),
        name=name,
        label=cast.id(label),
        place=cast.id("Shed"),
        zones=tuple(cast.id(f"{tag} drum") for tag in tags),
    )


def seen(phone: PhoneAtDoor, at: str = "Mon 12:30") -> dict[str, Any]:
    response = phone.get("view", at)
    assert response.status_code == 200, response.content
    return response.json()


def queries_of(groups: int) -> int:
    phone = paired(shed(groups))
    with CaptureQueriesContext(connection) as asked:
        told = seen(phone)
    assert len(told["groups"]) == 2 * groups
    return len(asked)


def test_the_number_of_queries_is_the_same_at_3_and_at_30_groups() -> None:
    assert queries_of(3) == queries_of(30) <= 40


def test_nor_does_it_grow_with_the_pieces_that_are_asked_for_at_the_lathe() -> None:
    def asked(pieces: int) -> int:
        cast = Cast.open()
        cast.place()
        cast.material()
        tags = [f"L-{number}" for number in range(pieces)]
        for tag in tags:
            cast.piece(tag)
        cast.read("Mon 08:00", 20.0)
        cast.spread("G1", tags, "Mon 08:00")
        cast.press("G1", "Mon 08:05")
        for clock in ("Mon 20:00", "Tue 08:00", "Tue 20:00", "Wed 08:00"):
            cast.read(clock, 20.0)
        phone = paired(cast)
        with CaptureQueriesContext(connection) as queries:
            told = seen(phone, "Wed 10:00")
        assert [line["act"] for line in told["now_list"]["not_yet"]].count("spin") == pieces
        return len(queries)

    assert asked(2) + 4 == asked(10) == asked(20)  # of many it is asked whether all are alike


def test_a_phone_is_told_who_it_is_and_where() -> None:
    cast = shed(1)
    told = seen(paired(cast, "helper"))
    assert told["me"]["role"] == "helper"
    assert told["me"]["person"]["name"] == "Helper of Slipway shed"
    assert told["workshop"]["zone"] == "UTC"
    assert told["workshop"]["home_time"] == "18:00:00"
    assert told["now"] == "2026-02-02T12:30:00Z"


def test_a_place_tells_its_last_word_what_was_read_and_what_is_expected() -> None:
    place = seen(paired(shed(1)))["places"][0]
    reading = {**place["reading"]}
    assert reading.pop("age_s") == 3 * 3600
    assert reading == {"at": "2026-02-02T09:30:00Z", "temp_c": 8.0, "rh_pct": 60.0, "mark": "typed"}
    assert [(row[1], row[2]) for row in place["recent"]] == [(18.0, "typed"), (8.0, "typed")]
    assert len(place["expected"]) == 48
    assert place["expected"][0] == ["2026-02-02T13:00:00Z", 8.0, 60.0]


def test_a_place_nobody_has_read_shows_no_air_of_its_own_making() -> None:
    cast = Cast.open()
    cast.place()
    place = seen(paired(cast))["places"][0]
    assert (place["reading"], place["expected"], place["recent"]) == (None, [], [])


def test_a_material_shows_its_newest_label_and_what_nobody_read() -> None:
    cast = shed(1)
    cast.do(
        "label_read",
        "Mon 10:00",
        material=cast.id("PVA-G"),
        label=cast.id("second reading"),
        name="PVA-G",
        family="pva_interior",
        values={**PVA_G, "spin": 30},
        container="drum 2",
    )
    materials = {one["name"]: one for one in seen(paired(cast))["materials"]}
    label = materials["PVA-G"]["label"]
    assert (label["id"], label["container"]) == (str(cast.id("second reading")), "drum 2")
    assert (label["read"], label["read_by"]) == (True, "Owner of Slipway shed")
    assert label["min_c"] == 10
    spin = next(gate for gate in label["gates"] if gate["kind"] == "spin")
    assert spin == {"kind": "spin", "hours": 30, "by_wall": False, "upper_hours": 30, "read": True}
    oil = materials["Oil"]["label"]
    assert (oil["read"], oil["read_by"]) == (False, None)
    assert "rags" in oil["cautions"]


def test_a_contradiction_is_shown_with_both_tellings() -> None:
    told = seen(paired(shed(2)))["conflicts"]
    (conflict,) = [one for one in told if one["kind"] == "off_before_pressure"]
    assert [event["kind"] for event in conflict["events"]] == ["clamps_off", "pressure_on"]
    assert conflict["events"][0]["person"] == "Owner of Slipway shed"


def test_no_view_shows_anything_of_another_workshop() -> None:
    one, other = shed(1), shed(2, name="Other shed")
    mine = paired(one).get("view", "Mon 12:30").content.decode()
    for name, ident in other.named.items():
        assert str(ident) not in mine, name
    assert "Other shed" not in mine
    assert str(one.id("G0")) in mine


def test_a_viewer_sees_the_view() -> None:
    assert seen(paired(shed(1), "viewer"))["me"]["role"] == "viewer"


def test_without_pairing_there_is_no_view() -> None:
    phone = paired(shed(1))
    phone.client.cookies.clear()
    assert phone.get("view", "Mon 12:30").status_code == 401


@pytest.mark.parametrize("path", ["groups", "pieces", "why"])
def test_another_workshops_group_or_piece_is_as_unknown_as_none(path: str) -> None:
    from cureclock.waits.models import Gate

    one, other = shed(1), shed(1, name="Other shed")
    theirs = {
        "groups": other.id("G0"),
        "pieces": other.id("0-0"),
        "why": Gate.objects.filter(workshop=other.workshop, kind="spin")[0].id,
    }[path]
    phone = paired(one)
    found = phone.get(f"{path}/{theirs}", "Mon 12:30")
    none = phone.get(f"{path}/{uuid4()}", "Mon 12:30")
    assert found.status_code == none.status_code == 404
    assert found.json() == none.json()
    assert paired(other).get(f"{path}/{theirs}", "Mon 12:30").status_code == 200


@pytest.mark.parametrize("path", ["groups/1", "pieces/x", "nothing", "view/", "pieces/%00"])
def test_an_address_that_leads_nowhere_is_a_problem_too(path: str) -> None:
    response = paired(shed(1)).get(path, "Mon 12:30")
    assert response.status_code == 404
    assert response["Content-Type"] == "application/problem+json"
    assert response.json()["key"] == "not_here"


def test_a_view_is_asked_for_not_sent() -> None:
    response = paired(shed(1)).post("view", "Mon 12:30", {})
    assert (response.status_code, response.json()["key"]) == (405, "no_such_way")
