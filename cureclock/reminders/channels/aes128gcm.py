"""Encrypting for one phone: RFC 8291 over RFC 8188, in one record."""

import os
import struct
from base64 import urlsafe_b64decode, urlsafe_b64encode

from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

CURVE = ec.SECP256R1()
RECORD_BYTES = 4096  # RFC 8188, 2.1; a push service has to take so much (RFC 8030, 7.2)
LAST = b"\x02"  # delimiter of the last record, RFC 8188, 2


def encrypt(
    plain: bytes,
    p256dh: str,
    auth: str,
    *,
    salt: bytes | None = None,
    key: ec.EllipticCurvePrivateKey | None = None,
) -> bytes:
    """The body of a push for the phone that has these keys.

    Args:
        plain: what only the phone can read.
        p256dh, auth: the phone's public key and secret, as its browser gave them.
        salt, key: of this message; made anew unless a test gives them.
    """
    salt = salt or os.urandom(16)
    key = key or ec.generate_private_key(CURVE)
    theirs = public_key(p256dh)
    ours = point(key.public_key())
    shared = key.exchange(ec.ECDH(), theirs)
    info = b"WebPush: info\x00" + point(theirs) + ours
    secret = _derived(shared, from_text(auth), info, 32)
    content_key = _derived(secret, salt, b"Content-Encoding: aes128gcm\x00", 16)
    nonce = _derived(secret, salt, b"Content-Encoding: nonce\x00", 12)
    sealed = AESGCM(content_key).encrypt(nonce, plain + LAST, None)
    return salt + struct.pack("!LB", RECORD_BYTES, len(ours)) + ours + sealed


def public_key(text: str) -> ec.EllipticCurvePublicKey:
    """A phone's public key; ValueError where it is none."""
    return ec.EllipticCurvePublicKey.from_encoded_point(CURVE, from_text(text))


def point(key: ec.EllipticCurvePublicKey) -> bytes:
    """A public key as it travels."""
    return key.public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)


def from_text(text: str) -> bytes:
    """Bytes of URL-safe base64, padded or not; ValueError where it is none."""
    return urlsafe_b64decode(text.encode("ascii") + b"=" * (-len(text) % 4))


def to_text(raw: bytes) -> str:
    """URL-safe base64 without padding."""
    return urlsafe_b64encode(raw).rstrip(b"=").decode("ascii")


def _derived(secret: bytes, salt: bytes, info: bytes, length: int) -> bytes:
    return HKDF(hashes.SHA256(), length, salt, info).derive(secret)
