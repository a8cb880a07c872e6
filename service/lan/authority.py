"""A certificate authority for one shop: it can vouch for machines of local networks and for nothing else.

Its key never leaves the data folder. Whoever stole it could pose as machines with private names and addresses to the
phones that trust it, and as no site of the internet: the name constraints (RFC 5280, section 4.2.1.10) say so, critically.
"""

from __future__ import annotations

import datetime as dt
import ipaddress
import os
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from service.lan.addresses import ENDINGS, PRIVATE, Address

_AUTHORITY_YEARS = 10
#: A machine's certificate lasts a year and a month and is made anew in that month; phones take none of more than 825 days.
_LEAF = dt.timedelta(days=396)
_RENEW_BEFORE = dt.timedelta(days=31)
#: Clocks in a shop are not all right.
_SKEW = dt.timedelta(days=1)
_KEY_USES = ("digital_signature", "content_commitment", "key_encipherment", "data_encipherment", "key_agreement", "key_cert_sign", "crl_sign",
             "encipher_only", "decipher_only")


@dataclass(frozen=True, slots=True)
class Authority:
    """The shop's authority: its certificate, and where it and what it vouched for are kept."""

    folder: Path
    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey

    @property
    def chain_file(self) -> Path:
        """The machine's certificate, then the authority's."""
        return self.folder / "server.crt"

    @property
    def key_file(self) -> Path:
        """The machine's key."""
        return self.folder / "server.key"

    def fingerprint(self) -> str:
        """The SHA-256 of the authority's certificate, as phones show it."""
        return ":".join(f"{byte:02X}" for byte in self.certificate.fingerprint(hashes.SHA256()))

    def der(self) -> bytes:
        """The authority's certificate, as phones take it in."""
        return self.certificate.public_bytes(serialization.Encoding.DER)


def open_authority(folder: Path) -> Authority:
    """The authority that is kept in a folder, made when there is none or when it has under a leaf's time to go.

    A new one has to be trusted on every phone anew; that happens once in nine years.
    """
    folder.mkdir(parents=True, exist_ok=True)
    folder.chmod(0o700)
    file, key_file = folder / "authority.crt", folder / "authority.key"
    if file.exists() and key_file.exists():
        certificate = x509.load_pem_x509_certificate(file.read_bytes())
        key = serialization.load_pem_private_key(key_file.read_bytes(), None)
        if isinstance(key, ec.EllipticCurvePrivateKey) and certificate.not_valid_after_utc - _now() > _LEAF:
            return Authority(folder, certificate, key)
    key = ec.generate_private_key(ec.SECP256R1())
    certificate = _authority_certificate(key)
    _write_secret(key_file, _pem(key))
    _write(file, certificate.public_bytes(serialization.Encoding.PEM))
    return Authority(folder, certificate, key)


def vouch(authority: Authority, names: Sequence[str], addresses: Sequence[Address]) -> bool:
    """Make this machine's certificate for these names and addresses, unless the one that is there says just that and is fresh.

    Returns whether it was made.
    """
    alternatives = [*(x509.DNSName(name) for name in names), *(x509.IPAddress(address) for address in addresses)]
    if _is_fresh(authority, alternatives):
        return False
    key = ec.generate_private_key(ec.SECP256R1())
    certificate = _leaf(authority, key, alternatives)
    _write_secret(authority.key_file, _pem(key))
    _write(authority.chain_file, certificate.public_bytes(serialization.Encoding.PEM) + authority.certificate.public_bytes(serialization.Encoding.PEM))
    return True


def _is_fresh(authority: Authority, alternatives: Sequence[x509.GeneralName]) -> bool:
    if not authority.chain_file.exists() or not authority.key_file.exists():
        return False
    kept = x509.load_pem_x509_certificates(authority.chain_file.read_bytes())[0]
    said = kept.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return list(said) == list(alternatives) and kept.issuer == authority.certificate.subject and kept.not_valid_after_utc - _now() > _RENEW_BEFORE \
        and _matches(authority.key_file, kept)


def _matches(key_file: Path, certificate: x509.Certificate) -> bool:
    """Whether key and certificate belong together: power may have failed between writing the two."""
    key = serialization.load_pem_private_key(key_file.read_bytes(), None)
    return key.public_key() == certificate.public_key()


def _authority_certificate(key: ec.EllipticCurvePrivateKey) -> x509.Certificate:
    # A name of its own, so that one made anew is not taken for the one before.
    name = x509.Name([x509.NameAttribute(NameOID.ORGANIZATION_NAME, "As Fitted"),
                      x509.NameAttribute(NameOID.COMMON_NAME, f"As Fitted, this shop only ({secrets.token_hex(3)})")])
    permitted = [*(x509.DNSName(ending) for ending in ENDINGS), *(x509.IPAddress(network) for network in PRIVATE)]
    now = _now()
    return (x509.CertificateBuilder().subject_name(name).issuer_name(name).public_key(key.public_key()).serial_number(x509.random_serial_number())
            .not_valid_before(now - _SKEW).not_valid_after(now + dt.timedelta(days=365 * _AUTHORITY_YEARS))
            .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
            .add_extension(_usage("key_cert_sign", "crl_sign"), critical=True)
            .add_extension(x509.NameConstraints(permitted, None), critical=True)
            .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
            .sign(key, hashes.SHA256()))


def _leaf(authority: Authority, key: ec.EllipticCurvePrivateKey, alternatives: Sequence[x509.GeneralName]) -> x509.Certificate:
    now, issuer = _now(), authority.certificate
    return (x509.CertificateBuilder().subject_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "As Fitted")])).issuer_name(issuer.subject)
            .public_key(key.public_key()).serial_number(x509.random_serial_number())
            .not_valid_before(now - _SKEW).not_valid_after(now + _LEAF)
            .add_extension(x509.SubjectAlternativeName(alternatives), critical=False)
            .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
            .add_extension(_usage("digital_signature"), critical=True)
            .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
            .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
            .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.key.public_key()), critical=False)
            .sign(authority.key, hashes.SHA256()))


def _usage(*uses: str) -> x509.KeyUsage:
    return x509.KeyUsage(**{use: use in uses for use in _KEY_USES})


def _pem(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())


def _write_secret(file: Path, content: bytes) -> None:
    """Write a file that only its owner reads, from its first byte on."""
    _replace(file, content, 0o600)


def _write(file: Path, content: bytes) -> None:
    _replace(file, content, 0o644)


def _replace(file: Path, content: bytes, mode: int) -> None:
    beside = file.with_name(f".{file.name}.{secrets.token_hex(4)}")
    descriptor = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
    with os.fdopen(descriptor, "wb") as opened:
        opened.write(content)
        opened.flush()
        os.fsync(opened.fileno())
    beside.replace(file)


def _now() -> dt.datetime:
    return dt.datetime.now(dt.UTC).replace(microsecond=0)


def loopback() -> list[Address]:
    """The addresses by which this machine knows itself."""
    return [ipaddress.ip_address("127.0.0.1"), ipaddress.ip_address("::1")]
