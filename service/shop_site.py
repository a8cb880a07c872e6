"""The whole shop as a site: a page of every car that was handed over, a search over all, and each car's own site, made again only when it changed.

    index.html, search.html        all cars
    cars/CAR/BUILD/index.html      the site of one book; this address stays
"""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass, field
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from reports.edition import view
from reports.site import cards as card_of
from reports.site import shop as page
from reports.theme import BadTheme, Theme
from service.archive.writing import slug
from service.checks.verdicts import program
from service.document import DocumentError, load
from service.jobs import BookError, make_site
from service.lock import FolderLock
from service.settings import ROOT
from service.storage import documents, things
from service.storage.disk import digest, put_in_place, sync, sync_folder
from service.storage.handout import hand_out, never_sent
from service.storage.models import BUILDS
from service.storage.store import Store
from service.storage.things import SCOPES

#: What a car's site was made from, beside its pages: the folder is ours, and is made again when this changes.
_MADE_FROM = "made-from.txt"
_HOME = "../../../index.html"
_WORK, _LOCK = ".part", ".lock"
Progress = Callable[[float], None]


@dataclass(slots=True)
class Made:
    """What became of the shop's site: the folders of cars by what was done with them, and what could not be made and why."""

    site: Path
    made: list[str] = field(default_factory=list)
    kept: list[str] = field(default_factory=list)
    removed: list[str] = field(default_factory=list)
    failed: dict[str, str] = field(default_factory=dict)

    def as_json(self) -> dict[str, Any]:
        """As JSON has it."""
        return {**asdict(self), "site": str(self.site)}


@dataclass(frozen=True, slots=True)
class Look:
    """How the site is to be: edition, theme, the shop's file."""

    edition: str
    theme: str
    shop: Path | None


def make_shop_site(store: Store, out: Path, look: Look, kept: Path | None = None, progress: Progress | None = None) -> Made:
    """Make or renew the site in the folder `out`. Every page has its name only when it is whole. Raises BookError when nothing can be made.

    A car whose book cannot be made is told of, and keeps the pages that it had.
    """
    try:
        theme = Theme.load(look.theme, look.shop)
        _ours(out)
        lock = FolderLock(out / _LOCK)
        if not lock.take():
            raise BookError(f"another site is being made in {out}")
        try:
            return _made(store, out, look, theme, kept, progress or (lambda share: None))
        finally:
            shutil.rmtree(out / _WORK, ignore_errors=True)
            lock.give_back()
    except BadTheme as error:
        raise BookError(str(error)) from error
    except OSError as error:
        raise BookError(f"the site could not be written to {out}: {error.strerror or error}") from error


def _ours(out: Path) -> None:
    """See that no other site stands there. Raises BookError."""
    out.mkdir(parents=True, exist_ok=True)
    if (out / "index.html").exists() and not (out / _LOCK).exists():
        raise BookError(f"{out} holds another site; name a folder of its own")


def _made(store: Store, out: Path, look: Look, theme: Theme, kept: Path | None, progress: Progress) -> Made:
    made, fixed = Made(out / "index.html"), _fixed(look, theme)
    _sweep(out)
    delivered = _delivered(store)
    for done, build in enumerate(delivered):
        progress(done / len(delivered))
        _one(store, build, out, look, fixed, kept, made)
    cards = {place: card_of.read(out / place) for place in (*made.made, *made.kept, *(place for place in made.failed if (out / place).exists()))}
    page.write(cards, theme, out / _WORK)
    _deliver(out / _WORK, out)
    made.removed = _remove_gone(out, set(cards))
    progress(1.0)
    return made


def _delivered(store: Store) -> list[str]:
    """The builds that were handed over."""
    with store.database.reading() as connection:
        rows = things.listed(connection, SCOPES[BUILDS], BUILDS)
    return [row.id for row in rows if json.loads(row.body).get("delivered_on")]


def _one(store: Store, build: str, out: Path, look: Look, fixed: str, kept: Path | None, made: Made) -> None:
    """One car's site: left as it is when it was made from the same."""
    with store.database.reading() as connection:
        document = documents.export(connection, build)
    if document is None:
        return
    place = f"cars/{slug(document['car']['id'])}/{slug(build)}"
    made_from = _digest(fixed, json.dumps([view(document, look.edition), never_sent(store, document)], sort_keys=True))
    if _says(out / place) == made_from:
        made.kept.append(place)
        return
    try:
        with TemporaryDirectory(prefix="asfitted-") as folder:
            handed = hand_out(store, document, Path(folder))
            make_site(load(handed.document), Path(folder), out / _WORK / "site", edition=look.edition, theme=look.theme, home=_HOME, shop=look.shop, kept=kept)
    except (DocumentError, BookError) as error:
        made.failed[place] = str(error)
        return
    _put(out, place, made_from)
    made.made.append(place)


def _put(out: Path, place: str, made_from: str) -> None:
    (out / _WORK / "site" / _MADE_FROM).write_text(f"{made_from}\n", encoding="ascii")
    (out / place).parent.mkdir(parents=True, exist_ok=True)
    sync_folder(out / _WORK / "site")
    put_in_place(out / _WORK / "site", out / place)


def _says(site: Path) -> str:
    """What a car's site was made from; empty when there is none of ours."""
    try:
        return (site / _MADE_FROM).read_text(encoding="ascii").strip()
    except (OSError, ValueError):
        return ""


def _fixed(look: Look, theme: Theme) -> str:
    """The same as long as a site of the same document would be the same: the program, the theme, the shop."""
    files = [look.shop, theme.shop.logo if theme.shop else None] if look.shop else []
    themes = [path for folder in theme.folders for path in sorted(folder.rglob("*")) if path.is_file()]
    return _digest(_program(), look.edition, look.theme, *(digest(path) for path in (*filter(None, files), *themes)))


@cache
def _program() -> str:
    """The same as long as what judges a car and what makes its pages are."""
    folders = (ROOT / "service" / "pictures", ROOT / "reports", ROOT / "templates" / "book")
    files = sorted(path for folder in folders for path in folder.rglob("*") if path.is_file() and path.suffix != ".pyc")
    return _digest(program(), *(f"{path.relative_to(ROOT)} {digest(path)}" for path in files))


def _digest(*parts: str) -> str:
    return hashlib.sha256("\n".join(parts).encode("utf-8", "backslashreplace")).hexdigest()


def _deliver(work: Path, out: Path) -> None:
    """Put the pages of all cars in place, each whole; the first page last, so that it leads to nothing that is not there yet."""
    files = [path for path in sorted(work.rglob("*")) if path.is_file()]
    for path in sorted(files, key=lambda path: path.name == "index.html"):
        sync(path)
        (out / path.relative_to(work)).parent.mkdir(parents=True, exist_ok=True)
        path.replace(out / path.relative_to(work))
    sync(out)


def _sweep(out: Path) -> None:
    """Remove what was cut off; whoever calls holds the lock."""
    for path in (out / _WORK, *(out / "cars").glob("*/.*")):
        shutil.rmtree(path, ignore_errors=True)


def _sites(out: Path) -> Iterator[str]:
    for path in (out / "cars").glob(f"*/*/{_MADE_FROM}"):
        yield path.parent.relative_to(out).as_posix()


def _remove_gone(out: Path, there: set[str]) -> list[str]:
    """Remove the sites of cars that are not shown any more."""
    gone = sorted(set(_sites(out)) - there)
    for place in gone:
        shutil.rmtree(out / _WORK, ignore_errors=True)
        (out / place).rename(out / _WORK)
        shutil.rmtree(out / _WORK)
        if not any((out / place).parent.iterdir()):
            (out / place).parent.rmdir()
    return gone
