"""Web Push: one encrypted message to one phone's push service (RFC 8030, 8291, 8292)."""

import json
from contextvars import ContextVar
from hashlib import sha256
from typing import Any

from cureclock.core.wording.say import say
from cureclock.reminders import outward
from cureclock.reminders.channels import vapid
from cureclock.reminders.channels.aes128gcm import encrypt, from_text, public_key, to_text
from cureclock.reminders.channels.message import Address, Outgoing
from cureclock.reminders.channels.post import Post
from cureclock.reminders.clock import Clock
from cureclock.reminders.outcome import Fault, Outcome
from cureclock.shop.refusals import Refusal

MOST_BYTES = 3000  # before encryption; 4,096 after it is what every service takes
TOPIC_LENGTH = (
    32  # RFC 8030, 5.4; a length of 1 more than a multiple of 4 is refused by one service
)
DECLARATIVE = 8030  # says that the message is the notice, and needs no worker to show it
AUTH_BYTES = 16  # RFC 8291, 3.2

_post: ContextVar[Post] = ContextVar("post")


def check(endpoint: str, p256dh: str, auth: str) -> None:
    """Refuse a push address that is not one."""
    outward.check(endpoint, "endpoint")
    try:
        public_key(p256dh)
    except (ValueError, UnicodeEncodeError):
        raise Refusal("p256dh", "this is no key", "send the key the browser gave") from None
    try:
        known = len(from_text(auth)) == AUTH_BYTES
    except (ValueError, UnicodeEncodeError):
        known = False
    if not known:
        raise Refusal("auth", "this is no secret", "send the secret the browser gave")


def topic(tag: str) -> str:
    """A message that is not yet delivered is replaced by the next of its topic."""
    return to_text(sha256(tag.encode()).digest())[:TOPIC_LENGTH]


def payload(message: Outgoing, origin: str) -> bytes:
    """The notice, in the declarative form that a worker can read as well; never too long."""
    notice: dict[str, Any] = {
        "title": message.title,
        "body": message.body,
        "lang": "en",
        "dir": "ltr",
        "tag": message.tag,
        "navigate": f"{origin}{message.link}",
        "requireInteraction": message.urgent,
        "actions": [{"action": act, "title": say(f"button.{act}")} for act, _ in message.answers],
        "data": {
            "alert": message.alert,
            "receipt": message.receipt,
            "link": message.link,
            "urgent": message.urgent,
            "answers": dict(message.answers),
            "cautions": list(message.cautions),
            "sent_at": message.at.isoformat(),
        },
    }
    while len(plain := _written(notice)) > MOST_BYTES:
        lines = notice["body"].split("\n")
        notice["body"] = "\n".join(lines[:-1]) if len(lines) > 1 else notice["body"][:-80]
        if not notice["body"]:
            notice["tag"] = topic(message.tag)
            notice["data"]["cautions"] = []
            return _written(notice)
    return plain


def _written(notice: dict[str, Any]) -> bytes:
    told = {"web_push": DECLARATIVE, "notification": notice}
    return json.dumps(told, ensure_ascii=False, separators=(",", ":")).encode()


class WebPush:
    """Sends to whatever service a phone's browser uses."""

    kind = "webpush"

    def send(self, address: Address, message: Outgoing, clock: Clock) -> Outcome:
        """Encrypt, sign, post."""
        plain = payload(message, str(address.keys.get("origin", "")))
        try:
            body = encrypt(plain, address.keys["p256dh"], address.keys["auth"])
        except (KeyError, ValueError):
            return Fault(None, "this phone's keys are none")
        headers = {
            "TTL": str(message.ttl_s),
            "Urgency": "high" if message.urgent else "normal",
            "Topic": topic(message.tag),
            "Content-Type": "application/octet-stream",
            "Content-Encoding": "aes128gcm",
            "Authorization": vapid.authorization(address.address, message.at),
        }
        return own_post().send(address.address, body, headers, clock)


def own_post() -> Post:
    """The connections of this thread."""
    found = _post.get(None)
    if found is None:
        found = Post()
        _post.set(found)
    return found
