"""Saying who we are to a push service: RFC 8292, with keys made at the first run."""

import json
from datetime import datetime, timedelta
from functools import cache
from urllib.parse import urlsplit

from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature
from django.conf import settings

from cureclock.reminders.channels.aes128gcm import CURVE, from_text, point, to_text
from cureclock.reminders.models import PushKey

GOOD_FOR = timedelta(hours=12)  # at most 24, RFC 8292, 2
NOBODY = "mailto:reminders@example.org"  # of the form that is asked for; RFC 2606


def keys(at: datetime) -> PushKey:
    """Our pair of keys, made when first asked for; every phone's subscription is bound to it."""
    kept = PushKey.objects.first()
    if kept is not None:
        return kept
    fresh = ec.generate_private_key(CURVE)
    private = fresh.private_numbers().private_value.to_bytes(32, "big")
    values = {
        "private": to_text(private),
        "public": to_text(point(fresh.public_key())),
        "made_at": at,
    }
    return PushKey.objects.get_or_create(id=1, defaults=values)[0]


def authorization(endpoint: str, at: datetime) -> str:
    """The Authorization header for an endpoint."""
    ours = keys(at)
    parts = urlsplit(endpoint)
    claims = {
        "aud": f"{parts.scheme}://{parts.netloc}",
        "exp": int((at + GOOD_FOR).timestamp()),
        "sub": settings.CURECLOCK_CONTACT or NOBODY,
    }
    return f"vapid t={_signed(claims, ours.private)}, k={ours.public}"


def _signed(claims: dict[str, object], private: str) -> str:
    """A JSON web token, ES256 (RFC 7518, 3.4)."""
    head = to_text(json.dumps({"typ": "JWT", "alg": "ES256"}).encode())
    text = f"{head}.{to_text(json.dumps(claims).encode())}"
    signature = _private_key(private).sign(text.encode(), ec.ECDSA(hashes.SHA256()))
    r, s = decode_dss_signature(signature)
    return f"{text}.{to_text(r.to_bytes(32, 'big') + s.to_bytes(32, 'big'))}"


@cache
def _private_key(private: str) -> ec.EllipticCurvePrivateKey:
    return ec.derive_private_key(int.from_bytes(from_text(private), "big"), CURVE)
