"""What can be configured wrongly, each with an id and what to do about it."""

import os
import re
import ssl
import stat
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error, Warning

from cureclock.runtime import logs

NAME = re.compile(r"([a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?)(\.[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?)*")


def folder_and_secret(**_kwargs: Any) -> Iterable[CheckMessage]:
    var = settings.CURECLOCK_VAR
    if var.exists() and not os.access(var, os.W_OK | os.X_OK):
        yield Error(
            f"CURECLOCK_VAR ({var}) cannot be written.",
            hint="Give it to the user that runs CureClock, or name another folder.",
            id="cureclock.E001",
        )
    if len(settings.SECRET_KEY) < 32:
        yield Error(
            "CURECLOCK_SECRET_KEY is shorter than 32 characters.",
            hint="Leave it unset: one is made at the first run and kept in CURECLOCK_VAR.",
            id="cureclock.E002",
        )
    for path in (var / "secret_key", var / "tls/authority.pem", var / "tls/server.pem"):
        if readable_by_others(path):
            yield Warning(
                f"{path} can be read by other users of this machine.",
                hint=f"chmod 600 {path}",
                id="cureclock.W003",
            )


def doors(**_kwargs: Any) -> Iterable[CheckMessage]:
    ports = {"CURECLOCK_PORT": settings.CURECLOCK_PORT}
    if settings.CURECLOCK_TLS:
        ports["CURECLOCK_TLS_PORT"] = settings.CURECLOCK_TLS_PORT
    for name, port in ports.items():
        if port > 65535:
            yield Error(f"{name} is {port}.", hint="A port is at most 65535.", id="cureclock.E010")
    if len(set(ports.values())) < len(ports):
        yield Error(
            "CURECLOCK_PORT and CURECLOCK_TLS_PORT are the same.",
            hint="HTTP and HTTPS need a port each.",
            id="cureclock.E011",
        )
    if not 2 <= settings.CURECLOCK_THREADS <= 64:
        yield Error(
            f"CURECLOCK_THREADS is {settings.CURECLOCK_THREADS}.",
            hint="Between 2 and 64; 12 serves a small workshop.",
            id="cureclock.E012",
        )
    for name in settings.CURECLOCK_NAMES:
        if not NAME.fullmatch(name):
            yield Error(
                f"CURECLOCK_NAMES has {name!r}, which is not a host name.",
                hint="Lower-case names without https://, port or path, with commas between them.",
                id="cureclock.E013",
            )
    if settings.DEBUG and settings.CURECLOCK_HOST not in ("127.0.0.1", "::1", "localhost"):
        yield Warning(
            "CURECLOCK_DEBUG shows the program's insides to everybody in the house.",
            hint="Set CURECLOCK_HOST=127.0.0.1 while debugging.",
            id="cureclock.W014",
        )


def given_certificate(**_kwargs: Any) -> Iterable[CheckMessage]:
    certificate, key = settings.CURECLOCK_CERTIFICATE, settings.CURECLOCK_CERTIFICATE_KEY
    if key and not certificate:
        yield Error(
            "CURECLOCK_CERTIFICATE_KEY is set without CURECLOCK_CERTIFICATE.",
            hint="Set both, or neither to let CureClock make its own.",
            id="cureclock.E020",
        )
    if certificate:
        try:
            ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(certificate, key or None)
        except (OSError, ValueError) as refused:
            yield Error(
                f"The certificate in CURECLOCK_CERTIFICATE cannot be used: {refused}.",
                hint="A PEM file with the whole chain, and its key there or in "
                "CURECLOCK_CERTIFICATE_KEY.",
                id="cureclock.E021",
            )


def records_and_broker(**_kwargs: Any) -> Iterable[CheckMessage]:
    on_sqlite = settings.DATABASES["default"]["ENGINE"].endswith("sqlite3")
    if settings.REDIS_URL and not settings.REDIS_URL.startswith(
        ("redis://", "rediss://", "unix://")
    ):
        yield Error(
            "REDIS_URL does not begin with redis://, rediss:// or unix://.",
            hint="For example redis://127.0.0.1:6379/0.",
            id="cureclock.E030",
        )
    if settings.REDIS_URL and on_sqlite:
        yield Error(
            "REDIS_URL is set, so several processes will run, but the records are in SQLite.",
            hint="Set DATABASE_URL to a PostgreSQL database, or unset REDIS_URL.",
            id="cureclock.E031",
        )


def log_settings(**_kwargs: Any) -> Iterable[CheckMessage]:
    if settings.CURECLOCK_LOG_LEVEL not in logs.LEVELS:
        yield Error(
            f"CURECLOCK_LOG_LEVEL is {settings.CURECLOCK_LOG_LEVEL!r}.",
            hint="One of " + ", ".join(logs.LEVELS) + ".",
            id="cureclock.E040",
        )
    if settings.CURECLOCK_LOG_FORMAT not in logs.FORMATS:
        yield Error(
            f"CURECLOCK_LOG_FORMAT is {settings.CURECLOCK_LOG_FORMAT!r}.",
            hint="One of " + ", ".join(logs.FORMATS) + ".",
            id="cureclock.E041",
        )


def readable_by_others(path: Path) -> bool:
    if os.name == "nt" or not path.exists():
        return False
    return bool(path.stat().st_mode & (stat.S_IRWXG | stat.S_IRWXO))


ALL: tuple[Callable[..., Iterable[CheckMessage]], ...] = (
    folder_and_secret,
    doors,
    given_certificate,
    records_and_broker,
    log_settings,
)
