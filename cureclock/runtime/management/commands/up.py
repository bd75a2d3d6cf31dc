"""Serve CureClock: the phone app, the API and the reminders, in one process."""

import os
import signal
import sys
import threading
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connections

from cureclock.runtime import datalock, greeting, hooks, tls, webbuild
from cureclock.runtime.pages import HTTPS_PORT
from cureclock.runtime.serving import Doors, PortBusy


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--port", type=int, help="for HTTP; HTTPS is 443 higher")
        parser.add_argument("--tls-port", type=int, help="for HTTPS, if not 443 above --port")
        parser.add_argument("--host", default=settings.CURECLOCK_HOST, help="address to listen on")
        parser.add_argument("--no-tls", action="store_true", help="serve plain HTTP only")
        parser.add_argument(
            "--demo", action="store_true", help="open the demo shop, on its own records"
        )

    def handle(self, *_args: Any, **options: Any) -> None:
        if options["demo"] and not settings.CURECLOCK_DEMO:
            start_again_as_demo()
        try:
            self.serve(options)
        except (PortBusy, datalock.Held, tls.Unusable) as refused:
            raise CommandError(str(refused)) from refused

    def serve(self, options: dict[str, Any]) -> None:
        """Lock, bind, prepare, open, greet, wait; and the same backwards."""
        lock = datalock.hold(records())
        doors = Doors(
            host=options["host"],
            threads=settings.CURECLOCK_THREADS,
            max_body_bytes=settings.DATA_UPLOAD_MAX_MEMORY_SIZE,
        )
        try:
            port, tls_port, certificate = bind(doors, options)
            self.prepare()
            stop = told_to_stop()
            doors.open(application(tls_port))
            stop_ticking = hooks.start_ticking()
            if certificate:
                certificate.keep_fresh()
            greeting.say(self.stdout.write, options["host"], port, tls_port)
            self.stdout.flush()
            stop.wait()
            self.stdout.write("Stopping ...")
            stop_ticking()
        finally:
            doors.close()
            connections.close_all()
            lock.close()

    def prepare(self) -> None:
        call_command("migrate", interactive=False, verbosity=0)
        trouble = webbuild.build(strict=False)
        if trouble:
            self.stderr.write(trouble)
        if settings.CURECLOCK_DEMO:
            hooks.open_demo()


def start_again_as_demo() -> None:
    """Settings are read once, and the demo has records of its own: begin anew with them."""
    os.environ["CURECLOCK_DEMO"] = "1"
    command = [sys.executable, *sys.argv]
    os.execv(command[0], command)


def records() -> Path:
    database = settings.DATABASES["default"]
    on_disk = database["ENGINE"].endswith("sqlite3")
    return Path(database["NAME"]) if on_disk else settings.CURECLOCK_VAR / "postgresql"


def bind(
    doors: Doors, options: dict[str, Any]
) -> tuple[int, int | None, "tls.OwnCertificate | None"]:
    """Both ports, before anything is changed; HTTPS with our own certificate or a given one."""
    wanted = settings.CURECLOCK_PORT if options["port"] is None else options["port"]
    port = doors.bind(wanted)
    if options["no_tls"] or not settings.CURECLOCK_TLS:
        return port, None, None
    adapter, own = tls.adapter()
    return port, doors.bind(tls_port_for(wanted, options), adapter), own


def tls_port_for(port: int, options: dict[str, Any]) -> int:
    if options["tls_port"] is not None:
        return int(options["tls_port"])
    if options["port"] is None:
        return int(settings.CURECLOCK_TLS_PORT)
    return port + 443 if port else 0


def application(tls_port: int | None) -> Callable[..., Iterable[bytes]]:
    from cureclock.runtime.wsgi import application as django  # noqa: PLC0415 - after the app is built

    def with_https_port(environ: dict[str, Any], start_response: Any) -> Iterable[bytes]:
        if tls_port:
            environ[HTTPS_PORT] = str(tls_port)
        return django(environ, start_response)

    return with_https_port


def told_to_stop() -> threading.Event:
    """Set by Ctrl-C and by whatever minds services on this machine."""
    told = threading.Event()
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, lambda *_: told.set())
    return told
