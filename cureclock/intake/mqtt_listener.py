"""Listening to a workshop's message broker: one listener at a time, again and again, never louder.

A message is acknowledged to the broker after what it says is kept: whatever ends this process, the
broker gives again what was not. Our session stays with the broker while we are away.
"""

import random
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

import structlog
from django.conf import settings
from django.db import DatabaseError, InterfaceError
from django.db.models import Q

from cureclock.intake.mqtt_heard import Hearing, Message
from cureclock.reminders.clock import Clock
from cureclock.reminders.outward import is_public_name, leads_outside
from cureclock.shop.brokers import brokers
from cureclock.shop.models import BrokerVersion
from cureclock.shop.sealing import unsealed

if TYPE_CHECKING:  # half a second and ten megabytes that only who listens should pay
    from paho.mqtt.client import Client, MQTTMessage
    from paho.mqtt.enums import MQTTErrorCode

log = structlog.get_logger("cureclock.mqtt")

LEASE = timedelta(seconds=30)
LOOK_S = 2.0  # between two looks whether anything was told anew
RENEW_S = 10.0
ANSWER_S = 10.0  # a broker that takes us in and then says nothing
SHORTEST_S, LONGEST_S = 1.0, 60.0  # between two tries
KEEPALIVE_S = 30
IDLE_S, PAUSE_S = 0.2, 0.005  # to wait for a message; for one more behind it
HANDFUL = 500  # messages that are kept together
PASSWORD_GONE = "no backup holds its password, nor does a new secret key open it: type it again"
MOST_PACKET = 1024 * 1024  # bytes of one packet; a sensor's is a thousandth of that


class Listener:
    """Listens to one broker.

    Args:
        broker: which.
        clock: the time.
        name: of this process.
    """

    def __init__(self, broker: BrokerVersion, clock: Clock, name: str) -> None:
        self.broker, self.clock, self.name = broker, clock, name[:120]
        self.hearing = Hearing(broker.workshop)
        self.state = ""
        self._client: Client | None = None
        self._came: list[tuple[MQTTMessage, datetime]] = []
        self._subscribed: set[str] = set()
        self._tries = 0
        self._again_s = self._looked_s = self._renewed_s = float("-inf")
        self._asked_s = 0.0

    def turn(self) -> float | None:
        """Listen for a moment; how long to rest then [s], None where it is not ours to listen."""
        now_s = self.clock.monotonic()
        if now_s - self._looked_s >= LOOK_S:
            self._looked_s = now_s
            if not self._ours(now_s):
                return None
        if self._client is None:
            if now_s < self._again_s:
                return min(self._again_s - now_s, LOOK_S)
            self._connect(now_s)
            return 0.0
        self._listen(self._client, now_s)
        return 0.0

    def stop(self) -> None:
        """Keep what came, and let go of the broker."""
        if self._client is not None:
            self._keep(self._client)
        if self._client is not None:
            self._client.disconnect()
            self._client = None
        mine = BrokerVersion.objects.filter(id=self.broker.id, held_by=self.name)
        mine.update(held_until=None, held_by="")

    def _ours(self, now_s: float) -> bool:
        workshop = self.broker.workshop
        newest = brokers(workshop=workshop).get(workshop.id)
        if newest is None or newest.id != self.broker.id:
            self._leave()
            return False
        if now_s - self._renewed_s >= RENEW_S:
            if not self._hold():
                return False
            self._renewed_s = now_s
        if self.hearing.look() and self._client is not None and self.state == "listening":
            self._subscribe(self._client)
        return True

    def _hold(self) -> bool:
        """Take the broker, or go on holding it; False where another process has it."""
        now = self.clock.now()
        free = Q(held_until=None) | Q(held_until__lt=now) | Q(held_by=self.name)
        mine = BrokerVersion.objects.filter(free, id=self.broker.id)
        return mine.update(held_by=self.name, held_until=now + LEASE) == 1

    def _leave(self) -> None:
        """This broker is not wanted any more: nothing is to wait for us there."""
        if self._client is not None and self._subscribed:
            self._client.unsubscribe(sorted(self._subscribed))

    def _connect(self, now_s: float) -> None:
        password = unsealed(self.broker.password) if self.broker.password else ""
        if password is None:
            self._failed("refused", PASSWORD_GONE)
            return
        client = self._new_client(password)
        self._say("connecting")
        try:
            _may_be_called(self.broker.host)
            if self.broker.tls:
                client.tls_set()
            client.connect(self.broker.host, self.broker.port, KEEPALIVE_S)
            _may_be_called(_peer(client))  # a name may lead elsewhere a moment later
        except (OSError, ValueError) as failed:
            client.disconnect()
            self._failed("unreachable", str(failed))
            return
        self._client, self._asked_s = client, now_s

    def _new_client(self, password: str) -> "Client":
        from paho.mqtt.client import Client  # noqa: PLC0415 - only who listens pays for it
        from paho.mqtt.enums import CallbackAPIVersion  # noqa: PLC0415

        client = Client(
            CallbackAPIVersion.VERSION2,
            client_id=f"cureclock-{self.broker.workshop_id.hex[:12]}",
            clean_session=False,
            manual_ack=True,
            reconnect_on_failure=False,
        )
        client.connect_timeout = 5.0
        if self.broker.username:
            client.username_pw_set(self.broker.username, password or None)
        client.on_connect = self._answered
        client.on_subscribe = self._allowed
        client.on_message = self._came_in
        return client

    def _answered(self, client: "Client", _data: Any, _flags: Any, reason: Any, _more: Any) -> None:
        if reason.is_failure:
            self._failed("refused", str(reason))
            return
        self._subscribed = set()
        self._subscribe(client)
        if not self._subscribed:
            self._say("listening")

    def _came_in(self, _client: "Client", _data: Any, message: "MQTTMessage") -> None:
        self._came.append((message, self.clock.now()))

    def _allowed(self, _client: "Client", _data: Any, _mid: int, codes: Any, _more: Any) -> None:
        self._tries = 0
        kept_back = any(code.is_failure for code in codes)
        self._say("listening", "the broker keeps some topics from us" if kept_back else "")

    def _subscribe(self, client: "Client") -> None:
        wanted = self.hearing.topics
        gone, new = self._subscribed - wanted, wanted - self._subscribed
        if gone:
            client.unsubscribe(sorted(gone))
        if new:
            client.subscribe([(topic, 1) for topic in sorted(new)])
        self._subscribed = wanted

    def _listen(self, client: "Client", now_s: float) -> None:
        before = len(self._came)
        code = client.loop(timeout=PAUSE_S if self._came else IDLE_S)
        if self._client is None:  # it was refused meanwhile
            return
        if code != 0 or _oversized(client):
            self._keep(client)
            self._failed("lost", "what came is no MQTT" if code == 0 else _in_words(code))
        elif self.state == "connecting" and now_s - self._asked_s > ANSWER_S:
            self._failed("unreachable", "it does not answer")
        elif self._came and (len(self._came) == before or len(self._came) >= HANDFUL):
            self._keep(client)

    def _keep(self, client: "Client") -> None:
        """Keep what came, then tell the broker so."""
        came, self._came = self._came, []
        if not came:
            return
        try:
            self.hearing.take([_message(*one) for one in came], self.clock.now())
        except (DatabaseError, InterfaceError) as failed:
            log.error("messages could not be kept", why=str(failed).strip()[:200])
            self._failed("lost", "the records cannot be used")
            return
        for message, _ in came:
            if message.qos:
                client.ack(message.mid, message.qos)

    def _failed(self, state: str, why: str) -> None:
        """Let go of the connection, and try again later, each time later still."""
        if self._client is not None:
            client, self._client = self._client, None
            client.disconnect()
        self._came = []
        wait_s = min(SHORTEST_S * 2**self._tries, LONGEST_S)
        self._tries = min(self._tries + 1, 10)
        self._again_s = self.clock.monotonic() + wait_s * random.uniform(0.8, 1.2)
        self._say(state, why)

    def _say(self, state: str, why: str = "") -> None:
        """Leave word how it goes, where somebody may read it."""
        self.state = state
        log.info("broker", state=state, why=why[:160])
        mine = BrokerVersion.objects.filter(id=self.broker.id, held_by=self.name)
        try:
            told = " ".join(f"{state} {why}".split())[:200]
            mine.update(state=told, state_at=self.clock.now())
        except (DatabaseError, InterfaceError) as failed:
            log.error("the records cannot be used", why=str(failed).strip()[:200])


def _may_be_called(host: str) -> None:
    """Refuse a broker inside the house where owners who do not know each other share it."""
    known = settings.CURECLOCK_BROKER_IN_HOUSE or (is_public_name(host) and leads_outside(host))
    if not known:
        raise ValueError("this server calls no broker inside a house")


def _peer(client: "Client") -> str:
    """Whom we are connected to."""
    open_to: Any = client.socket()
    return "" if open_to is None else str(open_to.getpeername()[0])


def _message(message: "MQTTMessage", at: datetime) -> Message:
    return Message(message.topic, bytes(message.payload), message.retain, at)


def _in_words(code: "MQTTErrorCode") -> str:
    from paho.mqtt.client import error_string  # noqa: PLC0415 - as above

    return error_string(code)


def _oversized(client: "Client") -> bool:
    """Whether a packet is on its way that is longer than any sensor's: it is not waited for."""
    coming: dict[str, Any] = getattr(client, "_in_packet", {})
    return int(coming.get("remaining_length", 0)) > MOST_PACKET
