"""Settings for many are clean by Django's own list of what a server on the internet must have."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from cureclock.runtime import webbuild

SCALED = {
    "CURECLOCK_OUTSIDE": "yes",
    "CURECLOCK_BEHIND_PROXY": "yes",
    "CURECLOCK_TLS": "no",
    "CURECLOCK_NAMES": "shop.example.org",
    "DATABASE_URL": "postgres://cureclock@127.0.0.1:1/cureclock",
    "REDIS_URL": "redis://127.0.0.1:1/0",
}
# What is left out on purpose, each with its reason in the settings.
SILENT = {"security.W005", "security.W021"}
TOLD = (
    "from django.conf import settings as s; print(*s.SILENCED_SYSTEM_CHECKS, s.SECURE_SSL_REDIRECT)"
)


def run(*words: str, var: Path, more: dict[str, str]) -> "subprocess.CompletedProcess[str]":
    own = {**os.environ, "CURECLOCK_VAR": str(var), **more}
    own["DJANGO_SETTINGS_MODULE"] = "cureclock.runtime.settings"
    for ours in ("CURECLOCK_SECRET_KEY", "DJANGO_ALLOW_ASYNC_UNSAFE"):  # set for tests alone
        own.pop(ours, None)
    return subprocess.run(
        [sys.executable, *words],
        cwd=webbuild.ROOT,
        env=own,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize("more", [SCALED, {}], ids=["scaled", "as it comes"])
def test_check_deploy_finds_nothing(tmp_path: Path, more: dict[str, str]) -> None:
    ended = run(
        "manage.py", "check", "--deploy", "--fail-level", "WARNING", var=tmp_path, more=more
    )
    assert ended.returncode == 0, ended.stderr


def test_check_deploy_finds_what_is_wrong(tmp_path: Path) -> None:
    wrong = {**SCALED, "CURECLOCK_DEBUG": "yes"}
    ended = run(
        "manage.py", "check", "--deploy", "--fail-level", "WARNING", var=tmp_path, more=wrong
    )
    assert ended.returncode == 1
    assert "security.W018" in ended.stderr


def test_reached_from_outside_only_two_findings_are_silent_and_plain_http_is_turned_away(
    tmp_path: Path,
) -> None:
    *silent, redirected = run("-c", TOLD, var=tmp_path, more=SCALED).stdout.split()
    assert set(silent) == SILENT
    assert redirected == "True"
