"""The plan is made in a process of its own, which is gone when it is made."""

import subprocess
import threading
import time

import pytest

from cureclock.runtime import planning


class Child:
    """A process that ends when told."""

    def __init__(self, code: int | None = None) -> None:
        self.returncode, self.ended = code, False

    def poll(self) -> int | None:
        return self.returncode

    def terminate(self) -> None:
        self.ended, self.returncode = True, -15

    def wait(self, timeout: float) -> int:
        assert timeout > 0
        return self.returncode or 0


def test_a_child_is_ended_with_us():
    child, stopping = Child(), threading.Event()
    stopping.set()
    planning.wait_for(child, stopping)  # type: ignore[arg-type]
    assert child.ended


def test_a_child_that_ended_is_left_alone():
    child = Child(0)
    planning.wait_for(child, threading.Event())  # type: ignore[arg-type]
    assert not child.ended


@pytest.mark.slow
def test_the_command_of_the_child_runs_and_leaves_nothing_behind(tmp_path, monkeypatch):
    monkeypatch.setenv("CURECLOCK_VAR", str(tmp_path))
    monkeypatch.delenv("DATABASE_URL", raising=False)
    made = subprocess.run(
        ["python3", "manage.py", "migrate"], cwd=planning.ROOT, capture_output=True, check=False
    )
    assert made.returncode == 0, made.stderr
    began = time.monotonic()
    child = planning.in_a_child()
    planning.wait_for(child, threading.Event())
    assert child.returncode == 0
    assert time.monotonic() - began < 60
