"""No request keeps the records busy for long, and a phone is told to come again."""

import threading
from typing import Any
from unittest import mock

import pytest
from django.db import OperationalError, connection, connections
from django.test import Client
from pytest_django import Settings

from cureclock.runtime.middleware.bounded_statements import bounded


def test_the_time_is_told_at_the_start_of_a_connection_and_once() -> None:
    told = {"OPTIONS": {"options": "-c a=1"}, "NAME": "x"}
    once = bounded(told, 30)
    assert once == {"OPTIONS": {"options": "-c a=1 -c statement_timeout=30s"}, "NAME": "x"}
    assert bounded(once, 5) == once
    assert told["OPTIONS"] == {"options": "-c a=1"}


@pytest.mark.django_db
def test_a_phone_is_told_to_come_again_while_the_records_are_away(client: Client) -> None:
    client.cookies["cureclock_phone"] = "x" * 43
    with mock.patch("cureclock.api.who.Phone.objects", **{"select_related.side_effect": gone}):
        answer = client.get("/api/phones")
    assert (answer.status_code, answer["Retry-After"]) == (503, "5")
    assert answer.json()["key"] == "records_away"
    assert "stays on the phone" in answer.json()["mend"]


def gone(*_: object) -> Any:
    raise OperationalError("canceling statement due to statement timeout")


@pytest.mark.scaled
@pytest.mark.django_db(transaction=True)
def test_postgresql_ends_a_long_statement_of_a_request_and_of_nobody_else(
    settings: Settings,
) -> None:
    settings.CURECLOCK_STATEMENT_S = 1
    found: dict[str, Any] = {}

    def sleep(*_: object) -> Any:
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_sleep(3)")
        return mock.DEFAULT

    def request() -> None:
        client = Client()
        client.cookies["cureclock_phone"] = "x" * 43
        with mock.patch("cureclock.api.who.hashed", side_effect=sleep, return_value="x"):
            found["request"] = client.get("/api/phones").status_code
        connections.close_all()

    def other() -> None:
        with connection.cursor() as cursor:
            cursor.execute("SHOW statement_timeout")
            found["other"] = cursor.fetchone()[0]
        connections.close_all()

    for act in (request, other):
        thread = threading.Thread(target=act)
        thread.start()
        thread.join()
    assert found == {"request": 503, "other": "0"}
