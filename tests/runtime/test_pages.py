"""The pages the server writes itself, and what every answer carries."""

import datetime as dt
import ipaddress
from pathlib import Path
from typing import Any

import pytest
from cryptography import x509
from django.test import Client
from pytest_django import Settings

from cureclock.runtime import certificates, webbuild
from cureclock.runtime.pages import HTTPS_PORT

BY_UP = {HTTPS_PORT: "8443"}


@pytest.fixture
def with_authority(settings: Settings, tmp_path: Path) -> None:
    settings.CURECLOCK_VAR = tmp_path
    where = [ipaddress.ip_address("192.168.1.20")]
    certificates.ensure(tmp_path / "tls", ["localhost"], where, dt.datetime.now(dt.UTC))


@pytest.fixture
def built(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "index.html").write_text("the app")
    monkeypatch.setattr(webbuild, "DIST", tmp_path)


def body(response: Any) -> bytes:
    return b"".join(response) if response.streaming else response.content


@pytest.mark.parametrize("path", ["/waits/7", "/pieces/a/b"])
def test_address_of_a_screen_opens_the_app(client: Client, built: None, path: str) -> None:
    assert body(client.get(path)) == b"the app"


def test_address_of_several_lines_is_answered_like_any_other(client: Client, built: None) -> None:
    answer = client.get("/api/pieces/a%0Ab/may")
    assert (answer.status_code, answer["Content-Type"]) == (404, "application/problem+json")
    assert body(client.get("/a%0Ab")) == b"the app"


@pytest.mark.parametrize("path", ["/api/nothing", "/assets/gone.js"])
def test_missing_file_or_endpoint_is_not_answered_with_the_app(
    client: Client, built: None, path: str
) -> None:
    assert client.get(path).status_code == 404


def test_unbuilt_app_is_said_in_words(
    client: Client, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(webbuild, "DIST", tmp_path / "none")
    answer = client.get("/waits/7")
    assert answer.status_code == 503
    assert "the phone app is not built" in answer.content.decode()


@pytest.mark.usefixtures("with_authority")
def test_plain_certificate_page_says_what_is_missing_and_where_to_go(client: Client) -> None:
    page = client.get("/certificate", headers={"host": "192.168.1.20:8000"}, **BY_UP)
    words = page.content.decode()
    for missing in ("service worker", "push", "wake lock", "camera"):
        assert missing in words
    assert 'href="https://192.168.1.20:8443/"' in words


@pytest.mark.usefixtures("with_authority")
def test_certificate_page_shows_the_fingerprint_of_what_it_gives_out(client: Client) -> None:
    given = x509.load_der_x509_certificate(
        client.get("/certificate/authority.crt", **BY_UP).content
    )
    page = client.get("/certificate", secure=True, **BY_UP).content.decode()
    assert certificates.fingerprint(given) in page


@pytest.mark.usefixtures("with_authority")
def test_certificate_is_given_in_both_forms_and_never_with_its_key(client: Client) -> None:
    der = client.get("/certificate/authority.crt", **BY_UP)
    pem = client.get("/certificate/authority.pem", **BY_UP)
    assert der["Content-Type"] == pem["Content-Type"] == "application/x-x509-ca-cert"
    first = x509.load_der_x509_certificate(der.content)
    assert first == x509.load_pem_x509_certificate(pem.content)
    assert b"PRIVATE" not in pem.content


def test_given_certificate_leaves_nothing_to_install(
    client: Client, with_authority: None, settings: Settings
) -> None:
    settings.CURECLOCK_CERTIFICATE = "/etc/some.pem"
    assert client.get("/certificate/authority.crt", **BY_UP).status_code == 404
    assert "nothing to install" in client.get("/certificate", **BY_UP).content.decode()


def test_server_without_https_says_so(client: Client) -> None:
    words = client.get("/certificate").content.decode()
    assert "started without HTTPS" in words
    assert "https://" not in words


def test_certificate_page_breaks_none_of_the_rules_it_is_served_with(client: Client) -> None:
    words = client.get("/certificate").content.decode()
    assert "<style" not in words
    assert "style=" not in words
    assert "<script" not in words
    assert client.get("/plain.css")["Content-Type"].startswith("text/css")
