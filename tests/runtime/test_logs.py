"""What the server says about itself, and what it never does."""

import json
import logging
import logging.config
from collections.abc import Iterator

import pytest
import structlog
from django.http import HttpRequest
from django.test import Client, RequestFactory
from django.urls import resolve

from cureclock.runtime.logs import logging_config


@pytest.fixture(autouse=True)
def as_before() -> Iterator[None]:
    yield
    logging.config.dictConfig(logging_config("WARNING", "plain"))


def listen() -> None:
    """Everything from INFO up, as json lines on the screen of the test that calls this."""
    logging.config.dictConfig(logging_config("INFO", "json"))


def lines(said: pytest.CaptureFixture[str]) -> list[dict[str, object]]:
    return [json.loads(line) for line in said.readouterr().err.splitlines()]


def test_line_of_a_request_bears_the_id_the_phone_saw(
    client: Client, capsys: pytest.CaptureFixture[str]
) -> None:
    listen()
    answer = client.get("/certificate")
    (line,) = [line for line in lines(capsys) if line["event"] == "answered"]
    assert line["request_id"] == answer["X-Request-ID"]
    assert (line["method"], line["route"], line["status"]) == ("GET", "certificate", 200)


def test_path_is_never_logged_since_paths_carry_tokens(
    client: Client, capsys: pytest.CaptureFixture[str]
) -> None:
    listen()
    client.get("/api/feeds/secret-token.ics?key=secret-token")
    assert "secret-token" not in capsys.readouterr().err


def test_failure_is_logged_by_route_and_not_by_path(
    rf: RequestFactory, capsys: pytest.CaptureFixture[str]
) -> None:
    request: HttpRequest = rf.get("/certificate?key=secret-token")
    request.resolver_match = resolve("/certificate")
    told = {"status_code": 500, "request": request}
    listen()
    logging.getLogger("django.request").error("Server Error: %s", request.path, extra=told)
    (line,) = lines(capsys)
    assert line["event"] == "500 GET certificate"


def test_failure_in_plain_form_prints_no_local_values(capsys: pytest.CaptureFixture[str]) -> None:
    logging.config.dictConfig(logging_config("WARNING", "plain"))  # to the screen of this test
    password = "hunter" + "2"
    try:
        raise ValueError(len(password))
    except ValueError:
        structlog.get_logger("cureclock.test").exception("failed")
    shown = capsys.readouterr().err
    assert "ValueError: 7" in shown
    assert password not in shown
