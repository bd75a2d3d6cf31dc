"""Lets no request keep the records busy for long: PostgreSQL ends its statement after a while.

Each thread has a connection of its own, and threads that answer requests do nothing else; so those
that fire, look and send, and the commands, are not bounded.
"""

from collections.abc import Callable

from django.conf import settings
from django.db import connection
from django.http import HttpRequest, HttpResponseBase


class BoundedStatements:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        most_s = settings.CURECLOCK_STATEMENT_S
        if most_s and connection.vendor == "postgresql" and connection.connection is None:
            connection.settings_dict = bounded(connection.settings_dict, most_s)
        return self.get_response(request)


def bounded(told: dict[str, object], most_s: int) -> dict[str, object]:
    """The settings of a connection, with the time that a statement may take told at its start."""
    options = dict(told["OPTIONS"])  # type: ignore[call-overload]
    words = str(options.get("options", ""))
    if "statement_timeout" in words:
        return told
    return {
        **told,
        "OPTIONS": {**options, "options": f"{words} -c statement_timeout={most_s}s".strip()},
    }
