"""Lighthouse on the three screens that are opened most, of the built app in the demo shop.

A middling phone by Lighthouse's own profile: a slow line and a processor four times slower. It is
fetched by the lock beside this file, into var/, when this test is first run; nothing else asks for
it.
"""

import hashlib
import json
import os
import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page

from cureclock.api.who import COOKIE
from cureclock.runtime import webbuild
from tests.browser.demo_shop import DemoShop
from tests.servers import free_port

pytestmark = [pytest.mark.long, pytest.mark.django_db(transaction=True)]
LOCKED = Path(__file__).parent / "lighthouse"
INSTALLED = webbuild.ROOT / "var" / "lighthouse"
SCREENS = ("/now", "/start", "/can")
ASKED = ("performance", "accessibility", "best-practices")
LEAST = 95
WEDNESDAY = 2


def npm(*arguments: str) -> subprocess.CompletedProcess[str]:
    command, folder = webbuild.npm()
    path = os.pathsep.join(filter(None, [folder, os.environ.get("PATH", "")]))
    return subprocess.run(
        [*command, *arguments],
        cwd=INSTALLED,
        env={**os.environ, "PATH": path},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture(scope="module")
def installed() -> None:
    """As the lock says, unless what lies there came from this very lock."""
    lock = hashlib.sha256((LOCKED / "package-lock.json").read_bytes()).hexdigest()
    mark = INSTALLED / "node_modules" / ".from-lock"
    if mark.exists() and mark.read_text() == lock:
        return
    shutil.copytree(LOCKED, INSTALLED, dirs_exist_ok=True)
    fetched = npm("ci", "--no-audit", "--no-fund", "--loglevel", "error")
    assert fetched.returncode == 0, fetched.stderr
    mark.write_text(lock)


@pytest.fixture
def opened(launch: Callable[..., Browser]) -> Iterator[tuple[Browser, int]]:
    """A Chromium of its own, and the port it can be driven at."""
    port = free_port()
    browser = launch(options=[f"--remote-debugging-port={port}"])
    yield browser, port
    browser.close()


def measured(url: str, port: int) -> dict[str, Any]:
    """The report of one screen; asked for once more only where the page never began to load."""
    for _ in range(2):
        told = npm(
            *("exec", "--offline", "--", "lighthouse", url, f"--port={port}", "--quiet"),
            *(f"--only-categories={','.join(ASKED)}", "--output=json", "--output-path=stdout"),
            "--no-enable-error-reporting",
        )
        report: dict[str, Any] = json.loads(told.stdout) if told.stdout else {}
        wrong = report.get("runtimeError", {}).get("code") or (not report and told.stderr)
        if not wrong:
            return report
        if "NO_NAVSTART" not in wrong:
            break
    raise AssertionError(f"Lighthouse said nothing of {url}: {wrong}")


def short(report: dict[str, Any]) -> dict[str, list[str]]:
    """What falls short in each category that does, worst first."""
    found = {}
    for name, category in report["categories"].items():
        if round(category["score"] * 100) >= LEAST:
            continue
        weighed = [one["id"] for one in category["auditRefs"] if one["weight"]]
        audits = [report["audits"][one] for one in weighed]
        lost = sorted((one["score"], one["id"]) for one in audits if one["score"] not in (1, None))
        found[name] = [f"{category['score'] * 100:.0f}", *(f"{one}: {of}" for of, one in lost)]
    return found


def test_lighthouse_finds_little_to_mend_on_a_middling_phone(
    installed: None,
    phones: Callable[[], Page],
    live_server: Any,
    opened: tuple[Browser, int],
) -> None:
    shop = DemoShop.at(WEDNESDAY, 17, phones, live_server.url)
    browser, port = opened
    key = {"name": COOKIE, "value": shop.key(), "url": live_server.url, "httpOnly": True}
    browser.new_browser_cdp_session().send("Storage.setCookies", {"cookies": [key]})
    lacking = {}
    for path in SCREENS:
        report = measured(f"{live_server.url}{path}", port)
        assert urlsplit(report["finalDisplayedUrl"]).path == path
        scores = {one: round(report["categories"][one]["score"] * 100) for one in ASKED}
        print(path, scores)  # noqa: T201
        if found := short(report):
            lacking[path] = found
    assert lacking == {}
