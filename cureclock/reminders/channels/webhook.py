"""A signed POST to an address of the maker's own."""

import hmac
import json
from datetime import datetime
from hashlib import sha256

from cureclock.reminders import outward
from cureclock.reminders.channels.message import Address, Outgoing
from cureclock.reminders.channels.webpush import own_post
from cureclock.reminders.clock import Clock
from cureclock.reminders.outcome import Outcome
from cureclock.shop.refusals import Refusal

HEADER = "CureClock-Signature"
SHORTEST_SECRET = 16
GOOD_FOR_S = 300  # a signature older or newer than that is refused


def check(address: str, secret: str) -> None:
    """Refuse an address that may not be called, and a secret that is none."""
    outward.check(address)
    if len(secret) < SHORTEST_SECRET:
        mend = f"make one of {SHORTEST_SECRET} characters or more"
        raise Refusal("secret", "this secret is too short", mend)


def signature(secret: str, at: datetime, body: bytes) -> str:
    """What the header says: when, and a digest of that and the body under the secret."""
    stamp = str(int(at.timestamp()))
    digest = hmac.new(secret.encode(), stamp.encode() + b"." + body, sha256).hexdigest()
    return f"t={stamp},v1={digest}"


def verify(secret: str, header: str, body: bytes, at: datetime) -> None:
    """Refuse what was not signed with the secret, or not just now."""
    parts = dict(part.partition("=")[::2] for part in header.split(","))
    stamp = parts.get("t", "")
    good = stamp.isascii() and stamp.isdecimal() and abs(int(stamp) - at.timestamp()) <= GOOD_FOR_S
    digest = hmac.new(secret.encode(), stamp.encode() + b"." + body, sha256).hexdigest()
    if not good or not hmac.compare_digest(digest, parts.get("v1", "")):
        raise Refusal("signature", "this was not signed by us both, or not now", "sign it anew")


class Webhook:
    """Sends the whole message as JSON."""

    kind = "webhook"

    def send(self, address: Address, message: Outgoing, clock: Clock) -> Outcome:
        """Sign and post."""
        told = {
            "alert": message.alert,
            "title": message.title,
            "body": message.body,
            "tag": message.tag,
            "urgent": message.urgent,
            "cautions": list(message.cautions),
            "receipt": message.receipt,
            "answers": dict(message.answers),
            "sent_at": message.at.isoformat(),
        }
        body = json.dumps(told, ensure_ascii=False).encode()
        headers = {
            "Content-Type": "application/json",
            HEADER: signature(str(address.keys.get("secret", "")), message.at, body),
        }
        return own_post().send(address.address, body, headers, clock)
