"""nginx by the file of the docs, in front of a server, and a phone that asks through it."""

import datetime as dt
import http.client
import socket
import ssl
from pathlib import Path

from cureclock.runtime import certificates
from tests.servers import Nginx

SETTINGS = Path(__file__).resolve().parents[2] / "docs" / "how-to" / "units" / "proxy.conf"
NAME = "glue.example.org"
Answer = tuple[int, http.client.HTTPMessage, bytes]


class InFront:
    """Started for one port behind it."""

    def __init__(self, behind: int, folder: Path) -> None:
        signed = certificates.ensure(folder, [NAME], [], dt.datetime.now(dt.UTC))
        self.nginx = Nginx(SETTINGS, behind, signed.read_bytes())
        authority = certificates.authority_file(folder).read_text()
        self.trusting = ssl.create_default_context(
            cadata=authority[authority.index("-----BEGIN CERT") :]
        )
        self.stop = self.nginx.stop

    def line(self, *protocols: str) -> ssl.SSLSocket:
        """A connection to it that speaks one of these protocols."""
        self.trusting.set_alpn_protocols(list(protocols) or ["http/1.1"])
        line = socket.create_connection(("127.0.0.1", self.nginx.port), timeout=30)
        return self.trusting.wrap_socket(line, server_hostname=NAME)

    def ask(self, path: str, body: bytes | None = None, **headers: str) -> Answer:
        """What a phone is answered."""
        connection = http.client.HTTPConnection(NAME)
        connection.sock = self.line()
        return said(connection, path, body, headers)

    def ask_in_the_open(self, path: str) -> Answer:
        """The same at the door that speaks plain HTTP."""
        connection = http.client.HTTPConnection("127.0.0.1", self.nginx.plain_port, timeout=30)
        return said(connection, path, None, {})


def said(
    connection: http.client.HTTPConnection, path: str, body: bytes | None, headers: dict[str, str]
) -> Answer:
    told = {"Host": NAME} | {name.replace("_", "-"): value for name, value in headers.items()}
    try:
        connection.request("GET" if body is None else "POST", path, body, told)
        answer = connection.getresponse()
        return answer.status, answer.headers, answer.read()
    finally:
        connection.close()
