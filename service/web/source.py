"""Where a request comes from: this machine, or elsewhere, for what is for this machine only and for limits that hold for each asker."""

from __future__ import annotations

import ipaddress

from flask import request

#: What one household or shop is given of IPv6 as a whole, and of IPv4 one address.
_PREFIXES = {4: 32, 6: 64}
#: What those who pass requests on say of where they come from (RFC 7239, and what was usual before it).
_PASSED_ON = ("Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Forwarded-Proto", "X-Real-IP", "Via")


def network(address: str) -> str:
    """The network address that something comes from, or the network that one asker holds as a whole.

    >>> network("192.0.2.7"), network("2001:db8::7"), network("::ffff:192.0.2.7"), network("none")
    ('192.0.2.7/32', '2001:db8::/64', '192.0.2.7/32', 'elsewhere')
    """
    found = _address(address)
    return str(ipaddress.ip_network((found, _PREFIXES[found.version]), strict=False)) if found is not None else "elsewhere"


def _address(text: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    try:
        found = ipaddress.ip_address(text.partition("%")[0])
    except ValueError:
        return None
    return getattr(found, "ipv4_mapped", None) or found


def from_this_machine() -> bool:
    """Whether a program of this machine asks for itself: one that passes on what others ask says so. What it says is believed no further."""
    address = _address(request.remote_addr or "")
    return address is not None and address.is_loopback and not any(name in request.headers for name in _PASSED_ON)
