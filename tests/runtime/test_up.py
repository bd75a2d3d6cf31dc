"""`manage.py up`, as a maker types it: one process, started, asked and stopped."""

import http.client
import os
import re
import signal
import socket
import ssl
import stat
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import pytest

from cureclock.runtime import webbuild
from tests.servers import free_port

pytestmark = [pytest.mark.embedded, pytest.mark.slow]
Start = Callable[..., "Up"]


@dataclass
class Up:
    process: subprocess.Popen[str]
    port: int
    said: str

    def secure_port(self) -> int:
        found = re.search(r"https://[\d.]+:(\d+)", self.said)
        assert found, self.said
        return int(found[1])

    def get(self, path: str) -> tuple[int, str]:
        return asked(http.client.HTTPConnection("127.0.0.1", self.port, timeout=10), path)

    def get_securely(self, path: str, authority: str | None = None) -> tuple[int, str]:
        trusting = ssl.create_default_context(cadata=authority or self.authority())
        connection = http.client.HTTPSConnection(
            "127.0.0.1", self.secure_port(), timeout=10, context=trusting
        )
        return asked(connection, path)

    def authority(self) -> str:
        return self.get("/certificate/authority.pem")[1]

    def stop(self, number: signal.Signals = signal.SIGTERM) -> str:
        self.process.send_signal(number)
        said, _ = self.process.communicate(timeout=20)
        return said


def asked(connection: http.client.HTTPConnection, path: str) -> tuple[int, str]:
    with closing(connection):
        connection.request("GET", path)
        answer = connection.getresponse()
        return answer.status, answer.read().decode()


@pytest.fixture
def var(tmp_path: Path) -> Path:
    return tmp_path / "var"


@pytest.fixture
def start(web_app: None, var: Path) -> Iterator[Start]:
    started: list[subprocess.Popen[str]] = []

    def up(*options: str, port: int = 0, **settings: str) -> Up:
        port = port or free_port()
        ports = ["--host", "127.0.0.1", "--port", str(port), "--tls-port", "0"]
        process = subprocess.Popen(
            [sys.executable, "manage.py", "up", *ports, *options],
            cwd=webbuild.ROOT,
            env={**os.environ, "CURECLOCK_VAR": str(var), "CURECLOCK_SECRET_KEY": "", **settings},
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        started.append(process)
        return Up(process, port, said_until_ready(process))

    yield up
    for process in started:
        process.kill()
        process.communicate()


def said_until_ready(process: subprocess.Popen[str]) -> str:
    assert process.stdout is not None
    too_long = threading.Timer(60, process.kill)
    too_long.start()
    said = ""
    for line in process.stdout:
        said += line
        if line == "Ctrl-C stops it.\n":
            break
    too_long.cancel()
    return said


def test_up_serves_the_app_on_both_doors_and_stops_when_told(start: Start) -> None:
    up = start()
    plain = up.get("/")
    assert plain[0] == 200
    assert up.get_securely("/") == plain
    up.stop()
    assert up.process.returncode == 0


def test_ctrl_c_stops_it_without_a_traceback(start: Start) -> None:
    up = start()
    said = up.stop(signal.SIGINT)
    assert up.process.returncode == 0
    assert said == "Stopping ...\n"


def test_address_for_the_phone_is_printed_with_a_picture_of_it(start: Start) -> None:
    up = start()
    assert up.said.startswith(f"CureClock answers at https://127.0.0.1:{up.secure_port()}/\n")
    assert "\u2580" in up.said


def test_fingerprint_on_the_screen_is_that_of_the_page(start: Start) -> None:
    up = start()
    printed = re.search(r"fingerprint: ([0-9A-F:]{95})", up.said)
    assert printed
    assert printed[1] in up.get("/certificate")[1]


def test_second_up_on_the_same_records_is_refused_in_a_sentence(start: Start) -> None:
    first = start()
    second = start()
    second.process.wait(timeout=20)
    assert second.process.returncode == 1
    assert f"Another `up` (process {first.process.pid}) is already using" in second.said
    assert "Traceback" not in second.said
    assert first.get("/")[0] == 200


def test_up_starts_again_after_being_killed(start: Start) -> None:
    start().process.kill()
    assert start().get("/")[0] == 200


def test_taken_port_is_told_in_a_sentence(start: Start) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        taken = other.getsockname()[1]
        up = start(port=taken)
        assert up.process.wait(timeout=20) == 1
    assert f"Cannot listen on 127.0.0.1 port {taken}: it is taken" in up.said
    assert "Traceback" not in up.said


def test_secret_made_at_first_run_is_kept_closed_and_never_shown(start: Start, var: Path) -> None:
    up = start(CURECLOCK_LOG_LEVEL="DEBUG")
    shown = up.get("/certificate")[1] + up.get("/api/none")[1]
    said = up.said + up.stop()
    secret = (var / "secret_key").read_text().strip()
    assert stat.S_IMODE((var / "secret_key").stat().st_mode) == 0o600
    assert stat.S_IMODE(var.stat().st_mode) == 0o700
    assert len(secret) > 50
    assert secret not in said
    assert secret not in shown


def test_records_and_trust_outlive_a_restart(start: Start, var: Path) -> None:
    first = start()
    before = (first.authority(), (var / "secret_key").read_text())
    first.stop()
    second = start()
    assert (second.authority(), (var / "secret_key").read_text()) == before
    assert (var / "cureclock.sqlite3").exists()


def test_no_tls_serves_the_plain_door_only_and_says_what_that_costs(start: Start) -> None:
    up = start("--no-tls")
    assert "https://" not in up.said
    assert "phones will not keep the app offline" in up.said
    assert up.get("/certificate/authority.pem")[0] == 404


def test_given_certificate_is_served(start: Start, var: Path, tmp_path: Path) -> None:
    own = start()
    trusted = own.authority()
    own.stop()
    given = (var / "tls" / "server.pem").rename(tmp_path / "given.pem")
    up = start(CURECLOCK_CERTIFICATE=str(given))
    assert up.get_securely("/", trusted)[0] == 200
    assert up.get("/certificate/authority.pem")[0] == 404


def test_app_that_cannot_be_built_does_not_keep_the_server_from_starting(
    start: Start, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # A Node that fails, and a build that has to be made: the stamp no longer fits.
    (tmp_path / "bin").mkdir()
    for name, words in (("node", "echo v24.0.0"), ("npm", "echo no network; exit 1")):
        (tmp_path / "bin" / name).write_text(f"#!/bin/sh\n{words}\n")
        (tmp_path / "bin" / name).chmod(0o755)
    stamp = webbuild.STAMP.read_text()
    webbuild.STAMP.write_text("of older sources")
    try:
        up = start(PATH=f"{tmp_path / 'bin'}:{os.environ['PATH']}")
    finally:
        webbuild.STAMP.write_text(stamp)
    assert "The phone app could not be built (npm" in up.said
    assert "the last one built is served" in up.said
    assert up.get("/")[0] == 200
