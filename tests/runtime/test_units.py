"""The unit files of docs/how-to/units: what they start does start, answers, and stops in good order."""

import json
import os
import shlex
import shutil
import signal
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.runtime.in_front import InFront
from tests.servers import Postgres, Redis, free_port

ROOT = Path(__file__).resolve().parents[2]
UNITS = ROOT / "docs" / "how-to" / "units"
SERVICES = sorted(UNITS.glob("*.service"))
BIN, PORT = "/opt/cureclock/.venv/bin/", "8001"
WAIT_S = 60


def said(unit: Path) -> dict[str, str]:
    """What a unit file says; the last word of each name."""
    lines = [one for one in unit.read_text().splitlines() if "=" in one and one[0] != "#"]
    return dict(one.split("=", 1) for one in lines)


def command(name: str, port: int = 0) -> list[str]:
    """The command of a unit, with this Python's programs and another port."""
    words = shlex.split(said(UNITS / f"cureclock-{name}.service")["ExecStart"])
    assert words[0].startswith(BIN)
    program = words[0].removeprefix(BIN)
    here = [sys.executable] if program == "python" else [sys.executable, "-m", program]
    return [*here, *(word.replace(PORT, str(port)) for word in words[1:])]


def environment() -> dict[str, str]:
    lines = (UNITS / "cureclock.env").read_text().splitlines()
    return dict(one.split("=", 1) for one in lines if one and one[0] != "#")


def test_each_service_runs_as_nobody_special_and_closes_what_it_makes() -> None:
    assert len(SERVICES) == 5
    for unit in SERVICES:
        told = said(unit)
        assert told["User"] == "cureclock", unit.name
        assert told["UMask"] == "0077", unit.name
        assert told["NoNewPrivileges"] == "yes", unit.name
        assert "EnvironmentFile" in told, unit.name
        if told.get("Restart"):
            assert int(told["TimeoutStopSec"]) >= 20, unit.name


def test_systemd_finds_nothing_wrong_where_there_is_one(tmp_path: Path) -> None:
    program = shutil.which("systemd-analyze")
    for unit in [*SERVICES, *UNITS.glob("*.timer")]:
        text = unit.read_text().replace("/opt/cureclock/.venv/bin/gunicorn", "/bin/true")
        for name in ("python", "celery"):
            text = text.replace(f"{BIN}{name}", "/bin/true")
        (tmp_path / unit.name).write_text(text)
    if program:
        files = sorted(str(one) for one in tmp_path.iterdir())
        ended = subprocess.run(
            [program, "verify", *files], capture_output=True, text=True, check=False
        )
        ours = [line for line in ended.stderr.splitlines() if "cureclock" in line]
        assert ours == []


def test_settings_of_the_example_are_ones_there_are() -> None:
    page = (ROOT / "docs" / "reference" / "settings.md").read_text()
    assert [name for name in environment() if f"| `{name}` |" not in page] == []


def test_the_proxy_takes_what_the_server_takes_and_logs_no_path() -> None:
    text = (UNITS / "proxy.conf").read_text()
    assert "client_max_body_size 32m;" in text
    assert f"server 127.0.0.1:{PORT};" in text
    (form,) = [line for line in text.splitlines() if line.startswith("log_format")]
    assert not {"$request ", "$request_uri", "$uri", "$args", "$http_referer"} & set(form.split())
    assert "request_uri" not in form


@pytest.fixture(scope="module")
def started() -> Iterator[dict[str, Any]]:
    """Everything one host runs, on a PostgreSQL and a Redis of its own."""
    postgres, redis, port = Postgres(), Redis(), free_port()
    var = postgres.folder.parent / f"{postgres.folder.name}-var"
    env = {name: value for name, value in os.environ.items() if not name.startswith("CURECLOCK_")}
    env |= environment()
    env |= {"CURECLOCK_VAR": str(var), "DATABASE_URL": postgres.url, "REDIS_URL": redis.url}
    subprocess.run(command("migrate"), cwd=ROOT, env=env, check=True, capture_output=True)
    kept: dict[str, Any] = {"port": port, "env": env, "running": {}}
    for name in ("web", "remind", "beat"):
        kept["running"][name] = subprocess.Popen(
            command(name, port),
            cwd=ROOT,
            env=env,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
        )
    yield kept
    for process in kept["running"].values():
        if process.poll() is None:
            process.kill()
        process.wait()
        process.stderr.close()
    postgres.stop()
    redis.stop()
    shutil.rmtree(var, ignore_errors=True)


def ask(port: int, path: str, **headers: str) -> tuple[int, str]:
    """As the proxy asks."""
    told = {"Host": "glue.example.org", "X-Forwarded-Proto": "https", **headers}
    request = urllib.request.Request(f"http://127.0.0.1:{port}{path}", headers=told)
    try:
        with urllib.request.urlopen(request, timeout=20) as answer:
            return answer.status, answer.read().decode()
    except urllib.error.HTTPError as refused:
        with refused:
            return refused.code, refused.read().decode()
    except OSError:
        return 0, ""


def until(what: Any) -> bool:
    give_up = time.monotonic() + WAIT_S
    while time.monotonic() < give_up:
        if what():
            return True
        time.sleep(0.2)
    return False


@pytest.mark.long
@pytest.mark.slow
@pytest.mark.scaled
def test_through_nginx_the_app_answers_as_an_https_site_and_another_name_is_refused(
    started: dict[str, Any], tmp_path: Path
) -> None:
    front = InFront(started["port"], tmp_path)
    assert until(lambda: front.ask("/health/live")[0] == 200)
    status, headers, page = front.ask("/")
    assert (status, b"<html" in page) == (200, True)
    assert headers["Strict-Transport-Security"]
    assert "default-src" in headers["Content-Security-Policy"]
    assert front.ask("/api/phones")[0] == 401
    assert front.ask("/api/phones", Host="rebound.example")[0] == 400
    assert front.ask("/metrics")[0] == 404
    front.stop()


@pytest.mark.slow
@pytest.mark.scaled
def test_one_host_answers_sends_and_stops_in_good_order(started: dict[str, Any]) -> None:
    port, web = started["port"], started["running"]["web"]

    def sends() -> bool:
        status, body = ask(port, "/health/ready")
        return status == 200 and json.loads(body)["sends"] == "yes"

    assert until(sends)
    assert ask(port, "/api/phones")[0] == 401
    assert ask(port, "/api/phones", Host="rebound.example")[0] == 400
    assert ask(port, "/metrics")[0] == 403  # behind a proxy, without a token, nobody
    web.send_signal(signal.SIGHUP)  # as `systemctl reload` does: a new program, nobody turned away
    codes: list[int] = []
    for _ in range(20):
        codes.append(ask(port, "/health/live")[0])
        time.sleep(0.1)
    assert codes == [200] * 20
    slow: list[int] = []
    busy = [
        threading.Thread(target=lambda: slow.append(ask(port, "/api/schema")[0])) for _ in range(3)
    ]
    for one in busy:
        one.start()
    time.sleep(0.05)
    for process in started["running"].values():
        process.terminate()
    for one in busy:
        one.join()
    assert slow == [200] * 3  # under way when they were told to stop
    for name, process in started["running"].items():
        assert process.wait(timeout=30) == 0, name
