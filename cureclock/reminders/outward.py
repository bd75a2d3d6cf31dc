"""Addresses that come from outside: only ones on the internet are ever called."""

import ipaddress
import socket
from urllib.parse import urlsplit

from django.conf import settings

from cureclock.shop.refusals import Refusal

MEND = "give an https address on the internet"
# All that is given out of IPv6 (RFC 4291 section 2.4); what lies outside may be translated into
# an address of the house (RFC 6052), and so may 192.0.0.0/24 (RFC 6890).
UNICAST, PROTOCOL = ipaddress.ip_network("2000::/3"), ipaddress.ip_network("192.0.0.0/24")
HOUSEHOLD = ("localhost", ".localhost", ".local", ".internal", ".lan", ".home.arpa")


def check(address: str, field: str = "address") -> str:
    """The host and port of an https address that may be called; else refused.

    Names are looked at here; what they stand for is looked at again at each call, because a
    name can be made to point into the house later.
    """
    try:
        parts = urlsplit(address)
        host, port = parts.hostname or "", parts.port
    except ValueError:
        raise Refusal(field, "this is no address", MEND) from None
    if parts.scheme != "https" and not _may_be_private(parts.scheme):
        raise Refusal(field, "this is not https", MEND)
    if not host or parts.username is not None or not address.isascii() or " " in address:
        raise Refusal(field, "this is no address", MEND)
    if not is_public_name(host) and not _may_be_private(parts.scheme):
        raise Refusal(field, "this address is inside a house", MEND)
    return host if port is None else f"{host}:{port}"


def leads_outside(host: str) -> bool:
    """Whether every address that a name stands for now is on the internet."""
    try:
        found = socket.getaddrinfo(host, None, type=socket.SOCK_STREAM)
    except OSError:
        return True  # nobody there: the call fails by itself
    addresses = (ipaddress.ip_address(str(where[0]).partition("%")[0]) for *_, where in found)
    return all(is_public(address) for address in addresses)


def is_public_name(host: str) -> bool:
    """Whether a host name may stand for something on the internet."""
    name = host.lower().rstrip(".")
    address = _literal(name)
    if address is not None:
        return is_public(address)
    own = name == "localhost" or name.endswith(HOUSEHOLD[1:])
    return "." in name and not own and not name.replace(".", "").isdigit()


def is_public(address: ipaddress.IPv4Address | ipaddress.IPv6Address) -> bool:
    """Whether an address is one of the internet at large."""
    inner = getattr(address, "ipv4_mapped", None) or getattr(address, "sixtofour", None)
    if inner is not None:
        return is_public(inner)
    at_large = address in UNICAST if address.version == 6 else address not in PROTOCOL
    return at_large and address.is_global and not address.is_multicast


def _literal(name: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    """The address a name spells out, as a resolver reads it: 127.1 and 0x7f000001 are addresses."""
    try:
        return ipaddress.ip_address(name)
    except ValueError:
        pass
    try:
        return ipaddress.ip_address(socket.inet_aton(name))
    except (OSError, ValueError):
        return None


def _may_be_private(scheme: str) -> bool:
    """A switch for tests: their services listen on this machine, without https."""
    return settings.CURECLOCK_PRIVATE_ENDPOINTS and scheme in ("http", "https")
