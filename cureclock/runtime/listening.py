"""A thread that sees to it that each workshop's message broker is listened to, by somebody."""

import os
import socket
import threading
from collections.abc import Callable, Collection
from uuid import UUID

import structlog
from django.db import DatabaseError, InterfaceError, connection

from cureclock.intake.mqtt_listener import Listener
from cureclock.reminders.clock import Clock
from cureclock.shop.brokers import brokers
from cureclock.shop.models import BrokerVersion

log = structlog.get_logger("cureclock.listening")

EVERY_S = 3.0
BROKEN_S = 5.0


def start(clock: Clock) -> Callable[[], None]:
    """Start it; what is returned stops it, and returns when it has ended."""
    stopping = threading.Event()
    listening: dict[UUID, threading.Thread] = {}

    def watch() -> None:
        while not stopping.wait(EVERY_S):
            for broker in _brokers():
                if broker.id not in listening or not listening[broker.id].is_alive():
                    thread = threading.Thread(
                        target=listen, args=(broker, clock, stopping), name="broker", daemon=True
                    )
                    listening[broker.id] = thread
                    thread.start()
        connection.close()

    thread = threading.Thread(target=watch, name="listening", daemon=True)
    thread.start()

    def stop() -> None:
        stopping.set()
        for each in (thread, *listening.values()):
            each.join(timeout=10)

    return stop


def listen(broker: BrokerVersion, clock: Clock, stopping: threading.Event) -> None:
    """Listen to one broker for as long as it is ours."""
    name = f"{socket.gethostname()}:{os.getpid()}"
    listener = None
    try:
        listener = Listener(broker, clock, name)
        while not stopping.is_set():
            rest_s = listener.turn()
            if rest_s is None:
                break
            if rest_s:
                stopping.wait(rest_s)
    except (DatabaseError, InterfaceError) as failed:
        log.error("the records cannot be used", why=str(failed).strip()[:200])
        stopping.wait(BROKEN_S)
    except Exception:
        log.exception("listening failed")
        stopping.wait(BROKEN_S)
    finally:
        _let_go(listener)
        connection.close()


def _let_go(listener: Listener | None) -> None:
    try:
        if listener is not None:
            listener.stop()
    except (DatabaseError, InterfaceError) as failed:
        log.error("the records cannot be used", why=str(failed).strip()[:200])


def _brokers() -> Collection[BrokerVersion]:
    """Those that workshops listen to."""
    try:
        return brokers().values()
    except (DatabaseError, InterfaceError) as failed:
        log.error("the records cannot be used", why=str(failed).strip()[:200])
        connection.close()
        return ()
