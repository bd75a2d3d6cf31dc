"""`up` from cold, already installed: the first page, and what it weighs when idle.

The rival is a bare Python that imports Django and nothing of ours, timed in the same run.
"""

import os
import re
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

from tests.servers import free_port

ROOT = Path(__file__).resolve().parents[2]
ROUNDS = 3


def seconds_of_bare_django() -> float:
    began = time.monotonic()
    subprocess.run([sys.executable, "-c", "import django.db.models, django.http"], check=True)
    return time.monotonic() - began


def first_page_and_weight(var: Path) -> tuple[float, float]:
    port = free_port()
    began = time.monotonic()
    up = subprocess.Popen(
        [sys.executable, "manage.py", "up", "--port", str(port), "--tls-port", "0"],
        cwd=ROOT,
        env={**os.environ, "CURECLOCK_VAR": str(var)},
        stdout=subprocess.DEVNULL,
    )
    try:
        ask(port, up)
        took = time.monotonic() - began
        for _ in range(100):
            ask(port, up)
        time.sleep(2)
        return took, resident_mb(up.pid)
    finally:
        up.terminate()
        up.wait()


def ask(port: int, up: subprocess.Popen[bytes]) -> None:
    while True:
        assert up.poll() is None, "up ended"
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=30) as page:
                page.read()
            return
        except urllib.error.HTTPError:
            return
        except OSError:
            time.sleep(0.01)


def resident_mb(pid: int) -> float:
    status = Path(f"/proc/{pid}/status").read_text()
    found = re.search(r"VmRSS:\s+(\d+) kB", status)
    assert found
    return int(found[1]) / 1024


def test_up_from_cold(tmp_path: Path, web_app: None) -> None:
    rival = min(seconds_of_bare_django() for _ in range(ROUNDS))
    for number in range(ROUNDS):
        took, weight = first_page_and_weight(tmp_path)
        made = "records made" if number == 0 else "records there"
        print(
            f"\nup, {made}: first page after {took:.2f} s, {took / rival:.1f} times a bare import "
            f"of Django; idle at {weight:.0f} MB resident",
            end="",
        )
    print()
