"""One POST to an address that came from outside: on the internet, over within its time."""

import http.client
import io
import ipaddress
import socket
import ssl
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any
from urllib.parse import urlsplit

from django.conf import settings

from cureclock.reminders import outward
from cureclock.reminders.channels.message import TIMEOUT_S
from cureclock.reminders.clock import Clock
from cureclock.reminders.outcome import Fault, Outcome, TryAgain, of_status
from cureclock.shop.refusals import Refusal

MOST_READ = 2048  # bytes of an answer
MOST_KEPT = 8  # connections that stay open


class NotPublic(OSError):
    """The name stands for an address inside the house."""


class Closed(Exception):
    """The connection was closed before all was asked: nothing was taken."""


@dataclass(frozen=True)
class Deadline:
    """The moment by which a try has to be over."""

    clock: Clock
    until_s: float

    def left_s(self) -> float:
        """What is left of it; TimeoutError where nothing is."""
        left = self.until_s - self.clock.monotonic()
        if left <= 0:
            raise TimeoutError
        return left


class Reader(io.RawIOBase):
    """Reads from a socket until a deadline, however slowly it drips."""

    def __init__(self, sock: socket.socket, deadline: Deadline, hold: io.IOBase) -> None:
        self._sock, self._deadline, self._hold = sock, deadline, hold

    def readable(self) -> bool:
        """It is."""
        return True

    def readinto(self, buffer: Any) -> int:
        """What comes before the deadline."""
        self._sock.settimeout(self._deadline.left_s())
        return self._sock.recv_into(buffer)

    def close(self) -> None:
        """Let go of the socket."""
        self._hold.close()
        super().close()


class Answer(http.client.HTTPResponse):
    """An answer read against a deadline.

    Where the other side is to close, the connection lets go of its socket before the body has
    come: what held it open for the reader that is replaced goes on holding it.
    """

    def __init__(self, sock: socket.socket, deadline: Deadline, **told: Any) -> None:
        super().__init__(sock, **told)
        self.fp = io.BufferedReader(Reader(sock, deadline, self.fp))


class Post:
    """POSTs, with a few connections kept open. One for each thread."""

    def __init__(self) -> None:
        self._kept: dict[str, http.client.HTTPConnection] = {}

    def send(self, address: str, body: bytes, headers: Mapping[str, str], clock: Clock) -> Outcome:
        """One try; nothing is followed, and little is read."""
        try:
            host = outward.check(address)
        except Refusal as refused:
            return Fault(None, refused.wrong)
        deadline = Deadline(clock, clock.monotonic() + TIMEOUT_S)
        kept = self._kept.pop(host, None)
        if kept is not None:
            outcome = self._try(kept, address, body, headers, deadline)
            if outcome is not None:
                return outcome
        fresh = http.client.HTTPConnection(host)
        return self._try(fresh, address, body, headers, deadline) or TryAgain(None, "closed")

    def close(self) -> None:
        """Keep no connection any more."""
        for connection in self._kept.values():
            connection.close()
        self._kept.clear()

    def _keep(self, host: str, connection: http.client.HTTPConnection) -> None:
        """Keep a connection open; the one that was used longest ago makes room."""
        self._kept[host] = connection
        if len(self._kept) > MOST_KEPT:
            self._kept.pop(next(iter(self._kept))).close()

    def _try(
        self,
        connection: http.client.HTTPConnection,
        address: str,
        body: bytes,
        headers: Mapping[str, str],
        deadline: Deadline,
    ) -> Outcome | None:
        """The outcome; None where a kept connection turns out to be closed: nothing was taken."""
        try:
            if connection.sock is None:
                connection.sock = _socket(address, deadline)
            connection.sock.settimeout(deadline.left_s())
            connection.response_class = partial(Answer, deadline=deadline)  # type: ignore[assignment]
            _ask(connection, address, body, headers)
            answer = connection.getresponse()
            answer.read(MOST_READ)
        except (http.client.RemoteDisconnected, Closed):
            connection.close()
            return None
        except NotPublic:
            return Fault(None, "this address is inside a house")
        except (OSError, http.client.HTTPException) as failed:
            connection.close()
            return TryAgain(None, type(failed).__name__)
        if answer.isclosed() and not answer.will_close:
            self._keep(outward.check(address), connection)
        else:
            answer.close()
            connection.close()
        return of_status(answer.status, answer.getheader("Retry-After"))


def _ask(
    connection: http.client.HTTPConnection, address: str, body: bytes, headers: Mapping[str, str]
) -> None:
    try:
        connection.request("POST", _path(address), body, dict(headers))
    except (BrokenPipeError, ConnectionResetError) as closed:
        raise Closed from closed


def _path(address: str) -> str:
    parts = urlsplit(address)
    return f"{parts.path or '/'}?{parts.query}" if parts.query else parts.path or "/"


def _socket(address: str, deadline: Deadline) -> socket.socket:
    """A connection to what the name stands for now, if that is on the internet."""
    parts = urlsplit(address)
    host = parts.hostname or ""
    secure = parts.scheme == "https"
    sock = _connected(host, parts.port or (443 if secure else 80), deadline)
    if not secure:
        return sock
    try:
        return ssl.create_default_context().wrap_socket(sock, server_hostname=host)
    except OSError:
        sock.close()
        raise


def _connected(host: str, port: int, deadline: Deadline) -> socket.socket:
    failed: OSError = NotPublic()
    for family, kind, protocol, _, where in socket.getaddrinfo(host, port, type=socket.SOCK_STREAM):
        if not settings.CURECLOCK_PRIVATE_ENDPOINTS and not _is_public(str(where[0])):
            continue
        sock = socket.socket(family, kind, protocol)
        try:
            sock.settimeout(deadline.left_s())
            sock.connect(where)
            sock.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)  # as http.client does
        except OSError as refused:
            sock.close()
            failed = refused
        else:
            return sock
    raise failed


def _is_public(text: str) -> bool:
    return outward.is_public(ipaddress.ip_address(text.partition("%")[0]))
