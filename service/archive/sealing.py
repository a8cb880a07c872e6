"""The shop's keys: Ed25519, made at first use, kept for its user alone; what is signed says by which key, and which was before.

`shop-1.key`, `shop-2.key` … stand in the data folder's `keys`; the newest signs. A new key's public half is signed by the one before, so
that a bag signed after a change of keys still leads back to the first.
"""

from __future__ import annotations

import base64
import os
import re
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat, PublicFormat, load_pem_private_key

from service.archive.bagit import BadBag, labels, tags

_NAME = "shop-{}.key"


@dataclass(frozen=True, slots=True)
class Seal:
    """Whose signature it is, and whether it holds: the public key as text, and the keys that it leads back to, oldest first."""

    key: str
    holds: bool
    line: tuple[str, ...]


def keys(folder: Path) -> list[Ed25519PrivateKey]:
    """The shop's keys, oldest first; the first is made when there is none."""
    return [_read(path) for path in _files(folder) or [_make(folder, 1)]]


def _files(folder: Path) -> list[Path]:
    """The keys' files, the oldest first."""
    return sorted((path for path in folder.glob(_NAME.format("*")) if path.stem.removeprefix("shop-").isdecimal()), key=_number)


def _number(path: Path) -> int:
    return int(path.stem.removeprefix("shop-"))


def rotate(folder: Path) -> str:
    """Make a new key, which signs from now on; returns its public half."""
    keys(folder)
    return public(_read(_make(folder, 1 + _number(_files(folder)[-1]))))


def _make(folder: Path, number: int) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / _NAME.format(number)
    pem = Ed25519PrivateKey.generate().private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    part = path.with_suffix(".part")
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with open(handle, "wb") as file:
        file.write(pem)
        file.flush()
        os.fsync(file.fileno())
    part.replace(path)
    return path


def _read(path: Path) -> Ed25519PrivateKey:
    key = load_pem_private_key(path.read_bytes(), None)
    if not isinstance(key, Ed25519PrivateKey):
        raise BadBag(f"{path.name} is no Ed25519 key")
    return key


def public(key: Ed25519PrivateKey) -> str:
    """A key's public half as text."""
    return _text(key.public_key().public_bytes(Encoding.Raw, PublicFormat.Raw))


def _text(content: bytes) -> str:
    return base64.b64encode(content).decode("ascii")


def statement(known: list[Ed25519PrivateKey], signed: Mapping[str, bytes]) -> str:
    """Signatures of some files, as a text: the key, the keys before it with what they say of the next, and a signature of each file."""
    pairs = [("Algorithm", "Ed25519"), ("Public-Key", public(known[-1]))]
    for number, (older, newer) in enumerate(pairwise(known), 1):
        pairs += [(f"Key-{number}", public(older)), (f"Key-{number}-Signs-Key-{number + 1}", _text(older.sign(public(newer).encode())))]
    pairs += [(f"Signature-Of-{name}", _text(known[-1].sign(content))) for name, content in sorted(signed.items())]
    return tags(pairs)


def judged(text: str, signed: Mapping[str, bytes]) -> Seal:
    """Whether a statement's signatures hold of these files, and which keys it leads back to. Raises BadBag when it is none."""
    said = labels(text)
    count = sum(1 for label in said if re.fullmatch(r"Key-\d+", label))
    line = [said.get(f"Key-{number}", "") for number in range(1, count + 1)] + [said.get("Public-Key", "")]
    holds = all(_holds(older, said.get(f"Key-{number}-Signs-Key-{number + 1}", ""), newer.encode()) for number, (older, newer) in enumerate(pairwise(line), 1))
    holds = holds and bool(signed) and all(_holds(line[-1], said.get(f"Signature-Of-{name}", ""), content) for name, content in signed.items())
    return Seal(line[-1], holds and text == _written(said, line, signed), tuple(line))


def _written(said: Mapping[str, str], line: list[str], signed: Mapping[str, bytes]) -> str:
    """A statement as it is written here: one that says anything else, or the same otherwise, was altered."""
    pairs = [("Algorithm", "Ed25519"), ("Public-Key", _again(line[-1]))]
    for number, older in enumerate(line[:-1], 1):
        label = f"Key-{number}-Signs-Key-{number + 1}"
        pairs += [(f"Key-{number}", _again(older)), (label, _again(said.get(label, "")))]
    return tags([*pairs, *((f"Signature-Of-{name}", _again(said.get(f"Signature-Of-{name}", ""))) for name in sorted(signed))])


def _again(text: str) -> str:
    """A base64 text as its bytes are written: its last letter has bits that mean nothing."""
    try:
        return _text(base64.b64decode(text, validate=True))
    except ValueError:
        return ""


def _holds(key: str, signature: str, content: bytes) -> bool:
    try:
        Ed25519PublicKey.from_public_bytes(base64.b64decode(key, validate=True)).verify(base64.b64decode(signature, validate=True), content)
    except (InvalidSignature, ValueError):
        return False
    return True
