"""The packet: everything that is handed over in one ZIP, with a start page and checksums; the same input gives the same bytes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import IO, Any
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from markupsafe import Markup

from reports import embedded, photos, typography
from reports.document import Document, Paper
from reports.photos import Picture
from reports.source import Source
from reports.theme import Theme

SUMS = "sha256sums.txt"
#: Files that are packed already.
_PACKED = frozenset({".pdf", ".jpg", ".jpeg", ".png", ".woff2", ".zip"})
_CHUNK = 1 << 20
#: Plain files, readable by all: the upper half of the external attributes is the Unix mode (PKWARE appnote, 4.4.15).
_MODE = 0o100644 << 16


class MissingPaper(FileNotFoundError):
    """A paper's record names a file that is not there."""

    def __init__(self, paper: Paper, why: str):
        super().__init__(f"paper record {paper.id!r}: the file {paper.file!r} {why}")
        self.record, self.file = paper.id, paper.file


@dataclass(frozen=True, slots=True)
class Piece:
    """One file of the packet: its name there, and its bytes or where they are."""

    name: str
    content: bytes | Path


@dataclass(frozen=True, slots=True)
class Listed:
    """A paper as the start page lists it."""

    title: str
    kind: str
    file: str


def check(papers: Iterable[Paper], folder: Path) -> None:
    """Raise MissingPaper for the first record whose file is not there or lies outside `folder`."""
    root = folder.resolve()
    for paper in papers:
        path = (folder / paper.file).resolve()
        if not paper.file or root not in path.parents or not path.is_file():
            raise MissingPaper(paper, "is not there, seen from the document's folder")


def write(source: Source, theme: Theme, made: Path, folder: Path, out: Path, day: str, record: embedded.Record) -> None:
    """Pack what was `made` (book, card, site), the papers of `folder`, photographs and record into `out`.

    Raises MissingPaper for a paper that cannot be read.
    """
    listed = _listed(source.document.papers)
    start = theme.environment(_nowhere, source=source, papers=listed, day=day, medium="site", photographs=len(source.pictures),
                              events=record.history.count("\n"),
                              style=Markup(theme.style("base.css") + theme.style("card.css")))  # noqa: S704 (our own stylesheet)
    pieces = [Piece("index.html", start.get_template("packet.html").render().encode()), *_made(made), *_photographs(source.pictures.values(), made),
              *_papers(source.document.papers, listed, folder), *(Piece(item.name, item.data) for item in record.files)]
    stamp = (int(day[:4]), int(day[5:7]), int(day[8:10]), 0, 0, 0)
    with ZipFile(out, "w") as packet:
        sums = [f"{_add(packet, piece, stamp)}  {piece.name}\n" for piece in pieces]
        _add(packet, Piece(SUMS, "".join(sums).encode()), stamp)


def named(document: Mapping[str, Any]) -> dict[str, dict[str, str]]:
    """The files of a packet that hold the photographs and papers of its document, by list and record."""
    own = Document.of(document)
    photographs = {photo.id: f"photos/{photos.name_of(photo)}.jpg" for photo in own.photos}
    return {"photos": photographs, "papers": {paper.id: entry.file for paper, entry in zip(own.papers, _listed(own.papers), strict=True)}}


def _nowhere(section: str, anchor: str = "") -> str:
    return ""


def _made(made: Path) -> Iterator[Piece]:
    """The book's files, in the order of their names."""
    for file in sorted(made.rglob("*")):
        if file.is_file():
            yield Piece(file.relative_to(made).as_posix(), file)


def _photographs(pictures: Iterable[Picture], made: Path) -> Iterator[Piece]:
    """The photographs upright and without their camera's data, the large size."""
    for picture in pictures:
        yield Piece(f"photos/{picture.large.file.replace('-l.', '.')}", made / "site" / "photos" / picture.large.file)


def _listed(papers: Iterable[Paper]) -> tuple[Listed, ...]:
    names = [(paper, f"papers/{number:02d}-{typography.slug((paper.title or Path(paper.file).stem).lower())}") for number, paper in enumerate(papers, 1)]
    return tuple(Listed(paper.title or Path(paper.file).name, typography.words(paper.kind), name + _ending(paper)) for paper, name in names)


def _ending(paper: Paper) -> str:
    return ".pdf" if Path(paper.file).suffix.lower() == ".pdf" else ".jpg"


def _papers(papers: Iterable[Paper], listed: Iterable[Listed], folder: Path) -> Iterator[Piece]:
    """Papers as they are when they are PDF, as clean pictures when they were photographed."""
    for paper, entry in zip(papers, listed, strict=True):
        path = folder / paper.file
        if entry.file.endswith(".pdf"):
            yield Piece(entry.file, path)
            continue
        try:
            yield Piece(entry.file, photos.cleaned(path))
        except (OSError, SyntaxError, ValueError) as problem:
            raise MissingPaper(paper, "is neither PDF nor a picture that can be read") from problem


def _add(packet: ZipFile, piece: Piece, stamp: tuple[int, int, int, int, int, int]) -> str:
    """Write a piece and return its checksum."""
    entry = ZipInfo(piece.name, stamp)
    entry.compress_type = ZIP_STORED if Path(piece.name).suffix in _PACKED else ZIP_DEFLATED
    entry.create_system, entry.external_attr = 3, _MODE
    found = sha256()
    with packet.open(entry, "w") as target:
        for chunk in _chunks(piece.content):
            found.update(chunk)
            target.write(chunk)
    return found.hexdigest()


def _chunks(content: bytes | Path) -> Iterator[bytes]:
    if isinstance(content, bytes):
        yield content
        return
    file: IO[bytes]
    with content.open("rb") as file:
        while chunk := file.read(_CHUNK):
            yield chunk
