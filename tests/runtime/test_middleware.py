"""What every request passes through, and what every answer carries."""

import re

import pytest
from django.test import Client
from pytest_django import Settings


@pytest.mark.parametrize("path", ["/certificate", "/plain.css", "/api/nothing"])
def test_every_answer_forbids_what_is_not_ours_and_what_is_inline(
    client: Client, path: str
) -> None:
    policy = client.get(path)["Content-Security-Policy"]
    rules = dict(rule.split(" ", 1) for rule in policy.split("; "))
    assert rules["default-src"] == "'none'"
    assert rules["script-src"] == rules["style-src"] == "'self'"
    assert rules["frame-ancestors"] == rules["base-uri"] == "'none'"
    assert "unsafe" not in policy


def test_answers_are_not_to_be_framed_sniffed_or_told_elsewhere(client: Client) -> None:
    answer = client.get("/certificate")
    assert answer["X-Frame-Options"] == "DENY"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Referrer-Policy"] == "same-origin"
    assert answer["Cross-Origin-Opener-Policy"] == "same-origin"


@pytest.mark.parametrize("host", ["192.168.1.9:8000", "[fd00::2]:8443", "localhost", "testserver"])
def test_own_names_and_any_address_are_answered(client: Client, host: str) -> None:
    assert client.get("/certificate", headers={"host": host}).status_code == 200


@pytest.mark.parametrize("host", ["rebound.example", "localhost.rebound.example", "192.168.1.9.x"])
def test_name_that_is_not_ours_is_refused(client: Client, host: str) -> None:
    answer = client.get("/certificate", headers={"host": host})
    assert answer.status_code == 400
    assert b"CURECLOCK_NAMES" in answer.content


def test_a_name_that_is_not_ours_is_repeated_in_no_answer(
    client: Client, settings: Settings
) -> None:
    """Else whoever caches for others could be made to send them there."""
    settings.SECURE_SSL_REDIRECT = True
    answer = client.get("/certificate", headers={"host": "rebound.example"})
    assert (answer.status_code, "Location" in answer) == (400, False)
    assert b"rebound" not in answer.content


@pytest.mark.django_db
def test_what_a_phone_was_told_is_left_in_no_cache(client: Client) -> None:
    assert client.get("/api/phones")["Cache-Control"] == "private, no-store"


def test_each_answer_has_an_id_of_its_own(client: Client) -> None:
    ids = {client.get("/certificate")["X-Request-ID"] for _ in range(3)}
    assert len(ids) == 3
    assert all(re.fullmatch("[0-9a-f]{32}", one) for one in ids)


def test_id_given_by_a_proxy_is_kept_if_it_is_sane(client: Client) -> None:
    def answered(given: str) -> str:
        return str(client.get("/certificate", headers={"x-request-id": given})["X-Request-ID"])

    assert answered("abc-123-def") == "abc-123-def"
    assert answered("abc\x1b[31mdef12") != "abc\x1b[31mdef12"
    assert answered("x" * 65) != "x" * 65
