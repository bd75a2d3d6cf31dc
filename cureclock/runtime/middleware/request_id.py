"""Gives each request an id, so that its log lines can be found from the answer a phone saw."""

import re
import time
import uuid
from collections.abc import Callable

import structlog
from django.http import HttpRequest, HttpResponseBase

from cureclock.runtime.logs import route_of

HEADER = "X-Request-ID"
SANE = re.compile(r"[A-Za-z0-9-]{8,64}")
log = structlog.get_logger("cureclock.request")


class RequestId:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        given = request.headers.get(HEADER, "")
        request_id = given if SANE.fullmatch(given) else uuid.uuid4().hex
        structlog.contextvars.clear_contextvars()
        structlog.contextvars.bind_contextvars(request_id=request_id)
        began = time.monotonic()
        response = self.get_response(request)
        response[HEADER] = request_id
        log.info(
            "answered",
            method=request.method,
            route=route_of(request),
            status=response.status_code,
            ms=round((time.monotonic() - began) * 1000, 1),
        )
        return response
