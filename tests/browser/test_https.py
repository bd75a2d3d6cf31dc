"""A phone in the house, at an address that is not loopback, over HTTPS with our own authority.

Certificate errors are never switched off: the browser is brought to trust the authority as a
phone is, by installing it.
"""

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Error, Page, expect

from tests.browser.hand import comes_true
from tests.browser.network import ADDRESS, Network
from tests.conftest import PHONE

pytestmark = pytest.mark.embedded
ROOT = Path(__file__).resolve().parents[2]
PLAIN, SECURE = f"http://{ADDRESS}:8000", f"https://{ADDRESS}:8443"
FETCH = "import sys, urllib.request as u; sys.stdout.buffer.write(u.urlopen(sys.argv[1]).read())"


@pytest.fixture(scope="module")
def network() -> Iterator[Network]:
    with Network() as made:
        yield made


@pytest.fixture
def server(network: Network, web_app: None, tmp_path: Path) -> Iterator[subprocess.Popen[str]]:
    """The real `up`, on its usual ports, with fresh records."""
    started = subprocess.Popen(
        [*network.enter, sys.executable, "manage.py", "up"],
        cwd=ROOT,
        env={**os.environ, "CURECLOCK_VAR": str(tmp_path / "var")},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    assert started.stdout is not None
    said = []
    while "Ctrl-C stops it.\n" not in said:
        said.append(started.stdout.readline())
        assert said[-1], "".join(said)
    assert said[0] == f"CureClock answers at {SECURE}/\n"
    yield started
    started.kill()
    started.communicate()


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A home of the browser's own: its trusted authorities are kept there."""
    store = tmp_path / "home" / ".pki" / "nssdb"
    store.mkdir(parents=True)
    subprocess.run(
        ["certutil", "-N", "-d", f"sql:{store}", "--empty-password"], check=True, timeout=30
    )
    return tmp_path / "home"


@pytest.fixture
def open_phone(
    network: Network, launch: Callable[..., Browser], home: Path, tmp_path: Path
) -> Iterator[Callable[[], Page]]:
    chromium = shutil.which("chromium")
    assert chromium
    program = network.wrapper(chromium, tmp_path / "chromium-inside")
    started: list[Browser] = []

    def another() -> Page:
        started.append(launch(program=program, env={**os.environ, "HOME": str(home)}))
        return started[-1].new_context(**PHONE).new_page()

    yield another
    for browser in started:
        browser.close()


def install(network: Network, home: Path) -> None:
    """What the page tells a maker to do: fetch the certificate, and trust it."""
    authority = home / "authority.pem"
    link = f"{PLAIN}/certificate/authority.pem"
    authority.write_bytes(network.run(sys.executable, "-c", FETCH, link))
    store = ["-d", f"sql:{home}/.pki/nssdb"]
    trusted = ["-A", "-n", "house", "-t", "C,,", "-i", str(authority)]
    subprocess.run(["certutil", *store, *trusted], check=True, timeout=30)


def test_secure_address_is_refused_until_its_certificate_is_installed_then_works_offline(
    server: subprocess.Popen[str], network: Network, home: Path, open_phone: Callable[[], Page]
) -> None:
    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        open_phone().goto(SECURE)

    install(network, home)
    phone = open_phone()
    phone.goto(SECURE)
    assert phone.evaluate("window.isSecureContext")
    phone.evaluate("navigator.serviceWorker.ready")
    comes_true(phone, "navigator.serviceWorker.controller !== null")

    server.send_signal(signal.SIGTERM)
    assert server.wait(timeout=15) == 0
    phone.reload()
    expect(phone.get_by_role("heading", level=1)).to_be_visible()
    assert phone.evaluate("navigator.serviceWorker.controller.state") == "activated"


def test_plain_address_says_what_is_missing_and_it_is(
    server: subprocess.Popen[str], open_phone: Callable[[], Page]
) -> None:
    phone = open_phone()
    phone.goto(f"{PLAIN}/certificate")
    assert not phone.evaluate("window.isSecureContext")
    for missing in ("serviceWorker", "wakeLock", "mediaDevices"):
        assert not phone.evaluate(f"'{missing}' in navigator"), missing
    for words in ("no service worker", "no push", "no wake lock", "the camera"):
        expect(phone.get_by_text(words)).to_be_visible()
    expect(phone.get_by_role("link", name=f"Open {SECURE}/")).to_be_visible()
