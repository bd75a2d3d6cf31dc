"""A thread that has the plan made anew in a process of its own, so that its memory comes back.

With Celery beside it the task does the same; whoever claims a plan first makes it.
"""

import subprocess
import sys
import threading
from collections.abc import Callable
from datetime import timedelta

import structlog
from django.db import DatabaseError, InterfaceError, connection

from cureclock.planner.resolve import QUIET, due, resolve_due
from cureclock.reminders.clock import Clock
from cureclock.reminders.dates import tell
from cureclock.runtime.webbuild import ROOT

log = structlog.get_logger("cureclock.planning")

EVERY_S = 2.0
SETTINGS = "cureclock.runtime.settings"
LONGEST_S = 600.0  # far beyond what a plan takes; then the child is ended


def start(clock: Clock) -> Callable[[], None]:
    """Start it; what is returned stops it, child and all, and returns when it has ended."""
    stopping = threading.Event()

    def run() -> None:
        while not stopping.wait(EVERY_S):
            if _is_due(clock):
                wait_for(in_a_child(), stopping)
        connection.close()

    thread = threading.Thread(target=run, name="planning", daemon=True)
    thread.start()

    def stop() -> None:
        stopping.set()
        thread.join(timeout=10)

    return stop


def make_due(clock: Clock, *, at_once: bool = False) -> int:
    """Make every plan anew that is due, and tell of dates that moved; how many plans there were."""
    quiet = timedelta() if at_once else QUIET
    made = resolve_due(clock.now(), quiet=quiet)
    for workshop in made:
        tell(workshop, clock.now())
    return len(made)


def _is_due(clock: Clock) -> bool:
    try:
        return bool(due(clock.now()))
    except (DatabaseError, InterfaceError) as failed:
        log.error("the records cannot be used", why=str(failed).strip()[:200])
        connection.close()
        return False


def in_a_child() -> "subprocess.Popen[bytes]":
    """A process that makes every plan that is due, and ends."""
    command = [sys.executable, "-m", "django", "plan", "--settings", SETTINGS]
    return subprocess.Popen(command, cwd=ROOT, stdin=subprocess.DEVNULL)


def wait_for(child: "subprocess.Popen[bytes]", stopping: threading.Event) -> None:
    """Until it has ended; it is ended with us, and where it takes far too long."""
    waited_s = 0.0
    while child.poll() is None:
        if stopping.wait(0.2) or waited_s > LONGEST_S:
            child.terminate()
            child.wait(timeout=5)
            return
        waited_s += 0.2
    if child.returncode:
        log.error("making a plan failed", code=child.returncode)
