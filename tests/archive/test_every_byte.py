"""Every single byte of a small bag turned over in turn: each is found. In a ZIP: found, or shown to mean nothing.

ASFITTED_LONG=1 turns every bit of the bag, and every byte of the ZIP; by default one bit of each byte, and every seventh of the
ZIP's compressed bytes.
"""

from __future__ import annotations

import io
import itertools
import shutil
import struct
import tarfile
import zipfile
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

import pytest

from service.archive import writing
from service.archive.containers import Container
from service.archive.verifying import judge, verify
from service.archive.writing import archive
from tests.archive.made import CAR, kept
from tests.pictures.made import picture
from tests.served import LONG

#: What a ZIP says that changes nothing of what is read from it: PKWARE's APPNOTE.TXT 6.3.10, 4.3.7 (before each file), 4.3.12 (the
#: directory), 4.3.16 (its end). Times and attributes are not kept by a bag; versions tell which program could read it; disks and
#: counts are of ZIPs in several pieces. Lengths in the directory's last entry and in the end can only say too much: nothing follows. A folder has
#: no bytes that its header could lead to. The last byte that Deflate writes (RFC 1951, 3.2.3) is filled up with bits that say nothing.
MEANS_NOTHING = {"local: version needed", "local: time", "local: date", "directory: version made by", "directory: version needed", "directory: time",
                 "directory: date", "directory: disk", "directory: internal attributes", "directory: external attributes", "end: disk",
                 "end: disk of directory", "end: entries here", "end: entries",
                 "directory: name length", "directory: extra length", "directory: comment length", "end: comment length", "folder's local: extra length",
                 "a file's bytes"}
_LOCAL = ("signature 4", "version needed 2", "flags 2", "method 2", "time 2", "date 2", "crc 4", "packed 4", "size 4", "name length 2", "extra length 2")
_DIRECTORY = ("signature 4", "version made by 2", "version needed 2", "flags 2", "method 2", "time 2", "date 2", "crc 4", "packed 4", "size 4",
              "name length 2", "extra length 2", "comment length 2", "disk 2", "internal attributes 2", "external attributes 4", "offset 4")
_END = ("signature 4", "disk 2", "disk of directory 2", "entries here 2", "entries 2", "directory size 4", "directory offset 4", "comment length 2")


class Memory(Container):
    """A bag in memory."""

    def __init__(self, files: dict[str, bytes]) -> None:
        self.files = files
        super().__init__({name: len(content) for name, content in files.items()})

    @contextmanager
    def reading(self, name: str) -> Iterator[IO[bytes]]:
        yield io.BytesIO(self.files[name])


@pytest.fixture(scope="module")
def bag(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A bag of a few kilobytes: what is large in every bag, the schemas and the computed answer, is cut down."""
    folder = tmp_path_factory.mktemp("small")
    with pytest.MonkeyPatch.context() as patch, kept(folder / "data") as (client, store):
        patch.setattr(writing, "_schemas", lambda: {"build.json": "{}\n"})
        patch.setattr(writing, "answer", lambda _: {"results": []})
        client.post("/v1/cars", json={"id": CAR, "make": "Tarnock", "model": "Stookman", "year": 1957})
        client.post(f"/v1/cars/{CAR}/builds", json={"id": "b", "use": "street"})
        sent = client.post("/v1/builds/b/photos", data={"id": "p", "file": (io.BytesIO(picture(size=(16, 12))), "x.jpg")})
        assert sent.status_code == 201
        return archive(store, CAR, folder / "bags")


def test_every_byte_of_every_file(bag: Path) -> None:
    files = {path.relative_to(bag).as_posix(): path.read_bytes() for path in sorted(bag.rglob("*")) if path.is_file()}
    assert {name.partition("/")[0] for name in files} == {"data", "bagit.txt", "bag-info.txt", "manifest-sha256.txt", "manifest-sha512.txt",
                                                          "tagmanifest-sha256.txt", "tagmanifest-sha512.txt", "signature.txt"}
    assert judge(Memory(files), "bag").findings == [], "the judge finds nothing wrong with it as it is"
    turned = 0
    for name, content in files.items():
        for place in range(len(content)):
            for bit in range(8) if LONG else (place * 5 % 8,):
                spoiled = bytearray(content)
                spoiled[place] ^= 1 << bit
                assert judge(Memory({**files, name: bytes(spoiled)}), "bag").findings, f"{name}, byte {place}, bit {bit}"
                turned += 1
    assert turned >= sum(map(len, files.values())) > 6000
    print(f"\n{turned} turned over in {len(files)} files, each found")


def test_every_byte_cut_off_the_end_of_a_file(bag: Path) -> None:
    files = {path.relative_to(bag).as_posix(): path.read_bytes() for path in sorted(bag.rglob("*")) if path.is_file()}
    for name, content in files.items():
        for changed in (content[:-1], content + b"\n", content + b"x", b""):
            assert judge(Memory({**files, name: changed}), "bag").findings, name
        assert judge(Memory({other: text for other, text in files.items() if other != name}), "bag").findings, f"{name} gone"


def test_every_byte_of_a_zip(bag: Path, tmp_path: Path) -> None:
    place = Path(shutil.make_archive(str(tmp_path / "bag"), "zip", bag.parent, bag.name))
    content, whole = place.read_bytes(), unpacked(place)
    assert verify(place).findings == [] and whole
    silent: Counter[str] = Counter()
    fields = dict(named(content))
    looked_at = [at for at in range(len(content)) if at in fields or LONG or at % 7 == 0]
    for at in looked_at:
        spoiled = bytearray(content)
        spoiled[at] ^= 1 << (at * 5 % 8)
        place.write_bytes(spoiled)
        if not verify(place).findings:
            silent[fields.get(at, "a file's bytes")] += 1
            assert unpacked(place) == whole, f"byte {at} ({fields.get(at)}) changes what is read, and nothing was found"
    unknown = {field for field in silent if not {field, field.removeprefix("folder's ")} & MEANS_NOTHING}
    assert unknown == set()
    print(f"\n{len(looked_at)} of {len(content)} bytes turned over; {sum(silent.values())} mean nothing: {dict(silent)}")


@pytest.mark.parametrize("kind", ["tar", "gztar"])
def test_bytes_of_a_tar(kind: str, bag: Path, tmp_path: Path) -> None:
    """Found, or the same is read: a tar file has room that nothing is written in, and times and owners that a bag does not keep."""
    place = Path(shutil.make_archive(str(tmp_path / "bag"), kind, bag.parent, bag.name))
    content, whole = place.read_bytes(), untarred(place)
    assert verify(place).findings == [] and whole
    found = 0
    for at in range(0, len(content), 1 if LONG else len(content) // 800 or 1):
        spoiled = bytearray(content)
        spoiled[at] ^= 1 << (at * 5 % 8)
        place.write_bytes(spoiled)
        if verify(place).findings:
            found += 1
        else:
            assert untarred(place) == whole, f"byte {at} changes what is read, and nothing was found"
    assert found > 100


def untarred(place: Path) -> dict[str, bytes]:
    """What is read from a tar file."""
    with tarfile.open(place) as file:
        return {info.name: content.read() for info in file if (content := file.extractfile(info))}


def unpacked(place: Path) -> dict[str, bytes]:
    """What is read from a ZIP."""
    with zipfile.ZipFile(place) as file:
        return {name: file.read(name) for name in file.namelist() if not name.endswith("/")}


def named(content: bytes) -> Iterator[tuple[int, str]]:
    """What each byte of a ZIP is, but for those of the files themselves."""
    end = content.rindex(b"PK\x05\x06")
    yield from _fields("end", _END, end)
    count, _, at = struct.unpack("<HLL", content[end + 10:end + 20])
    for _ in range(count):
        lengths = struct.unpack("<HHH", content[at + 28:at + 34])
        local = struct.unpack("<L", content[at + 42:at + 46])[0]
        own = struct.unpack("<HH", content[local + 26:local + 30])
        kind = "folder's " if content[at + 46:at + 46 + lengths[0]].endswith(b"/") else ""
        yield from _fields(f"{kind}directory", (*_DIRECTORY, f"name {lengths[0]}", f"extra {lengths[1]}", f"comment {lengths[2]}"), at)
        yield from _fields(f"{kind}local", (*_LOCAL, f"name {own[0]}", f"extra {own[1]}"), local)
        at += 46 + sum(lengths)


def _fields(part: str, names: tuple[str, ...], start: int) -> Iterator[tuple[int, str]]:
    sizes = [(name.rpartition(" ")[0], int(name.rpartition(" ")[2])) for name in names]
    for (name, size), at in zip(sizes, itertools.accumulate((size for _, size in sizes), initial=start), strict=False):
        yield from ((one, f"{part}: {name}") for one in range(at, at + size))
