"""BagIt 1.0 (RFC 8493): manifests written and read. What goes into a bag of ours is in `writing`.

Checksum manifests are lines of `<hex> <space> <space> path`; CR, LF and % in paths are percent-encoded (RFC 8493, 2.1.3).
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator, Mapping
from typing import IO

VERSION = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
ALGORITHMS = ("sha256", "sha512")
PAYLOAD = "data/"
_LINE = re.compile(r"([0-9a-fA-F]+)[ \t]+\*?(\S.*)")
_BLOCK = 1 << 20


class BadBag(ValueError):
    """What is no bag, or one that cannot be read: says which file and why."""


def digests(content: IO[bytes]) -> tuple[dict[str, str], int]:
    """The checksums of a file and its bytes, read once, a block at a time."""
    found, size = {name: hashlib.new(name) for name in ALGORITHMS}, 0
    while block := content.read(_BLOCK):
        size += len(block)
        for one in found.values():
            one.update(block)
    return {name: one.hexdigest() for name, one in found.items()}, size


def manifest(sums: Mapping[str, Mapping[str, str]], algorithm: str) -> str:
    """A manifest of files and their checksums, sorted by path.

    >>> manifest({"data/b": {"sha256": "00"}, "data/a 1%": {"sha256": "ff"}}, "sha256")
    'ff  data/a 1%25\\n00  data/b\\n'
    """
    return "".join(f"{sums[path][algorithm]}  {_encoded(path)}\n" for path in sorted(sums))


def entries(name: str, text: str) -> dict[str, str]:
    """The paths of a manifest and their checksums. Raises BadBag for a line that is none, and for a path that stands twice."""
    found: dict[str, str] = {}
    for number, line in enumerate(text.split("\n"), 1):
        if not line.strip():
            continue
        match = _LINE.fullmatch(line.rstrip("\r"))
        if match is None:
            raise BadBag(f"{name}, line {number}: a checksum and a path are wanted")
        path = _decoded(match[2])
        if path in found:
            raise BadBag(f"{name}, line {number}: {path} stands there twice")
        found[path] = match[1].lower()
    return found


def _encoded(path: str) -> str:
    return path.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _decoded(path: str) -> str:
    return re.sub(r"%(0[aA]|0[dD]|25)", lambda found: chr(int(found[1], 16)), path)


def tags(pairs: Iterable[tuple[str, str]]) -> str:
    """A file of labels and values, such as bag-info.txt; a value has one line."""
    return "".join(f"{label}: {' '.join(value.split())}\n" for label, value in pairs)


def labels(text: str) -> dict[str, str]:
    """The labels and values of such a file.

    >>> labels(tags([("External-Identifier", "car 1"), ("Payload-Oxum", "10.2")]))
    {'External-Identifier': 'car 1', 'Payload-Oxum': '10.2'}
    """
    return dict(_label(line) for line in text.splitlines() if ":" in line)


def _label(line: str) -> tuple[str, str]:
    label, _, value = line.partition(":")
    return label.strip(), value.strip()


def is_version(text: str) -> bool:
    """Whether a bagit.txt declares a bag that can be read here."""
    found = labels(text)
    return found.get("BagIt-Version") in ("1.0", "0.97") and found.get("Tag-File-Character-Encoding", "").upper() == "UTF-8"


def manifests(names: Iterable[str], prefix: str) -> Iterator[tuple[str, str]]:
    """The manifests among the names of a bag, with their algorithms: `manifest-` of the payload, `tagmanifest-` of the rest."""
    for name in sorted(names):
        match = re.fullmatch(rf"{prefix}-([a-z0-9]+)\.txt", name)
        if match:
            yield name, match[1]
