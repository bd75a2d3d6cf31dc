"""Secrets that have to be had back in clear, kept sealed: the records alone do not give them away."""

import base64

from cryptography.fernet import Fernet, InvalidToken
from django.utils.crypto import salted_hmac


def sealed(secret: str) -> str:
    """A secret as it is kept, sealed by the server's secret key."""
    return _seal().encrypt(secret.encode()).decode()


def unsealed(kept: str) -> str | None:
    """What was sealed; None where this server's secret key did not seal it."""
    try:
        return _seal().decrypt(kept.encode()).decode()
    except InvalidToken:
        return None


def _seal() -> Fernet:
    key = salted_hmac("cureclock.shop.sealing", "", algorithm="sha256").digest()
    return Fernet(base64.urlsafe_b64encode(key))
