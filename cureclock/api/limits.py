"""How many requests one phone, one sensor or one address may make; who asks too often waits."""

from typing import TYPE_CHECKING

import structlog
from django.conf import settings
from django.core.cache import cache
from rest_framework.request import Request
from rest_framework.throttling import BaseThrottle

from cureclock.shop.models import Phone, Sensor
from cureclock.shop.outside import network_of
from cureclock.shop.tokens import hashed

if TYPE_CHECKING:  # at run time the framework reads this file while it makes that one
    from rest_framework.views import APIView

WINDOW_S = 60
log = structlog.get_logger("cureclock.limits")


class RequestLimit(BaseThrottle):
    """So many a minute, counted where all processes see it; where nobody can count, all pass."""

    def allow_request(self, request: Request, view: "APIView") -> bool:  # noqa: ARG002
        """Whether this one may be answered."""
        most = settings.CURECLOCK_REQUESTS_A_MINUTE
        if most == 0:
            return True
        key = f"asked-{hashed(_who(request))}"
        try:
            cache.add(key, 0, WINDOW_S)
            return cache.incr(key) <= most
        except ValueError:  # it ran out between the two
            return True
        except OSError as failed:  # a cache that is away stops nobody from working
            log.warning("requests cannot be counted", why=str(failed)[:200])
            return True

    def wait(self) -> float:
        """At most so long [s]."""
        return WINDOW_S


def _who(request: Request) -> str:
    if isinstance(request.auth, Phone | Sensor):
        return str(request.auth.pk)
    return network_of(address_of(request))


def address_of(request: Request) -> str:
    """Where a request comes from: behind a proxy, the address which that proxy saw."""
    if settings.CURECLOCK_BEHIND_PROXY:
        told = request.META.get("HTTP_X_FORWARDED_FOR", "").split(",")[-1].strip()
        if told:
            return str(told)[:45]
    return str(request.META.get("REMOTE_ADDR", ""))[:45]
