"""Where `up` meets the rest of the house: the demo, the first owner, the ticking thread."""

from collections.abc import Callable

from django.db import connection
from django.utils import timezone

from cureclock.actions.open_workshop import first_link
from cureclock.demo.opening import open_until
from cureclock.runtime import listening, nights, planning
from cureclock.runtime.clock import SystemClock
from cureclock.runtime.loop import Loop
from cureclock.shop.models import Workshop


def open_demo() -> None:
    """Fill empty records with the demo shop. Called once, after migrating, under `up --demo`."""
    if not Workshop.objects.exists():
        open_until(timezone.now())


def owner_link(base_url: str) -> str | None:
    """The one-time link that makes the first owner's phone; None when there is one already.

    Its code is a part of the path; the logs show routes, never paths.
    """
    token = first_link(at=timezone.now())
    return None if token is None else f"{base_url}/pair/{token}"


def start_ticking() -> Callable[[], None]:
    """Start what fires and sends, backups, planning, listening; what is returned stops all.

    On SQLite the lock on the records is held by now, so that no other dispatcher can be alive.
    """
    clock = SystemClock()
    loop = Loop(clock, alone=connection.vendor == "sqlite")
    stops = (loop.start(), nights.start(clock), planning.start(clock), listening.start(clock))

    def stop() -> None:
        for each in stops:
            each()

    return stop
