"""Processes to kill: forked from one that has imported everything, so that each starts at once.

Each is a process like any other, with connections, threads and a death of its own.
"""

import multiprocessing
import os
import signal
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

FORKED = multiprocessing.get_context("forkserver")
FORKED.set_forkserver_preload(["tests.faults.ready"])

Say = Callable[[Any], None]
Does = Callable[[Any, Say], None]


class Child:
    """One process that does something on a world's records.

    Args:
        does: what; it is handed `told`, and a way to say something to the test.
        env: its environment, and nothing of ours.
        log: where it writes what it would show.
    """

    def __init__(self, does: Does, told: Any, env: Mapping[str, str], log: Path) -> None:
        self.log = log
        self._said, says = FORKED.Pipe(duplex=False)
        words = (does, told, dict(env), str(log), says)
        self._process = FORKED.Process(target=_run, args=words)
        self._process.start()
        says.close()

    def hear(self) -> Any:
        """What it says next; EOFError once it is gone."""
        return self._said.recv()

    def poll(self) -> int | None:
        """How it ended, minus the signal where it was killed; None while it is alive."""
        return self._process.exitcode

    def wait(self, timeout: float | None = None) -> int:
        """How it ended."""
        self._process.join(timeout)
        ended = self._process.exitcode
        if ended is None:
            raise TimeoutError(f"still there after {timeout} s")
        self._said.close()
        return ended

    @property
    def pid(self) -> int:
        """Its number."""
        assert self._process.pid is not None
        return self._process.pid

    def send_signal(self, number: int) -> None:
        """As `kill` would."""
        os.kill(self.pid, number)

    def kill(self) -> None:
        """kill -9."""
        self.send_signal(signal.SIGKILL)


def _run(does: Does, told: Any, env: dict[str, str], log: str, says: Any) -> None:
    kept = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
    for shown in (sys.stdout, sys.stderr):
        os.dup2(kept, shown.fileno())
    os.close(kept)
    _live_in(env)
    does(told, says.send)


def _live_in(env: Mapping[str, str]) -> None:
    """Read the settings anew, from another environment; no connection was made before."""
    import django
    from django.conf import settings
    from django.db import connections
    from django.utils.functional import empty

    os.environ.clear()
    os.environ.update(env)
    sys.modules.pop(os.environ["DJANGO_SETTINGS_MODULE"], None)
    settings._wrapped = empty
    vars(connections).pop("settings", None)
    connections.__init__()
    django.setup()
