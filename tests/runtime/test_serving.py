"""HTTP and HTTPS side by side."""

import datetime as dt
import http.client
import ipaddress
import socket
import ssl
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from cureclock.runtime import certificates
from cureclock.runtime.serving import Adapter, Doors, PortBusy

NAMES, WHERE = ["localhost"], [ipaddress.ip_address("127.0.0.1")]


@dataclass
class Open:
    doors: Doors
    port: int
    tls_port: int
    adapter: Adapter
    folder: Path
    let_go: threading.Event

    def trusting(self) -> ssl.SSLContext:
        return ssl.create_default_context(cafile=str(self.folder / "server-and-authority"))


def app(let_go: threading.Event) -> Any:
    def answer(environ: dict[str, Any], start_response: Any) -> list[bytes]:
        if environ["PATH_INFO"] == "/slow":
            let_go.wait(5)
        start_response("200 OK", [("Content-Type", "text/plain")])
        return [environ["wsgi.url_scheme"].encode()]

    return answer


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Open]:
    path = certificates.ensure(tmp_path, NAMES, WHERE, dt.datetime.now(dt.UTC))
    authority = certificates.authority_file(tmp_path).read_bytes()
    (tmp_path / "server-and-authority").write_bytes(authority)
    adapter = Adapter(str(path), str(path))
    doors = Doors(host="127.0.0.1", threads=4, max_body_bytes=1000)
    let_go = threading.Event()
    ports = doors.bind(0), doors.bind(0, adapter)
    doors.open(app(let_go))
    yield Open(doors, *ports, adapter, tmp_path, let_go)
    let_go.set()
    doors.close()


def fetch(connection: http.client.HTTPConnection, path: str = "/") -> bytes:
    connection.request("GET", path)
    answer = connection.getresponse().read()
    connection.close()
    return answer


def secure(served: Open) -> http.client.HTTPSConnection:
    return http.client.HTTPSConnection(
        "127.0.0.1", served.tls_port, timeout=3, context=served.trusting()
    )


def test_both_doors_answer_and_the_app_knows_which(served: Open) -> None:
    assert fetch(http.client.HTTPConnection("127.0.0.1", served.port, timeout=3)) == b"http"
    assert fetch(secure(served)) == b"https"


def test_silent_phone_does_not_keep_the_others_waiting(served: Open) -> None:
    with socket.create_connection(("127.0.0.1", served.tls_port)):
        began = time.monotonic()
        assert fetch(secure(served)) == b"https"
        assert time.monotonic() - began < 2


def test_plain_words_at_the_secure_door_are_told_so(served: Open) -> None:
    answer = fetch(http.client.HTTPConnection("127.0.0.1", served.tls_port, timeout=3))
    assert answer == b"This door speaks HTTPS: put https:// before the address.\n"


def test_taken_port_is_told_in_a_sentence(served: Open) -> None:
    others = Doors(host="127.0.0.1", threads=2, max_body_bytes=1000)
    with pytest.raises(PortBusy, match=f"port {served.port}: it is taken by another program"):
        others.bind(served.port)


def test_body_over_the_limit_is_refused(served: Open) -> None:
    connection = http.client.HTTPConnection("127.0.0.1", served.port, timeout=3)
    connection.request("POST", "/", body=b"x" * 1001)
    assert connection.getresponse().status == 413
    connection.close()


def test_request_under_way_is_finished_before_the_doors_close(served: Open) -> None:
    connection = http.client.HTTPConnection("127.0.0.1", served.port, timeout=10)
    connection.request("GET", "/slow")
    time.sleep(0.2)
    closing = threading.Thread(target=served.doors.close)
    closing.start()
    served.let_go.set()
    assert connection.getresponse().read() == b"http"
    connection.close()
    closing.join(timeout=10)
    assert not closing.is_alive()


def test_renewed_certificate_is_served_without_a_restart(served: Open) -> None:
    before = ssl.get_server_certificate(("127.0.0.1", served.tls_port))
    more = [*WHERE, ipaddress.ip_address("192.168.1.5")]
    path = certificates.ensure(served.folder, NAMES, more, dt.datetime.now(dt.UTC))
    served.adapter.reload(path)
    after = ssl.get_server_certificate(("127.0.0.1", served.tls_port))
    assert after != before
    assert fetch(secure(served)) == b"https"
