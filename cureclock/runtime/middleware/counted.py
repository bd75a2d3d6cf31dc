"""Counts the requests of this process by route and status, and the seconds they took."""

import threading
import time
from collections import Counter
from collections.abc import Callable

from django.http import HttpRequest, HttpResponseBase

from cureclock.runtime.logs import route_of

Key = tuple[str, str, int]
_LOCK = threading.Lock()
_REQUESTS: Counter[Key] = Counter()
_SECONDS: dict[Key, float] = {}
HEADS = (
    ("cureclock_requests_total", "requests answered by one process", "counter"),
    ("cureclock_request_seconds_total", "seconds spent on them", "counter"),
)


class Counted:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        began = time.monotonic()
        response = self.get_response(request)
        method = request.method if request.method in ("GET", "HEAD", "POST", "PUT") else "other"
        key = (str(method), route_of(request), response.status_code)
        with _LOCK:
            _REQUESTS[key] += 1
            _SECONDS[key] = _SECONDS.get(key, 0.0) + time.monotonic() - began
        return response


def counted(process: int) -> list[str]:
    """The counts as lines of the exposition format; routes are patterns, never addresses."""
    with _LOCK:
        rows = sorted((key, count, _SECONDS[key]) for key, count in _REQUESTS.items())
    lines: list[str] = []
    for place, (name, meaning, kind) in enumerate(HEADS):
        lines += [f"# HELP {name} {meaning}", f"# TYPE {name} {kind}"]
        for (method, route, status), *values in rows:
            labels = f'method="{method}",route="{_plain(route)}",status="{status}"'
            lines.append(f'{name}{{{labels},process="{process}"}} {values[place]:g}')
    return lines


def _plain(route: str) -> str:
    return route.replace("\\", "\\\\").replace('"', '\\"').replace("\n", " ")
