"""No key, password, link or address to push to is ever written into a log or an error."""

import io
import logging
import logging.config
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from pytest_django import Settings

from cureclock.runtime import webbuild
from cureclock.runtime.logs import logging_config
from tests.api.door import at_the_clock, paired, sensor_in
from tests.cast import Cast

pytestmark = pytest.mark.django_db
PASSWORD = "twelve wet clamps"


@pytest.fixture
def said() -> Iterator[io.StringIO]:
    """Everything that would be logged, at the most talkative level."""
    out = io.StringIO()
    told = logging_config("DEBUG", "json")
    told["handlers"]["screen"]["stream"] = out
    logging.config.dictConfig(told)
    yield out
    logging.config.dictConfig(logging_config("WARNING", "plain"))


def send(client: Client, path: str, body: Any, **headers: str) -> Any:
    with at_the_clock("Mon 08:00"):
        return client.post(
            f"/api/{path}",
            body,
            content_type="application/json",
            headers={"Origin": "http://testserver", **headers},
        )


def test_no_secret_is_logged_however_talkative_the_log(
    said: io.StringIO, settings: Settings, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    settings.CURECLOCK_OUTSIDE = True
    monkeypatch.setattr(webbuild, "DIST", tmp_path)
    cast = Cast.open()
    cast.place()
    phone, sensor = paired(cast), sensor_in(cast)
    secrets = [phone.token, sensor.token, PASSWORD, settings.SECRET_KEY]
    phone.post("outside-password", "Mon 08:00", {"name": "Ash", "password": PASSWORD})
    link = phone.post("pairing-links", "Mon 08:00", {"person_name": "R", "role": "helper"}).json()
    secrets.append(link["url"].rpartition("/")[2])
    feed = phone.post("calendar-feeds", "Mon 08:00", {"name": "x"}).json()
    secrets.append(feed["url"].rpartition("=")[2])
    client = Client()
    client.get(feed["url"])
    client.get(f"/pair/{secrets[4]}")
    answer = send(client, "pair", {"token": secrets[4], "phone_name": "p"})
    secrets.append(answer.cookies["cureclock_phone"].value)
    for wrong in (PASSWORD, PASSWORD + " x"):
        send(Client(), "sign-in", {"name": "Ash", "password": wrong, "phone_name": "office"})
    sensor.post("readings", "Mon 08:00", {"readings": [{"at": "?", "temp_c": 1}]})
    client.get(f"/api/nowhere/{phone.token}?key={sensor.token}")
    client.post("/api/pair", f'{{"token": "{phone.token}"', content_type="application/json")
    push = "https://push.example.org/secret-endpoint"
    phone.post("ways", "Mon 08:00", {"kind": "webpush", "address": push})
    text = said.getvalue()
    assert text.count("answered") >= 10
    assert [one for one in (*secrets, "secret-endpoint") if len(one) > 8 and one in text] == []
    assert all(len(one) > 8 for one in secrets)


def test_a_defect_is_answered_without_its_insides(
    said: io.StringIO, monkeypatch: pytest.MonkeyPatch
) -> None:
    phone = paired(Cast.open())

    def broken(*_: object, **__: object) -> None:
        raise ValueError(f"broken beside {phone.token[:5]}")

    monkeypatch.setattr("cureclock.api.pairing.PhonesView.get", broken)
    phone.client.raise_request_exception = False
    answer = phone.get("phones", "Mon 08:00")
    assert answer.status_code == 500
    assert b"broken" not in answer.content
    assert b"Traceback" not in answer.content
    assert phone.token not in said.getvalue()
