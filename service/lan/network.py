"""Serving a shop's own network: this machine's certificate kept true, and what the terminal says about trusting it."""

from __future__ import annotations

import ipaddress
import logging
import threading
from collections.abc import Callable
from pathlib import Path

from service import qr
from service.lan.addresses import Address, good_name, is_private, own_addresses, own_name
from service.lan.authority import Authority, loopback, open_authority, vouch
from service.lan.trust import TrustServer

_log = logging.getLogger(__name__)
#: Seconds between two looks at this machine's addresses and its certificate's age: routers hand out new addresses at any time.
_LOOK = 60.0


class LanError(Exception):
    """The local network cannot be served: why, and what would be right."""


class Network:
    """The local network as it is served: names, addresses, authority, and the page by which phones come to trust it."""

    def __init__(self, folder: Path, host: str | None, port: int, name: str | None = None) -> None:
        """`folder` keeps the authority; `host` (None: every address) and `port` are listened on; `name` is what links call this machine.

        Raises LanError for a name that the authority cannot vouch for, and when there is no network.
        """
        self.port, self.name = port, name
        if name is not None and not _may_be(name):
            raise LanError(f"{name!r} is neither a private address nor a name under local, home.arpa or internal: the shop's authority vouches for no other")
        self._only = _as_address(host) if host is not None else None
        self.addresses = self._own()
        # Phones' networks speak IPv4 nearly always; a listener on every IPv6 address takes IPv4 along on some systems only.
        self.host = host or ("::" if self.addresses and self.addresses[0].version == 6 else "0.0.0.0")  # noqa: S104 - with TLS and tokens
        if not self.addresses and name is None:
            raise LanError("this machine has no address in a local network; connect it, or say with --name by which name or address it is reached")
        self.authority: Authority = open_authority(folder)
        self.renew()

    def _own(self) -> list[Address]:
        """The addresses that are listened on, IPv4 first."""
        if self._only is not None:
            return [self._only]
        found = own_addresses()
        return [address for version in (4, 6) for address in found if address.version == version]

    @property
    def address(self) -> str:
        """The URL that phones reach the service by."""
        return f"https://{self._host()}:{self.port}"

    @property
    def trust_address(self) -> str:
        """The URL of the page that tells how to trust it."""
        return f"http://{self._host()}:{self.port + 1}/trust"

    def _host(self) -> str:
        host = self.name or str(self.addresses[0])
        return f"[{host}]" if ":" in host else host

    def renew(self) -> bool:
        """Make this machine's certificate anew when it no longer says the truth or is near its end. Returns whether it was."""
        self.addresses = self._own() or self.addresses
        names, addresses = ["localhost"], [*self.addresses, *loopback()]
        for name in (own_name(), self.name):
            if name is not None and (given := _as_address(name)) is not None:
                addresses.append(given)
            elif name is not None:
                names.append(name.lower())
        return vouch(self.authority, list(dict.fromkeys(names)), list(dict.fromkeys(addresses)))

    def watch(self, renewed: Callable[[], object]) -> None:
        """From now on keep the certificate true, and call `renewed` when it was made anew."""
        threading.Thread(target=self._watch, args=(renewed,), name="certificate", daemon=True).start()

    def _watch(self, renewed: Callable[[], object]) -> None:
        stopped = threading.Event()
        while not stopped.wait(_LOOK):
            try:
                if self.renew():
                    _log.info("the certificate was made anew")
                    renewed()
            except OSError:
                _log.exception("the certificate could not be made anew")

    def answer_trust(self) -> TrustServer:
        """Begin to answer the page that tells how to trust the authority. Raises LanError when its port is taken."""
        try:
            server = TrustServer(self.host, self.port + 1, self.authority, self.address)
        except OSError as error:
            raise LanError(f"port {self.port + 1}, on which phones learn to trust the service, cannot be used: {error.strerror or error}") from error
        server.start()
        return server

    def instructions(self) -> str:
        """What the terminal says about trusting the service."""
        name = own_name()
        also = f"\nOn networks that find machines by name it is also https://{name}:{self.port}" if name and name != self.name else ""
        return (f"Phones trust it once they have the shop's certificate. On each, once, open  {self.trust_address}\n{qr.terminal(self.trust_address)}"
                f"Its SHA-256 fingerprint, to compare there:\n  {self.authority.fingerprint()}{also}")


def _may_be(name: str) -> bool:
    address = _as_address(name)
    return is_private(address) if address is not None else good_name(name)


def _as_address(name: str) -> Address | None:
    try:
        return ipaddress.ip_address(name.strip("[]"))
    except ValueError:
        return None
