"""Where a request comes from, for limits that hold for each asker."""

from __future__ import annotations

import ipaddress

#: What one household or shop is given of IPv6 as a whole, and of IPv4 one address.
_PREFIXES = {4: 32, 6: 64}


def network(address: str) -> str:
    """The network address that something comes from, or the network that one asker holds as a whole.

    >>> network("192.0.2.7"), network("2001:db8::7"), network("::ffff:192.0.2.7"), network("none")
    ('192.0.2.7/32', '2001:db8::/64', '192.0.2.7/32', 'elsewhere')
    """
    try:
        found = ipaddress.ip_address(address.partition("%")[0])
    except ValueError:
        return "elsewhere"
    found = getattr(found, "ipv4_mapped", None) or found
    return str(ipaddress.ip_network((found, _PREFIXES[found.version]), strict=False))
