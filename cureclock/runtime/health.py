"""How the server stands, for whoever watches it: alive, ready, and a page of figures."""

import hmac
import os
from datetime import datetime

from django.conf import settings
from django.db import DEFAULT_DB_ALIAS, DatabaseError, connection, connections
from django.db.migrations.executor import MigrationExecutor
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from cureclock.reminders.beats import Health, health
from cureclock.reminders.models import Delivery, Trouble
from cureclock.runtime.middleware.counted import counted

EXPOSITION = "text/plain; version=0.0.4; charset=utf-8"
_MIGRATED: set[str] = set()


@require_safe
def live(_request: HttpRequest) -> HttpResponse:
    """This process answers; it asks nobody else."""
    return HttpResponse("alive\n", content_type="text/plain")


@require_safe
def ready(_request: HttpRequest) -> JsonResponse:
    """The records can be read and are as this program needs them; how late the oldest due is."""
    try:
        told = {"records": "ready" if _migrated() else "not migrated"}
        told |= _sender(timezone.now()) if told["records"] == "ready" else {}
    except DatabaseError:
        told = {"records": "away"}
    return JsonResponse(told, status=200 if told["records"] == "ready" else 503)


def _migrated() -> bool:
    """Asked until it is so: records do not go back while a process runs."""
    if DEFAULT_DB_ALIAS not in _MIGRATED:
        executor = MigrationExecutor(connections[DEFAULT_DB_ALIAS])
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            return False
        _MIGRATED.add(DEFAULT_DB_ALIAS)
        return True
    with connection.cursor() as cursor:
        cursor.execute("SELECT 1")
    return True


def _sender(at: datetime) -> dict[str, str]:
    """Whether somebody sends; it makes no process unready, since each answers by itself."""
    found = health(at)
    return {"sends": "yes" if found.alive else "no", "oldest_due_s": f"{found.late_s:.3f}"}


@require_safe
def metrics(request: HttpRequest) -> HttpResponse:
    """Figures in the Prometheus text exposition format, version 0.0.4."""
    if not _may_look(request):
        return HttpResponse("Not from here.\n", status=403, content_type="text/plain")
    lines = [*_of_records(health(timezone.now())), *counted(os.getpid())]
    return HttpResponse("\n".join(lines) + "\n", content_type=EXPOSITION)


def _may_look(request: HttpRequest) -> bool:
    """Whoever has the token; without one, this machine alone, and nobody through a proxy."""
    token = settings.CURECLOCK_METRICS_TOKEN
    if token:
        sent = request.headers.get("Authorization", "").encode("utf-8", "replace")
        return hmac.compare_digest(sent, f"Bearer {token}".encode())
    behind = settings.CURECLOCK_BEHIND_PROXY
    return not behind and request.META.get("REMOTE_ADDR") in ("127.0.0.1", "::1")


def _of_records(found: Health) -> list[str]:
    pending = Delivery.objects.filter(state=Delivery.State.PENDING).count()
    figures = (
        ("cureclock_oldest_due_seconds", "how long the oldest due thing has waited", found.late_s),
        ("cureclock_sender_alive", "1 where a dispatcher shows signs of life", int(found.alive)),
        ("cureclock_sender_holding", "1 where it doubts the time and waits", bool(found.holding)),
        ("cureclock_deliveries_pending", "messages still to be sent", pending),
        ("cureclock_trouble_rows", "rows that raise and were pushed on", Trouble.objects.count()),
    )
    lines = []
    for name, meaning, value in figures:
        lines += [f"# HELP {name} {meaning}", f"# TYPE {name} gauge", f"{name} {float(value):g}"]
    return lines
