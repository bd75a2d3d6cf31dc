"""A feed's address is shown once, made anew or switched off, and then the one before is dead."""

from typing import Any
from urllib.parse import urlsplit

import pytest
from django.test import Client

from tests.api.door import PhoneAtDoor, at_the_clock, paired
from tests.cast import Cast

pytestmark = pytest.mark.django_db


def read(url: str) -> int:
    """What a calendar gets that knows this address and nothing else."""
    parts = urlsplit(url)
    with at_the_clock("Mon 12:00"):
        return Client().get(f"{parts.path}?{parts.query}").status_code


def make(phone: PhoneAtDoor) -> dict[str, Any]:
    made: dict[str, Any] = phone.post("calendar-feeds", "Mon 08:00", {"name": "kitchen"}).json()
    return made


def test_an_address_is_shown_once_and_reads_the_waits() -> None:
    phone = paired(Cast.open())
    feed = make(phone)
    assert read(feed["url"]) == 200
    (told,) = phone.get("calendar-feeds", "Mon 09:00").json()["feeds"]
    assert (told["id"], told["mine"], told.get("url")) == (feed["id"], True, None)


def test_made_anew_the_address_before_is_dead() -> None:
    phone = paired(Cast.open())
    feed = make(phone)
    anew = phone.post(f"calendar-feeds/{feed['id']}/anew", "Mon 10:00", {}).json()
    assert (anew["id"], anew["name"]) == (feed["id"], "kitchen")
    assert (read(feed["url"]), read(anew["url"])) == (404, 200)


def test_switched_off_it_answers_nobody_and_cannot_be_made_anew() -> None:
    phone = paired(Cast.open())
    feed = make(phone)
    assert phone.post(f"calendar-feeds/{feed['id']}/revoke", "Mon 10:00", {}).status_code == 200
    assert read(feed["url"]) == 404
    assert phone.post(f"calendar-feeds/{feed['id']}/anew", "Mon 10:01", {}).status_code == 404


def test_an_owner_may_switch_off_anothers_but_not_learn_its_address() -> None:
    cast = Cast.open()
    helper, owner = paired(cast, "helper"), paired(cast)
    feed = make(helper)
    (told,) = owner.get("calendar-feeds", "Mon 09:00").json()["feeds"]
    assert told["mine"] is False
    assert owner.post(f"calendar-feeds/{feed['id']}/anew", "Mon 10:00", {}).status_code == 403
    assert read(feed["url"]) == 200
    assert owner.post(f"calendar-feeds/{feed['id']}/revoke", "Mon 10:01", {}).status_code == 200
    assert read(feed["url"]) == 404


def test_nobody_else_touches_anothers() -> None:
    cast = Cast.open()
    feed = make(paired(cast))
    helper, stranger = paired(cast, "helper"), paired(Cast.open("Other yard"))
    for phone, code in ((helper, 403), (stranger, 404)):
        for act in ("anew", "revoke"):
            assert (
                phone.post(f"calendar-feeds/{feed['id']}/{act}", "Mon 10:00", {}).status_code
                == code
            )
    assert read(feed["url"]) == 200
