"""The shop's authority, judged by OpenSSL: it vouches for the shop's network and for nothing else."""

from __future__ import annotations

import datetime as dt
import ipaddress
import socket
import ssl
import stat
import sys
import threading
from pathlib import Path

import pytest
from cryptography import x509

from service.lan import authority as module
from service.lan.addresses import good_name, is_private, own_addresses, own_name
from service.lan.authority import Authority, loopback, open_authority, vouch
from service.lan.network import LanError, Network


def handshake(made: Authority, asked: str) -> str:
    """What a client that trusts the authority says to a server with its certificate when it asked for `asked`: "" when it is content."""
    serving = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    serving.load_cert_chain(made.chain_file, made.key_file)
    trusting = ssl.create_default_context(cadata=made.certificate.public_bytes(module.serialization.Encoding.PEM).decode())
    with socket.create_server(("127.0.0.1", 0)) as listener:
        def answer() -> None:
            connection, _ = listener.accept()
            try:
                serving.wrap_socket(connection, server_side=True).close()
            except OSError:
                connection.close()

        thread = threading.Thread(target=answer)
        thread.start()
        try:
            with socket.create_connection(listener.getsockname(), timeout=10) as plain, trusting.wrap_socket(plain, server_hostname=asked):
                return ""
        except ssl.SSLCertVerificationError as error:
            return error.verify_message
        finally:
            thread.join(10)


@pytest.mark.parametrize("asked", ["127.0.0.1", "localhost", "bench.local", "192.168.7.20", "fd00::20"])
def test_what_it_vouches_for_is_trusted(tmp_path: Path, asked: str) -> None:
    made = open_authority(tmp_path)
    vouch(made, ["localhost", "bench.local"], [*map(ipaddress.ip_address, ("192.168.7.20", "fd00::20")), *loopback()])
    assert handshake(made, asked) == ""


@pytest.mark.parametrize(("names", "addresses", "asked"), [
    (["example.com"], [], "example.com"), (["localhost", "example.com"], [], "localhost"), (["notlocal"], [], "notlocal"),
    ([], ["203.0.113.7"], "203.0.113.7"), ([], ["2001:db8::1"], "2001:db8::1"),
])
def test_it_cannot_vouch_for_the_internet(tmp_path: Path, names: list[str], addresses: list[str], asked: str) -> None:
    """Even when its key is used to: clients hold the name constraints (RFC 5280, 4.2.1.10) against it."""
    made = open_authority(tmp_path)
    vouch(made, names, [ipaddress.ip_address(address) for address in addresses])
    assert "permitted subtree violation" in handshake(made, asked)


def test_another_name_is_not_trusted(tmp_path: Path) -> None:
    made = open_authority(tmp_path)
    vouch(made, ["bench.local"], [])
    assert "mismatch" in handshake(made, "paint.local").lower()


def test_it_is_kept_and_what_it_vouched_for_too(tmp_path: Path) -> None:
    first = open_authority(tmp_path)
    assert vouch(first, ["localhost"], loopback())
    again = open_authority(tmp_path)
    assert again.fingerprint() == first.fingerprint()
    assert len(first.fingerprint().split(":")) == 32
    assert not vouch(again, ["localhost"], loopback())
    assert vouch(again, ["localhost", "bench.local"], loopback())


def test_another_address_or_a_lost_half_gives_another_certificate(tmp_path: Path) -> None:
    made = open_authority(tmp_path)
    vouch(made, ["localhost"], loopback())
    kept = made.key_file.read_bytes()
    assert vouch(made, ["localhost"], [ipaddress.ip_address("10.0.0.9"), *loopback()])
    made.key_file.write_bytes(kept)
    assert vouch(made, ["localhost"], [ipaddress.ip_address("10.0.0.9"), *loopback()])
    assert handshake(made, "10.0.0.9") == ""


def test_it_lasts_ten_years_and_the_machines_certificate_is_made_anew_each_year(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    now = dt.datetime.now(dt.UTC).replace(microsecond=0)
    made = open_authority(tmp_path)
    vouch(made, ["localhost"], [])

    def after(days: int) -> bool:
        monkeypatch.setattr(module, "_now", lambda: now + dt.timedelta(days=days))
        return vouch(open_authority(tmp_path), ["localhost"], [])

    assert [after(days) for days in (1, 364, 366, 400)] == [False, False, True, False]
    assert open_authority(tmp_path).fingerprint() == made.fingerprint()
    assert (made.certificate.not_valid_after_utc - now).days == 3650
    leaf = x509.load_pem_x509_certificates(made.chain_file.read_bytes())[0]
    # Clients refuse longer ones, also of authorities that a person trusts: 825 days, the CA/Browser Forum's Baseline Requirements 6.3.2 of 2018.
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc < dt.timedelta(days=825)
    after(3650 - 300)
    assert open_authority(tmp_path).fingerprint() != made.fingerprint()


@pytest.mark.skipif(sys.platform == "win32", reason="files have no mode there")
def test_keys_are_their_owners_alone(tmp_path: Path) -> None:
    made = open_authority(tmp_path / "authority")
    vouch(made, ["localhost"], [])
    modes = {file.name: stat.S_IMODE(file.stat().st_mode) for file in made.folder.iterdir()}
    assert modes["authority.key"] == modes["server.key"] == 0o600
    assert stat.S_IMODE(made.folder.stat().st_mode) == 0o700


@pytest.mark.parametrize(("name", "good"), [("bench.local", True), ("a.b.home.arpa", True), ("localhost", True), ("local", False), ("example.com", False),
                                            ("bench", False), ("-a.local", False), ("a..local", False), ("*.local", False), ("a/b.local", False)])
def test_names(name: str, good: bool) -> None:
    assert good_name(name) is good


def test_own_addresses_are_private() -> None:
    assert all(is_private(address) and not address.is_loopback for address in own_addresses())
    name = own_name()
    assert name is None or good_name(name)


def test_a_network_has_links_that_others_reach(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    found = [ipaddress.ip_address("fd00::20"), ipaddress.ip_address("192.168.7.20")]
    monkeypatch.setattr("service.lan.network.own_addresses", lambda: found)
    network = Network(tmp_path, None, 8067)
    assert (network.address, network.trust_address, network.host) == ("https://192.168.7.20:8067", "http://192.168.7.20:8068/trust", "0.0.0.0")
    assert network.authority.fingerprint() in network.instructions()
    assert not network.renew()
    found[1] = ipaddress.ip_address("192.168.7.21")
    assert network.renew()
    assert handshake(network.authority, "192.168.7.21") == ""
    assert Network(tmp_path, None, 8067, "shop.local").address == "https://shop.local:8067"
    found[1:] = []
    assert (Network(tmp_path, None, 8067).address, Network(tmp_path, None, 8067).host) == ("https://[fd00::20]:8067", "::")
    found.clear()
    with pytest.raises(LanError, match="no address in a local network"):
        Network(tmp_path, None, 8067)
    assert Network(tmp_path, "10.1.2.3", 8067).address == "https://10.1.2.3:8067"
