"""A thread that sees to the nightly backups, and lets go of files that nobody wanted."""

import threading
from collections.abc import Callable

import structlog
from django.conf import settings
from django.db import DatabaseError, InterfaceError, connection

from cureclock.exports.nightly import keep
from cureclock.intake.logger_file import tidy
from cureclock.reminders.clock import Clock

log = structlog.get_logger("cureclock.nights")

EVERY_S = 300.0


def start(clock: Clock) -> Callable[[], None]:
    """Start it; what is returned stops it, and returns when it has ended."""
    stopping = threading.Event()

    def run() -> None:
        while not stopping.wait(EVERY_S):
            once(clock)
        connection.close()

    thread = threading.Thread(target=run, name="nights", daemon=True)
    thread.start()

    def stop() -> None:
        stopping.set()
        thread.join(timeout=10)

    return stop


def once(clock: Clock) -> None:
    """Make the backups that are due, and tidy; trouble is logged, and the page of backups says it."""
    var = settings.CURECLOCK_VAR
    try:
        for path in keep(clock.now(), var / "backups", var / "pictures"):
            log.info("backup kept", path=str(path))
        tidy(clock.now())
    except (DatabaseError, InterfaceError) as failed:
        log.error("the records cannot be used", why=str(failed).strip()[:200])
        connection.close()
