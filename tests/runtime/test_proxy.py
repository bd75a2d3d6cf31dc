"""The proxy's file of the docs under a real nginx: what it hands on, refuses, and writes down."""

import json
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from tests.runtime.in_front import InFront

pytestmark = [pytest.mark.long, pytest.mark.embedded]
MOST = 32 * 2**20


class Echo(BaseHTTPRequestHandler):
    """Says what it was asked with."""

    protocol_version = "HTTP/1.1"

    def do_GET(self) -> None:
        """The headers, and how long the body was."""
        length = int(self.headers.get("Content-Length", 0))
        self.rfile.read(length)
        told = json.dumps({**dict(self.headers.items()), "length": length}).encode()
        self.send_response(200)
        self.send_header("Content-Length", str(len(told)))
        self.end_headers()
        self.wfile.write(told)

    def do_POST(self) -> None:
        """The same."""
        self.do_GET()

    def log_message(self, *_args: object) -> None:
        """Nothing is logged."""


@pytest.fixture(scope="module")
def echo() -> Iterator[ThreadingHTTPServer]:
    server = ThreadingHTTPServer(("127.0.0.1", 0), Echo)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield server
    server.shutdown()
    server.server_close()


@pytest.fixture(scope="module")
def front(echo: ThreadingHTTPServer, tmp_path_factory: pytest.TempPathFactory) -> Iterator[InFront]:
    started = InFront(echo.server_port, tmp_path_factory.mktemp("tls"))
    yield started
    started.stop()


def test_nginx_finds_nothing_wrong_with_the_file(front: InFront) -> None:
    found = front.nginx.found
    assert "test is successful" in found
    assert "[emerg]" not in found
    warned = [line for line in found.splitlines() if "[warn]" in line]
    assert [line for line in warned if "http2" not in line] == []


def test_it_hands_on_the_name_and_says_itself_who_asks_and_how(front: InFront) -> None:
    status, _, told = front.ask(
        "/", X_Forwarded_For="8.8.8.8", X_Forwarded_Proto="http", X_Request_ID="made-up-by-a-phone"
    )
    heard = json.loads(told)
    assert status == 200
    assert heard["Host"] == "glue.example.org"
    assert (heard["X-Forwarded-For"], heard["X-Forwarded-Proto"]) == ("127.0.0.1", "https")
    assert "made-up" not in heard["X-Request-ID"]
    assert heard["X-Request-ID"] in front.nginx.logged(heard["X-Request-ID"])


def test_what_the_server_takes_goes_through_and_no_more(front: InFront) -> None:
    status, _, told = front.ask("/api/backup", b"x" * MOST)
    assert (status, json.loads(told)["length"]) == (200, MOST)
    assert front.ask("/api/backup", b"x" * (MOST + 1))[0] == 413


def test_in_the_open_nothing_is_said_but_where_the_secure_door_is(front: InFront) -> None:
    status, headers, _ = front.ask_in_the_open("/pair?link=1")
    assert (status, headers["Location"]) == (301, "https://glue.example.org/pair?link=1")


def test_a_browser_may_send_many_requests_over_one_line(front: InFront) -> None:
    with front.line("h2", "http/1.1") as line:
        assert line.selected_alpn_protocol() == "h2"


def test_figures_for_whoever_watches_are_not_shown_to_the_internet(front: InFront) -> None:
    assert front.ask("/metrics")[0] == 404


def test_no_path_is_written_down_even_when_nobody_answers_behind_it(tmp_path: Path) -> None:
    nobody = InFront(9, tmp_path)  # nobody listens at the port of discard
    assert nobody.ask("/pair/very-secret?key=very-secret")[0] == 502
    assert nobody.ask("/pair/very-secret", b"x" * (MOST + 1))[0] == 413
    assert nobody.ask_in_the_open("/pair/very-secret")[0] == 301
    logged = nobody.nginx.logged(" 502 ", " 413 ", " 301 ")
    assert [code for code in ("502", "413", "301") if f" {code} " not in logged] == []
    assert "secret" not in logged
    nobody.stop()
