"""Secrets that open the shop: made here, given out once, kept only as a hash."""

import secrets
from hashlib import sha256


def new_token() -> str:
    """A secret of 256 random bits."""
    return secrets.token_urlsafe(32)


def hashed(token: str) -> str:
    """What is kept of a token. It is random and long, so that one plain hash is enough."""
    return sha256(token.encode("utf-8", "surrogatepass")).hexdigest()
