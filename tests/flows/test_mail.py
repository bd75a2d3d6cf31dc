"""A reminder travels from a reading to a real mail server, once."""

from collections.abc import Iterator
from typing import Any

import pytest
from aiosmtpd.controller import Controller

from cureclock.reminders import reach
from cureclock.reminders.clock import FakeClock
from cureclock.reminders.models import Delivery
from cureclock.runtime.tick import Turn
from tests.cast import Cast, when
from tests.servers import free_port

pytestmark = pytest.mark.django_db


class Mailbox:
    """Keeps what it is given."""

    def __init__(self) -> None:
        self.taken: list[str] = []

    async def handle_DATA(self, _server: Any, _session: Any, envelope: Any) -> str:  # noqa: N802
        self.taken.append(envelope.content.decode())
        return "250 OK"


@pytest.fixture
def mailbox(settings: Any) -> Iterator[Mailbox]:
    kept = Mailbox()
    server = Controller(kept, hostname="127.0.0.1", port=free_port())
    server.start()
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = server.hostname, server.port
    yield kept
    server.stop()


def test_from_a_reading_to_a_mailbox_once(mailbox: Mailbox) -> None:
    cast = Cast.open()
    cast.place()
    cast.material()
    assert cast.owner.person is not None
    clock = FakeClock(when("Mon 08:00"))
    reach.by_email(cast.workshop, cast.owner.person, "maker@example.org", clock.now())
    cast.piece("L-01")
    cast.spread("G1", ["L-01"], "Mon 08:55")
    cast.press("G1", "Mon 09:00")
    cast.read("Mon 09:00", 20.0)
    turn = Turn(clock)
    for minute in range(40, 60):
        clock.move_to(when(f"Mon 09:{minute}"))
        turn.tick()
    (mail,) = mailbox.taken
    assert "To: maker@example.org" in mail
    assert "Subject: =?utf-8?" in mail
    assert Delivery.objects.get(alert__gate="clamps_off").state == Delivery.State.SENT
