"""A push service of our own that counts by itself: one line for each message it took.

What was lost and what came twice is read from its log, never from our own tables.
"""

import json
import os
import socket
import struct
import threading
import time
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import http_ece
from cryptography.hazmat.primitives.asymmetric import ec

from cureclock.reminders.channels.aes128gcm import CURVE, point, to_text


@dataclass
class Device:
    """A phone as its push service knows it."""

    name: str
    key: ec.EllipticCurvePrivateKey = field(default_factory=lambda: ec.generate_private_key(CURVE))
    secret: bytes = field(default_factory=lambda: os.urandom(16))

    @property
    def keys(self) -> dict[str, str]:
        """What its browser would give us."""
        return {"p256dh": to_text(point(self.key.public_key())), "auth": to_text(self.secret)}

    def read(self, body: bytes) -> dict[str, Any]:
        """What the phone reads, by a library that is not ours."""
        plain = http_ece.decrypt(
            body, private_key=self.key, auth_secret=self.secret, version="aes128gcm"
        )
        return dict(json.loads(plain))


class Oracle:
    """Takes pushes, answers as told, and keeps one line of each message it took.

    Args:
        log: where the lines go, one append each, before the answer.
    """

    def __init__(self, log: Path) -> None:
        self.log = log
        self.behave: dict[str, list[str]] = {}  # by device: the next answers; then 201
        self.always: dict[str, str] = {}
        self.hung = threading.Event()
        self.release = threading.Event()
        self.asked = Counter[str]()
        self.counted = Counter[tuple[str, str]]()
        self.counting = threading.Lock()
        self.open: list[socket.socket] = []
        oracle = self

        class Handler(BaseHTTPRequestHandler):
            protocol_version = "HTTP/1.1"
            disable_nagle_algorithm = True

            def do_POST(self) -> None:
                oracle.take(self)

            def log_message(self, *args: object) -> None:
                pass

        class Server(ThreadingHTTPServer):
            daemon_threads = True
            request_queue_size = 128

            def process_request(self, request: Any, client_address: Any) -> None:
                oracle.open.append(request)
                super().process_request(request, client_address)

            def handle_error(self, *args: object) -> None:
                pass

        self.server = Server(("127.0.0.1", 0), Handler)
        self.port = int(self.server.server_address[1])
        self.file = os.open(log, os.O_WRONLY | os.O_APPEND | os.O_CREAT)
        threading.Thread(target=self.server.serve_forever, daemon=True).start()

    def address(self, device: str) -> str:
        """The endpoint of a device."""
        return f"http://127.0.0.1:{self.port}/push/{device}"

    def stop(self) -> None:
        """No more messages are taken."""
        self.release.set()
        self.server.shutdown()
        self.server.server_close()
        for connection in self.open:
            with suppress(OSError):
                connection.shutdown(socket.SHUT_RDWR)
            connection.close()
        os.close(self.file)

    def take(self, request: BaseHTTPRequestHandler) -> None:
        """One message."""
        body = request.rfile.read(int(request.headers["Content-Length"]))
        device = request.path.rpartition("/")[2]
        self.asked[device] += 1
        answers = self.behave.get(device)
        answer = answers.pop(0) if answers else self.always.get(device, "201")
        if answer == "hang":
            self.hung.set()
            self.release.wait(60)
            request.close_connection = True
            return
        if answer == "hold":
            self.hung.set()
            self.release.wait(60)
            answer = "201"
        if answer in ("201", "reset"):
            self._keep(device, request, body)
        if answer == "reset":
            _reset(request.connection)
            request.close_connection = True
            return
        status = 201 if answer == "201" else int(answer.partition(" ")[0])
        request.send_response(status)
        if answer.startswith("429"):
            request.send_header("Retry-After", answer.partition(" ")[2] or "1")
        request.send_header("Content-Length", "0")
        request.end_headers()

    def _keep(self, device: str, request: BaseHTTPRequestHandler, body: bytes) -> None:
        told = {
            "device": device,
            "topic": request.headers["Topic"],
            "ttl": int(request.headers["TTL"]),
            "urgency": request.headers["Urgency"],
            "authorization": request.headers["Authorization"],
            "at": time.time(),
            "body": body.hex(),
        }
        os.write(self.file, json.dumps(told).encode() + b"\n")
        with self.counting:
            self.counted[device, str(told["topic"])] += 1

    def taken(self) -> list[dict[str, Any]]:
        """Every message that was taken, in order."""
        return [json.loads(line) for line in self.log.read_text().splitlines()]

    def counts(self) -> Counter[tuple[str, str]]:
        """How often each topic was taken for each device; counted as it came, beside the log."""
        with self.counting:
            return self.counted.copy()


def _reset(connection: socket.socket) -> None:
    """Close without a word, so that the other side gets a reset."""
    connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
    connection.close()
