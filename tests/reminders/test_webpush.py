"""Web Push against a push service of our own: what it is sent, and what its answers mean."""

import json
import re
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

import pytest
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature

from cureclock.reminders import reach
from cureclock.reminders.channels import message as timing
from cureclock.reminders.channels.aes128gcm import CURVE, from_text
from cureclock.reminders.channels.message import Address, Outgoing
from cureclock.reminders.channels.post import Post
from cureclock.reminders.channels.vapid import keys
from cureclock.reminders.channels.webpush import MOST_BYTES, WebPush, own_post, payload, topic
from cureclock.reminders.models import PushKey, Way
from cureclock.reminders.outcome import Accepted, Fault, Gone, TryAgain
from cureclock.runtime.clock import SystemClock
from cureclock.shop.models import Phone
from cureclock.shop.refusals import Refusal
from tests.cast import Cast, when
from tests.faults.oracle import Device, Oracle

pytestmark = pytest.mark.django_db
CLOCK = SystemClock()


@pytest.fixture
def service(tmp_path: Path, settings: Any) -> Iterator[Oracle]:
    settings.CURECLOCK_PRIVATE_ENDPOINTS = True
    oracle = Oracle(tmp_path / "oracle.log")
    yield oracle
    own_post().close()
    oracle.stop()


DEVICE = Device("phone")


def to(service: Oracle) -> Address:
    return Address(service.address("phone"), DEVICE.keys)


def outgoing(**said: Any) -> Outgoing:
    told: dict[str, Any] = {
        "title": "Take clamps off – drums L-01–08",
        "body": "Not the lathe before Fri 14:07.",
        "tag": "a clamps_off",
        "urgent": False,
        "alert": "a",
        "delivery": 1,
        "link": "/wait/a",
        "receipt": "1:x",
        "cautions": ("lathe",),
        "at": when("Mon 09:00"),
        "ttl_s": 21600,
        **said,
    }
    return Outgoing(**told)


def test_the_phone_reads_what_was_sent(service: Oracle) -> None:
    assert isinstance(WebPush().send(to(service), outgoing(), CLOCK), Accepted)
    (taken,) = service.taken()
    notice = DEVICE.read(bytes.fromhex(taken["body"]))
    assert notice["web_push"] == 8030
    assert notice["notification"]["title"] == "Take clamps off – drums L-01–08"
    assert notice["notification"]["navigate"] == "/wait/a"
    assert notice["notification"]["tag"] == "a clamps_off"


def test_the_headers_say_how_long_how_urgent_and_what_it_replaces(service: Oracle) -> None:
    WebPush().send(to(service), outgoing(urgent=True, ttl_s=90), CLOCK)
    (taken,) = service.taken()
    assert (taken["ttl"], taken["urgency"]) == (90, "high")
    assert taken["topic"] == topic("a clamps_off")


@pytest.mark.parametrize("tag", ["", "a", "x" * 1000, "Ä – ö"])
def test_a_topic_is_32_signs_that_every_service_takes(tag: str) -> None:
    assert re.fullmatch(r"[A-Za-z0-9_-]{32}", topic(tag))
    assert len(topic(tag)) % 4 != 1


def test_a_service_can_verify_who_we_are(service: Oracle) -> None:
    WebPush().send(to(service), outgoing(), CLOCK)
    header = service.taken()[0]["authorization"]
    token, public = re.fullmatch(r"vapid t=([^,]+), k=(\S+)", header).groups()  # type: ignore[union-attr]
    head, claims, signature = token.split(".")
    told = json.loads(from_text(claims))
    assert told["aud"] == f"http://127.0.0.1:{service.port}"
    assert 0 < told["exp"] - when("Mon 09:00").timestamp() <= 86400
    assert told["sub"].startswith("mailto:")
    assert json.loads(from_text(head)) == {"typ": "JWT", "alg": "ES256"}
    raw = from_text(signature)
    ours = ec.EllipticCurvePublicKey.from_encoded_point(CURVE, from_text(public))
    der = encode_dss_signature(int.from_bytes(raw[:32], "big"), int.from_bytes(raw[32:], "big"))
    ours.verify(der, f"{head}.{claims}".encode(), ec.ECDSA(hashes.SHA256()))
    with pytest.raises(InvalidSignature):
        ours.verify(der, b"something else", ec.ECDSA(hashes.SHA256()))


def test_the_key_is_made_once_and_kept() -> None:
    first = keys(when("Mon 09:00")).public
    assert keys(when("Tue 09:00")).public == first
    assert PushKey.objects.count() == 1


@pytest.mark.parametrize("body", ["x" * 9000, "\n".join(["Ä" * 100] * 40), "–" * 5000])
def test_a_payload_is_never_too_long_and_still_reads(body: str) -> None:
    plain = payload(outgoing(body=body), "https://shed.example.org")
    assert len(plain) <= MOST_BYTES
    notice = json.loads(plain)["notification"]
    assert notice["title"] == "Take clamps off – drums L-01–08"
    assert notice["data"]["receipt"] == "1:x"


@pytest.mark.parametrize(
    ("answer", "kind"),
    [
        ("404", Gone),
        ("410", Gone),
        ("400", Fault),
        ("413", Fault),
        ("301", Fault),
        ("500", TryAgain),
        ("reset", TryAgain),
    ],
)
def test_what_its_answers_mean(service: Oracle, answer: str, kind: type) -> None:
    service.behave["phone"] = [answer]
    assert isinstance(WebPush().send(to(service), outgoing(), CLOCK), kind)


def test_a_service_that_asks_for_time_gets_it(service: Oracle) -> None:
    service.behave["phone"] = ["429 17"]
    outcome = WebPush().send(to(service), outgoing(), CLOCK)
    assert isinstance(outcome, TryAgain)
    assert outcome.after_s == 17


def test_connections_are_kept_and_one_that_was_closed_meanwhile_is_no_failure(
    service: Oracle,
) -> None:
    with closing(Post()) as post:
        for _ in range(3):
            assert isinstance(post.send(to(service).address, b"x", HEADERS, CLOCK), Accepted)
        assert len(service.open) == 1
        service.open[0].shutdown(socket.SHUT_RDWR)
        assert isinstance(post.send(to(service).address, b"x", HEADERS, CLOCK), Accepted)
        assert len(service.open) == 2


HEADERS = {"TTL": "1", "Urgency": "normal", "Topic": "t", "Authorization": "none"}


def test_a_service_that_hangs_or_drips_is_left_within_the_time(
    settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.CURECLOCK_PRIVATE_ENDPOINTS = True
    monkeypatch.setattr("cureclock.reminders.channels.post.TIMEOUT_S", 0.6)
    assert timing.TIMEOUT_S == 10
    with socket.create_server(("127.0.0.1", 0)) as listening:
        port = listening.getsockname()[1]

        def drip() -> None:
            taken, _ = listening.accept()
            with taken, suppress(OSError):
                taken.recv(65536)
                for sign in "HTTP/1.1 201 Created\r\n" + "X-A: " + "a" * 200:
                    taken.sendall(sign.encode())
                    time.sleep(0.1)

        threading.Thread(target=drip, daemon=True).start()
        began = time.monotonic()
        with closing(Post()) as post:
            outcome = post.send(f"http://127.0.0.1:{port}/", b"x", HEADERS, CLOCK)
        assert isinstance(outcome, TryAgain)
        assert time.monotonic() - began < 1.2


HOSTILE = [
    "http://push.example.org/x",
    "https://127.0.0.1/x",
    "https://localhost/x",
    "https://127.1/x",
    "https://0x7f.1/x",
    "https://2130706433/x",
    "https://[::1]/x",
    "https://[::ffff:10.0.0.1]/x",
    "https://[fd00::1]/x",
    "https://[2002:7f00:1::]/x",
    "https://[64:ff9b::10.0.0.1]/x",
    "https://[64:ff9b:1::a00:1]/x",
    "https://[::127.0.0.1]/x",
    "https://[::ffff:0:10.0.0.1]/x",
    "https://[fec0::1]/x",
    "https://192.0.0.8/x",
    "https://10.1.2.3/x",
    "https://169.254.169.254/latest",
    "https://192.168.1.1/x",
    "https://100.64.0.1/x",
    "https://shed.local/x",
    "https://printer/x",
    "https://name@push.example.org/x",
    "https://push.example.org:notaport/x",
    "ftp://push.example.org/x",
    "https:///x",
    "https://push.example.org/\r\nX: y",
    "file:///etc/passwd",
    "",
]


@pytest.mark.parametrize("endpoint", HOSTILE)
def test_an_address_that_is_not_on_the_internet_is_refused(endpoint: str) -> None:
    cast = Cast.open()
    phone = paired(cast)
    with pytest.raises(Refusal):
        reach.by_push(phone, endpoint=endpoint, **DEVICE.keys, at=when("Mon 09:00"))
    assert not Way.objects.exists()


def test_a_name_that_leads_into_the_house_is_refused_when_it_is_called(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """It looked like one of the internet when it was given."""

    def house(*_args: object, **_told: object) -> list[Any]:
        return [(socket.AF_INET, socket.SOCK_STREAM, 6, "", ("192.168.1.1", 443))]

    monkeypatch.setattr(socket, "getaddrinfo", house)
    outcome = Post().send("https://push.example.org/x", b"x", HEADERS, CLOCK)
    assert outcome == Fault(None, "this address is inside a house")


def paired(cast: Cast) -> Phone:
    assert cast.owner.person is not None
    return Phone.objects.create(
        workshop=cast.workshop,
        person=cast.owner.person,
        name="phone",
        token_hash="x",
        paired_at=when("Mon 08:00"),
    )


def test_a_phone_has_one_push_address_the_newest() -> None:
    phone = paired(Cast.open())
    for number in range(30):
        endpoint = f"https://push.example.org/{number}"
        reach.by_push(phone, endpoint=endpoint, **DEVICE.keys, at=when("Mon 09:00"))
    (way,) = Way.objects.all()
    assert way.address == "https://push.example.org/29"
    assert way.host == "push.example.org"


@pytest.mark.parametrize(
    "broken",
    [{"p256dh": "x"}, {"p256dh": "A" * 87}, {"auth": "x"}, {"auth": ""}, {"p256dh": "é"}],
)
def test_keys_that_are_none_are_refused(broken: dict[str, str]) -> None:
    phone = paired(Cast.open())
    given = {**DEVICE.keys, **broken}
    with pytest.raises(Refusal):
        reach.by_push(phone, endpoint="https://push.example.org/x", **given, at=when("Mon 09:00"))


def test_a_thousand_ways_from_one_account_are_refused() -> None:
    cast = Cast.open()
    assert cast.owner.person is not None
    for number in range(reach.MOST_WAYS):
        reach.by_email(cast.workshop, cast.owner.person, f"{number}@example.org", when("Mon 09:00"))
    with pytest.raises(Refusal):
        reach.by_email(cast.workshop, cast.owner.person, "more@example.org", when("Mon 09:00"))
    assert Way.objects.count() == reach.MOST_WAYS
