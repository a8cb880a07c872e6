"""Folders, ZIP and tar files read as what they hold, by name; hostile ones are refused before anything is read from them."""

from __future__ import annotations

import lzma
import os
import stat
import struct
import tarfile
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from service.archive.bagit import BadBag

#: More files than any car has; more bytes than a disk of ours should be asked to hold; more than real files are ever packed.
MOST_FILES, MOST_BYTES, MOST_RATIO = 100_000, 200 * 1024**3, 200
_LONGEST = 1024
#: What zipfile and tarfile raise for damaged files: errors of their own, of the decompressors, and of the numbers and names that they read.
_DAMAGE = (zipfile.BadZipFile, tarfile.TarError, zlib.error, lzma.LZMAError, EOFError, OSError, RuntimeError, ValueError, OverflowError, struct.error)
#: The header before each file in a ZIP (APPNOTE.TXT 6.3.10 of PKWARE, 4.3.7): flags, method, CRC and sizes among others.
_LOCAL = struct.Struct("<4sHHHHHLLLHH")
_BEHIND, _UTF8, _ZIP64 = 0x08, 0x800, 0xFFFFFFFF


class Hostile(BadBag):
    """An archive that tries to get out of its place, to link elsewhere, or to burst."""


class Container:
    """What an archive holds: `sizes` by name, `reading` one of them."""

    def __init__(self, sizes: dict[str, int]) -> None:
        self.sizes = sizes

    @contextmanager
    def reading(self, name: str) -> Iterator[IO[bytes]]:
        """A file's content. Raises BadBag when it cannot be read."""
        raise NotImplementedError
        yield

    def text(self, name: str) -> str:
        """A file as text. Raises BadBag when it is missing or no UTF-8."""
        if name not in self.sizes:
            raise BadBag(f"{name} is missing")
        with self.reading(name) as content:
            try:
                return content.read().decode("utf-8")
            except UnicodeDecodeError as error:
                raise BadBag(f"{name} is not text in UTF-8") from error


@contextmanager
def opened(place: Path) -> Iterator[Container]:
    """An archive or folder, opened for reading. Raises Hostile or BadBag."""
    if place.is_dir():
        yield _Folder(place)
    elif not place.is_file():
        raise BadBag(f"there is no {place}")
    elif zipfile.is_zipfile(place):
        with _damaged(f"{place.name} is a damaged ZIP file"), zipfile.ZipFile(place) as file:
            yield _Zip(file, place.stat().st_size)
    elif tarfile.is_tarfile(place):
        with _damaged(f"{place.name} is a damaged tar file"), tarfile.open(place) as file:
            yield _Tar(file, place.stat().st_size)
    else:
        raise BadBag(f"{place.name} is neither a folder nor a ZIP or tar file")


@contextmanager
def _damaged(what: str) -> Iterator[None]:
    """Whatever the readers of damaged archives raise, said in terms of our own."""
    try:
        yield
    except BadBag:
        raise
    except _DAMAGE as error:
        raise BadBag(f"{what}: {error}") from error


def _judge(name: str, seen: set[str]) -> str:
    """A member's name. Raises Hostile for one that leads out, cannot be a file's, or stands there twice."""
    parts = name.split("/")
    if not name or len(name) > _LONGEST or name.startswith("/") or "\\" in name or ":" in parts[0] or any(part in ("", ".", "..") for part in parts) \
            or any(ord(letter) < 32 for letter in name):
        raise Hostile(f"it holds a file called {name[:80]!r}, which is no name within an archive")
    if name.casefold() in seen:
        raise Hostile(f"it holds {name[:80]!r} twice")
    seen.add(name.casefold())
    if len(seen) > MOST_FILES:
        raise Hostile(f"it holds more than {MOST_FILES:,} files")
    return name


def _judge_size(total: int, packed: int) -> None:
    if total > MOST_BYTES:
        raise Hostile(f"it would unpack to more than {MOST_BYTES // 1024**3} GiB")
    if total > 1024**2 and total > MOST_RATIO * max(packed, 1):
        raise Hostile(f"it would unpack to more than {MOST_RATIO} times its size")


def _judge_headers(file: zipfile.ZipFile, info: zipfile.ZipInfo) -> None:
    """A file in a ZIP is described twice. Raises Hostile where the two differ: one program would read what another does not see."""
    assert file.fp is not None
    file.fp.seek(info.header_offset)
    name = info.orig_filename.encode("utf-8" if info.flag_bits & _UTF8 else "cp437")
    read = file.fp.read(_LOCAL.size + len(name))
    if len(read) < _LOCAL.size + len(name):
        raise BadBag(f"{info.filename[:80]!r} is not where the ZIP says it is")
    signature, _, flags, method, _, _, *sizes, length, _ = _LOCAL.unpack_from(read)
    # Who wrote without knowing CRC and sizes put them behind the file.
    told = bool(flags & _BEHIND) or _ZIP64 in sizes or sizes == [info.CRC, info.compress_size, info.file_size]
    if (signature, flags, method, length, read[_LOCAL.size:]) != (b"PK\x03\x04", info.flag_bits, info.compress_type, len(name), name) or not told:
        raise Hostile(f"the ZIP describes {info.filename[:80]!r} in two ways that differ")


def _without_top(sizes: dict[str, int]) -> str:
    """The folder that everything in an archive stands in, when its bag does not stand at the top."""
    tops = {name.partition("/")[0] for name in sizes}
    return f"{tops.pop()}/" if "bagit.txt" not in sizes and len(tops) == 1 else ""


class _Folder(Container):
    def __init__(self, place: Path) -> None:
        self._place, sizes, seen = place, dict[str, int](), set[str]()
        for at, folders, files in os.walk(place):
            for name in (*folders, *files):
                path = Path(at, name)
                if not (path.is_dir() or path.is_file()) or path.is_symlink():
                    raise Hostile(f"{path.relative_to(place)} is a link or a special file")
            for name in files:
                path = Path(at, name)
                sizes[_judge(path.relative_to(place).as_posix(), seen)] = path.stat().st_size
        super().__init__(sizes)

    @contextmanager
    def reading(self, name: str) -> Iterator[IO[bytes]]:
        try:
            with (self._place / name).open("rb") as content:
                yield content
        except OSError as error:
            raise BadBag(f"{name} cannot be read: {error.strerror}") from error


class _Zip(Container):
    def __init__(self, file: zipfile.ZipFile, packed: int) -> None:
        self._file, sizes, seen = file, dict[str, int](), set[str]()
        for info in file.infolist():
            kind = stat.S_IFMT(info.external_attr >> 16)
            if kind not in (0, stat.S_IFREG, stat.S_IFDIR):
                raise Hostile(f"{info.filename[:80]!r} is a link or a special file")
            if info.flag_bits & 1:
                raise BadBag(f"{info.filename[:80]!r} is encrypted")
            if not info.is_dir():
                sizes[_judge(info.filename, seen)] = info.file_size
            _judge_headers(file, info)
        _judge_size(sum(sizes.values()), packed)
        self._top = _without_top(sizes)
        super().__init__({name.removeprefix(self._top): size for name, size in sizes.items()})

    @contextmanager
    def reading(self, name: str) -> Iterator[IO[bytes]]:
        with _damaged(f"{name} cannot be read"), self._file.open(self._top + name) as content:
            yield content


class _Tar(Container):
    def __init__(self, file: tarfile.TarFile, packed: int) -> None:
        self._file, sizes, seen, total = file, dict[str, int](), set[str](), 0
        for info in file:
            name = info.name.removeprefix("./")
            if info.isdir():
                continue
            if not info.isreg():
                raise Hostile(f"{name[:80]!r} is a link or a special file")
            total += info.size
            _judge_size(total, packed)
            sizes[_judge(name, seen)] = info.size
        self._top = _without_top(sizes)
        self._members = {member.name.removeprefix("./"): member for member in file.getmembers()}
        super().__init__({name.removeprefix(self._top): size for name, size in sizes.items()})

    @contextmanager
    def reading(self, name: str) -> Iterator[IO[bytes]]:
        content = self._file.extractfile(self._members[self._top + name])
        if content is None:
            raise BadBag(f"{name} cannot be read")
        with _damaged(f"{name} cannot be read"), content:
            yield content
