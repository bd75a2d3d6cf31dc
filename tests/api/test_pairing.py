"""Pairing: a link pairs one phone, once, and soon; what is kept of a token opens nothing."""

from datetime import timedelta

import pytest
from django.test import Client

from cureclock.actions.open_workshop import first_link
from cureclock.api.who import COOKIE
from cureclock.shop.models import PairingLink, Phone, Sensor, Workshop
from tests.api.door import PhoneAtDoor, at_the_clock, paired, sensor_in
from tests.cast import Cast, when

pytestmark = pytest.mark.django_db


def pair(token: str, at: str = "Mon 08:00", **more: str):
    client = Client()
    with at_the_clock(at):
        body = {"token": token, "phone_name": "shelf tablet", **more}
        response = client.post("/api/pair", body, content_type="application/json")
    return client, response


def offered(cast: Cast, at: str = "Mon 07:30", name: str = "Robin", role: str = "helper") -> str:
    owner = paired(cast)
    response = owner.post("pairing-links", at, {"person_name": name, "role": role})
    assert response.status_code == 201
    return response.json()["url"].rsplit("/", 1)[1]


def test_the_first_start_opens_a_workshop_and_makes_its_owner() -> None:
    token = first_link(at=when("Mon 07:00"))
    assert token
    _, response = pair(token, zone="Europe/Dublin", person_name="Ash", workshop_name="Slipway")
    told = response.json()
    assert response.status_code == 200
    assert told["role"] == "owner"
    assert told["workshop"]["zone"] == "Europe/Dublin"
    assert Workshop.objects.get().name == "Slipway"
    assert first_link(at=when("Mon 09:00")) is None


def test_a_newer_first_link_makes_the_older_one_useless() -> None:
    older, newer = first_link(at=when("Mon 07:00")), first_link(at=when("Mon 07:01"))
    assert older
    assert newer
    assert pair(older)[1].json()["key"] == "link_gone"
    assert pair(newer)[1].status_code == 200


def test_a_link_pairs_one_phone_and_no_second() -> None:
    token = offered(Cast.open())
    assert pair(token)[1].status_code == 200
    again = pair(token)[1]
    assert again.status_code == 422
    assert again.json()["key"] == "link_gone"
    assert Phone.objects.filter(person__name="Robin").count() == 1


def test_a_link_is_good_for_an_hour() -> None:
    token = offered(Cast.open(), at="Mon 07:30")
    assert pair(token, at="Mon 08:31")[1].json()["key"] == "link_gone"


def test_a_made_up_link_pairs_nothing() -> None:
    offered(Cast.open())
    assert pair("x" * 43)[1].json()["key"] == "link_gone"


def test_no_token_is_kept_as_it_was_given_out() -> None:
    cast = Cast.open()
    cast.place()
    token = offered(cast)
    client, _ = pair(token)
    sensor = sensor_in(cast)
    kept = [
        *PairingLink.objects.values_list("token_hash", flat=True),
        *Phone.objects.values_list("token_hash", flat=True),
        *Sensor.objects.values_list("token_hash", flat=True),
    ]
    given_out = {token, client.cookies[COOKIE].value, sensor.token}
    assert not given_out & set(kept)
    assert all(len(one) == 64 for one in kept)


def test_the_key_of_a_phone_is_out_of_reach_of_scripts_and_other_sites() -> None:
    cookie = pair(offered(Cast.open()))[0].cookies[COOKIE]
    assert cookie["httponly"]
    assert cookie["samesite"] == "Lax"
    assert cookie["path"] == "/"
    assert not cookie["secure"]


def test_over_https_the_key_never_travels_in_the_open() -> None:
    token = first_link(at=when("Mon 07:00"))
    client = Client()
    with at_the_clock("Mon 08:00"):
        body = {"token": token, "phone_name": "tablet"}
        client.post("/api/pair", body, content_type="application/json", secure=True)
    assert client.cookies[COOKIE]["secure"]


def test_only_the_owner_offers_places() -> None:
    helper = paired(Cast.open(), "helper")
    response = helper.post("pairing-links", "Mon 08:00", {"person_name": "X", "role": "owner"})
    assert response.status_code == 403
    assert response.json()["key"] == "not_allowed"


def test_a_person_does_not_become_owner_by_a_second_phone() -> None:
    cast = Cast.open()
    owner = paired(cast)
    assert cast.helper.person
    body = {"person_name": cast.helper.person.name, "role": "owner"}
    told = owner.post("pairing-links", "Mon 08:00", body).json()
    assert (told["field"], told["status"]) == ("role", 422)


def test_a_link_comes_with_a_picture_of_it() -> None:
    body = {"person_name": "Robin", "role": "viewer"}
    told = paired(Cast.open()).post("pairing-links", "Mon 08:00", body).json()
    assert told["url"].startswith("http://testserver/pair/")
    assert told["qr_svg"].startswith("<svg")
    assert told["until"] == "2026-02-02T09:00:00Z"


def test_an_unpaired_phone_gets_nothing_more() -> None:
    cast = Cast.open()
    owner, helper = paired(cast), paired(cast, "helper")
    assert owner.post(f"phones/{helper.phone.id}/unpair", "Mon 08:00", {}).status_code == 200
    assert helper.get("phones", "Mon 08:01").status_code == 401


def test_a_helper_unpairs_their_own_phone_and_no_other() -> None:
    cast = Cast.open()
    owner, helper = paired(cast), paired(cast, "helper")
    assert helper.post(f"phones/{owner.phone.id}/unpair", "Mon 08:00", {}).status_code == 403
    response = helper.post(f"phones/{helper.phone.id}/unpair", "Mon 08:00", {})
    assert response.status_code == 200
    assert response.cookies[COOKIE].value == ""


def test_another_workshops_phone_is_as_unknown_as_none() -> None:
    one, other = Cast.open(), Cast.open("Other shed")
    owner, stranger = paired(one), paired(other)
    theirs = owner.post(f"phones/{stranger.phone.id}/unpair", "Mon 08:00", {})
    none = owner.post(f"phones/{one.id('nobody')}/unpair", "Mon 08:00", {})
    assert theirs.status_code == none.status_code == 404
    assert theirs.json() == none.json()
    assert stranger.get("phones", "Mon 08:01").status_code == 200


def test_phones_are_listed_with_what_they_still_keep() -> None:
    cast = Cast.open()
    owner, helper = paired(cast), paired(cast, "helper")
    helper.post("heartbeat", "Mon 08:00", {"unsent": 11})
    rows = {row["id"]: row for row in owner.get("phones", "Mon 08:01").json()["phones"]}
    assert rows[str(helper.phone.id)]["unsent"] == 11
    assert rows[str(helper.phone.id)]["seen_at"] == "2026-02-02T08:00:00Z"
    assert len(rows) == 2


def test_a_heartbeat_keeps_the_key_alive() -> None:
    response = paired(Cast.open()).post("heartbeat", "Mon 08:00", {"unsent": 0})
    assert response.cookies[COOKIE]["max-age"] > timedelta(days=300).total_seconds()


@pytest.mark.parametrize(
    "headers",
    [
        {"X-CureClock-Phone": ""},
        {"X-CureClock-Phone": "11111111-1111-4111-8111-111111111111"},
        {"Origin": "https://elsewhere.example"},
        {"Origin": "null"},
        {"Origin": "http://testserver:8443"},
        {"Origin": ""},
    ],
)
def test_a_page_elsewhere_cannot_use_a_phones_key(headers: dict[str, str]) -> None:
    phone = paired(Cast.open())
    response = phone.post("heartbeat", "Mon 08:00", {"unsent": 3}, **headers)
    assert response.status_code == 403
    phone.phone.refresh_from_db()
    assert phone.phone.unsent == 0


@pytest.mark.parametrize("key", ["", "x", "é", "0" * 4000])
def test_without_a_key_nobody_is_paired(key: str) -> None:
    paired(Cast.open())
    client = Client()
    if key:
        client.cookies[COOKIE] = key
    response = client.get("/api/phones")
    assert response.status_code == 401
    assert response.json()["key"] == "not_paired"
    assert response["Content-Type"] == "application/problem+json"


def test_one_of_two_phones_gets_the_link_when_both_use_it_at_once() -> None:
    cast = Cast.open()
    token = offered(cast)
    PhoneAtDoor(Phone.objects.all()[0], "unused")
    assert sorted(pair(token)[1].status_code for _ in range(2)) == [200, 422]


def test_a_person_who_left_the_workshop_is_out() -> None:
    cast = Cast.open()
    helper = paired(cast, "helper")
    cast.workshop.memberships.filter(role="helper").delete()
    assert helper.get("phones", "Mon 08:00").status_code == 401
