"""What this machine is called, and the addresses at which a phone in the house can reach it."""

import ipaddress
import re
import socket
from contextlib import suppress
from pathlib import Path

Address = ipaddress.IPv4Address | ipaddress.IPv6Address
LABEL = re.compile(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?")
HOUSE = tuple(
    ipaddress.ip_network(text)
    for text in (
        *("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16"),  # RFC 1918
        *("127.0.0.0/8", "::1/128", "fc00::/7"),  # RFC 1122, RFC 4291, RFC 4193
        "100.64.0.0/10",  # RFC 6598, shared behind one provider; also used by private overlays
        *("192.0.2.0/24", "198.51.100.0/24", "203.0.113.0/24"),  # RFC 5737, for trying things out
    )
)
ANYWHERE = {socket.AF_INET: "192.0.2.1", socket.AF_INET6: "2001:db8::1"}  # RFC 5737, RFC 3849


def machine_names() -> list[str]:
    """`localhost`, the host name, and the name it answers to in the house (RFC 6762)."""
    names = ["localhost"]
    host = socket.gethostname().lower().rstrip(".")
    if all(LABEL.fullmatch(label) for label in host.split(".")):
        names += [host, f"{host.split('.')[0]}.local"]
    return list(dict.fromkeys(names))


def machine_addresses() -> list[Address]:
    """The address of the way out first, then the others, loopback last; link-local left out."""
    found = [*way_out(), *from_kernel(), *from_host_name()]
    known = dict.fromkeys(address for address in found if not address.is_link_local)
    loopback = [ipaddress.ip_address("127.0.0.1"), ipaddress.ip_address("::1")]
    return [*(address for address in known if not address.is_loopback), *loopback]


def way_out() -> list[Address]:
    """The address a packet to somewhere else would carry; nothing is sent to find it."""
    found = []
    for family, far in ANYWHERE.items():
        with suppress(OSError), socket.socket(family, socket.SOCK_DGRAM) as asking:
            asking.connect((far, 9))
            found.append(ipaddress.ip_address(asking.getsockname()[0]))
    return found


def from_kernel() -> list[Address]:
    """Linux lists its own addresses in two files; other systems have neither."""
    found: list[Address] = []
    with suppress(OSError):
        routes = Path("/proc/net/fib_trie").read_text()
        local = re.findall(r"\|-- (\d+\.\d+\.\d+\.\d+)\s+/32 host LOCAL", routes)
        found += [ipaddress.IPv4Address(text) for text in local]
    with suppress(OSError):
        lines = Path("/proc/net/if_inet6").read_text().splitlines()
        found += [ipaddress.IPv6Address(int(line.split()[0], 16)) for line in lines]
    return found


def from_host_name() -> list[Address]:
    with suppress(OSError):
        answers = socket.getaddrinfo(socket.gethostname(), None, type=socket.SOCK_STREAM)
        return [ipaddress.ip_address(str(answer[4][0]).split("%")[0]) for answer in answers]
    return []


def in_the_house(address: Address) -> bool:
    """One that cannot be reached from the internet at large."""
    return any(address in network for network in HOUSE)
