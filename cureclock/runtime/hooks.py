"""Where `up` meets the rest of the house: the demo, the first owner, the ticking thread."""

from collections.abc import Callable

from django.core.management.base import CommandError


def open_demo() -> None:
    """Fill empty records with the demo shop. Called once, after migrating, under `up --demo`."""
    raise CommandError("The demo shop is not part of this version yet.")


def owner_link(base_url: str) -> str | None:  # noqa: ARG001
    """The one-time link that makes the first owner's phone; None when there is an owner already.

    The code belongs after a `#`: what stands there is not sent to the server nor logged.
    """
    return None


def start_ticking() -> Callable[[], None]:
    """Start the thread that calls tick; what is returned stops it and waits for its end."""
    return lambda: None
