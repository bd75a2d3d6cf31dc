"""Who asks too often waits; nobody else does, and nobody where the count is away."""

from unittest import mock

import pytest
from django.core.cache import cache
from django.test import Client
from pytest_django import Settings

from tests.api.door import paired
from tests.cast import Cast

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def few(settings: Settings) -> None:
    cache.clear()
    settings.CURECLOCK_REQUESTS_A_MINUTE = 3


def test_the_fourth_request_of_a_phone_waits_and_another_phones_does_not() -> None:
    cast = Cast.open()
    phone, other = paired(cast), paired(cast, "helper")
    codes = [phone.get("phones", "Mon 08:00").status_code for _ in range(4)]
    assert codes == [200, 200, 200, 429]
    assert other.get("phones", "Mon 08:00").status_code == 200


def test_who_has_no_key_is_counted_by_address() -> None:
    body = {"token": "x", "phone_name": "y"}

    def knock(address: str) -> int:
        more = {"content_type": "application/json", "REMOTE_ADDR": address}
        return Client().post("/api/pair", body, **more).status_code  # type: ignore[arg-type]

    assert [knock("192.0.2.1") for _ in range(4)] == [422, 422, 422, 429]
    assert knock("192.0.2.2") == 422
    codes = [knock(f"2001:db8::{number:x}") for number in range(4)]  # all of one house
    assert codes == [422, 422, 422, 429]


def test_the_answer_says_when_to_come_again() -> None:
    phone = paired(Cast.open())
    answers = [phone.get("phones", "Mon 08:00") for _ in range(4)]
    assert answers[-1]["Retry-After"] == "60"
    assert answers[-1].json()["mend"] == "wait a minute"


def test_where_nobody_can_count_everybody_is_answered() -> None:
    phone = paired(Cast.open())
    with mock.patch.object(cache, "add", side_effect=ConnectionError("away")):
        codes = {phone.get("phones", "Mon 08:00").status_code for _ in range(6)}
    assert codes == {200}
