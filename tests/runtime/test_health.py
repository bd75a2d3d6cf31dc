"""Alive, ready, and figures for whoever may look."""

import re
from pathlib import Path
from unittest import mock

import pytest
from django.db import OperationalError
from django.test import Client
from pytest_django import Settings

PAGE = Path(__file__).resolve().parents[2] / "docs" / "reference" / "metrics.md"


def test_alive_needs_no_records(client: Client) -> None:
    assert client.get("/health/live").status_code == 200


@pytest.mark.django_db
def test_ready_says_how_late_the_oldest_due_is(client: Client) -> None:
    told = client.get("/health/ready")
    assert told.status_code == 200
    assert told.json() == {"records": "ready", "sends": "no", "oldest_due_s": "0.000"}


def test_not_ready_while_the_records_are_away(client: Client) -> None:
    with mock.patch("cureclock.runtime.health._migrated", side_effect=OperationalError):
        told = client.get("/health/ready")
    assert (told.status_code, told.json()) == (503, {"records": "away"})


@pytest.mark.django_db
def test_figures_are_well_formed_and_each_is_documented(client: Client) -> None:
    client.get("/health/live")
    lines = client.get("/metrics").content.decode().splitlines()
    sample = re.compile(r"cureclock_\w+(\{[^{}]*\})? [0-9.e+-]+")
    assert all(line.startswith("#") or sample.fullmatch(line) for line in lines), lines
    names = {line.split()[2] for line in lines if line.startswith("# TYPE")}
    assert names == set(re.findall(r"(?m)^\| `(cureclock_\w+)` \|", PAGE.read_text()))
    assert any("health/live" in line for line in lines)


@pytest.mark.django_db
def test_figures_are_for_this_machine_or_whoever_has_the_token(
    client: Client, settings: Settings
) -> None:
    assert client.get("/metrics", REMOTE_ADDR="192.0.2.1").status_code == 403
    settings.CURECLOCK_BEHIND_PROXY = True
    assert client.get("/metrics").status_code == 403
    settings.CURECLOCK_METRICS_TOKEN = "t" * 20
    assert client.get("/metrics").status_code == 403
    good = {"Authorization": "Bearer " + "t" * 20}
    assert client.get("/metrics", headers=good).status_code == 200
