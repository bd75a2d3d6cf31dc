"""Answers only to names that are this machine's own.

A page elsewhere can point a name of its own at an address in the house and so reach our server
from a browser inside; it cannot make the browser call us by our names.
"""

import ipaddress
from collections.abc import Callable

import structlog
from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.http.request import split_domain_port, validate_host

log = structlog.get_logger("cureclock.request")
REFUSED = (
    "This server is not known by the name you used. Use its address, or add the name to "
    "CURECLOCK_NAMES and start it again.\n"
)


class KnownHost:
    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        name, _port = split_domain_port(request.get_host())
        if is_address(name) or validate_host(name, settings.CURECLOCK_KNOWN_NAMES):
            return self.get_response(request)
        log.warning("refused an unknown name", name=name[:100])
        return HttpResponse(REFUSED, status=400, content_type="text/plain")


def is_address(name: str) -> bool:
    try:
        ipaddress.ip_address(name.strip("[]"))
    except ValueError:
        return False
    return True
