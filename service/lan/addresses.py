"""What other machines of the local network call this one."""

from __future__ import annotations

import ipaddress
import re
import socket
from collections.abc import Iterator

Address = ipaddress.IPv4Address | ipaddress.IPv6Address
#: Networks that are nobody's outside: RFC 1918, RFC 6598 (carriers' own), RFC 3927, RFC 1122; RFC 4193, RFC 4291.
PRIVATE = tuple(ipaddress.ip_network(network) for network in (
    "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "100.64.0.0/10", "169.254.0.0/16", "127.0.0.0/8", "fc00::/7", "fe80::/10", "::1/128"))
#: Names that mean a machine nearby and are sold to nobody: RFC 6762, RFC 6761, RFC 8375, and `internal`, which is set aside for it.
ENDINGS = ("local", "localhost", "home.arpa", "internal")
#: Addresses that are routed to nowhere in particular (RFC 5737, RFC 3849): asking for the way there tells our own address; nothing is sent.
_AWAY = ((socket.AF_INET, "192.0.2.1"), (socket.AF_INET6, "2001:db8::1"))
_LABEL = re.compile(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?\Z")


def is_private(address: Address) -> bool:
    """Whether an address belongs to a local network or to this machine itself.

    >>> is_private(ipaddress.ip_address("192.168.1.20")), is_private(ipaddress.ip_address("203.0.113.7"))
    (True, False)
    """
    return any(address.version == network.version and address in network for network in PRIVATE)


def own_addresses() -> list[Address]:
    """This machine's addresses in local networks, the one that others reach first."""
    found = [address for address in (*_outgoing(), *_of_own_name()) if is_private(address) and not address.is_loopback and not address.is_link_local]
    return list(dict.fromkeys(found))


def _outgoing() -> Iterator[Address]:
    for family, away in _AWAY:
        try:
            with socket.socket(family, socket.SOCK_DGRAM) as probe:
                probe.connect((away, 9))
                yield ipaddress.ip_address(probe.getsockname()[0].partition("%")[0])
        except OSError:
            continue


def _of_own_name() -> Iterator[Address]:
    try:
        for *_, where in socket.getaddrinfo(socket.gethostname(), None):
            yield ipaddress.ip_address(str(where[0]).partition("%")[0])
    except (OSError, UnicodeError):
        return


def own_name() -> str | None:
    """This machine's name under `local`, by which networks without a name server find it; None when its name cannot be one.

    The name's first part is meant: `bench.example` is `bench.local` there.
    """
    first = socket.gethostname().partition(".")[0].lower()
    return f"{first}.local" if _LABEL.match(first) and first != "localhost" else None


def good_name(name: str) -> bool:
    """Whether a name may be that of a machine in a local network.

    >>> good_name("bench.local"), good_name("bench.home.arpa"), good_name("example.com"), good_name("local")
    (True, True, False, False)
    """
    labels = name.lower().split(".")
    under = any(name.lower().endswith(f".{ending}") for ending in ENDINGS)
    return len(name) <= 253 and all(_LABEL.match(label) for label in labels) and (under or name.lower() == "localhost")
