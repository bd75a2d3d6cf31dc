"""HTTP and HTTPS side by side in one process."""

import socket
import ssl
import threading
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path
from typing import Any

import structlog
from cheroot import wsgi
from cheroot.server import HTTPConnection
from cheroot.ssl.builtin import BuiltinSSLAdapter

log = structlog.get_logger("cureclock.serving")
App = Callable[[dict[str, Any], Any], Iterable[bytes]]
STARTS_TLS = b"\x16"  # the record type of a handshake, RFC 8446 section 5.1
TELL_PLAIN = (
    b"HTTP/1.1 400 Bad Request\r\nContent-Type: text/plain\r\nConnection: close\r\n\r\n"
    b"This door speaks HTTPS: put https:// before the address.\n"
)
MAX_HEADER_BYTES = 64 * 1024


class PortBusy(Exception):
    """Nothing can listen there; the message says where and why."""


class Connection(HTTPConnection):
    """Shakes hands in a worker thread: a phone that connects and says nothing holds up one worker,
    not everybody who comes after it.
    """

    def communicate(self) -> bool:
        if isinstance(self.socket, ssl.SSLSocket) and self.socket.version() is None:
            try:
                if socket.socket.recv(self.socket, 1, socket.MSG_PEEK) != STARTS_TLS:
                    socket.socket.sendall(self.socket, TELL_PLAIN)
                    return False
                self.socket.do_handshake()
            except OSError as dropped:
                log.info("no handshake", why=str(dropped))
                return False
        return bool(super().communicate())  # type: ignore[no-untyped-call]


class Adapter(BuiltinSSLAdapter):
    def wrap(self, sock: socket.socket) -> tuple[ssl.SSLSocket, dict[str, str]]:
        wrapped = self.context.wrap_socket(sock, server_side=True, do_handshake_on_connect=False)
        return wrapped, {"wsgi.url_scheme": "https", "HTTPS": "on"}

    def reload(self, certificate: Path) -> None:
        """Connections from now on get this one; those open keep theirs."""
        self.context.load_cert_chain(certificate)


class Server(wsgi.Server):
    ConnectionClass = Connection
    version = "CureClock"
    max_request_header_size = MAX_HEADER_BYTES
    keep_alive_conn_limit = 64

    @staticmethod
    def bind_socket(sock: socket.socket, address: tuple[str, int]) -> socket.socket:
        try:
            sock.bind(address)
        except OSError:
            sock.close()  # cheroot forgets it unclosed
            raise
        return sock

    def error_log(self, msg: str = "", level: int = 20, traceback: bool = False) -> None:
        log.log(level, "server", said=msg, exc_info=traceback)


class Doors:
    """The servers of one `up`: bound at once, open when told."""

    def __init__(self, *, host: str, threads: int, max_body_bytes: int) -> None:
        self.host = host
        self.threads = threads
        self.max_body_bytes = max_body_bytes
        self.servers: list[Server] = []
        self.running: list[threading.Thread] = []

    def bind(self, port: int, adapter: Adapter | None = None) -> int:
        """Take the port now, so that a busy one is told before anything else is done."""
        server = Server((self.host, port), not_open_yet, numthreads=self.threads)
        server.request_queue_size = 64
        server.max_request_body_size = self.max_body_bytes
        server.ssl_adapter = adapter
        try:
            server.prepare()
        except OSError as refused:
            self.close()
            why = "it is taken by another program" if in_use(refused) else refused
            raise PortBusy(f"Cannot listen on {self.host} port {port}: {why}.") from refused
        self.servers.append(server)
        return int(server.bind_addr[1])

    def open(self, app: App) -> None:
        for server in self.servers:
            server.wsgi_app = app
            thread = threading.Thread(target=server.serve, daemon=True)
            thread.start()
            self.running.append(thread)

    def close(self) -> None:
        """Let requests under way finish, for a few seconds at most."""
        for server in self.servers:
            with suppress(OSError):
                server.stop()
        for thread in self.running:
            thread.join(timeout=5)
        self.servers, self.running = [], []


def in_use(refused: BaseException) -> bool:
    return "in use" in str(refused).lower()


def not_open_yet(_environ: dict[str, Any], start_response: Any) -> list[bytes]:
    start_response(
        "503 Service Unavailable", [("Content-Type", "text/plain"), ("Retry-After", "1")]
    )
    return [b"Starting.\n"]
