"""Printing the book: its parts set side by side in two processes, those kept from an earlier printing taken as they are.

First every part is set, or what it told when it was set last is read; then the page numbers are known, and each part is
printed with those it wants. Which process sets a part, and whether it was kept, changes nothing in what is printed.
"""

from __future__ import annotations

import json
import os
import pickle
import re
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import asdict, dataclass, replace
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import IO, Any

from reports import pdf, setting
from reports.binding import bind
from reports.context import Context
from reports.parts import divide, page
from reports.setting import Layout
from reports.theme import Theme

#: Letters of HTML above which a second process is worth its start (about a second; measured on the demo books).
LARGE = 150_000
#: Share of the time of printing that is setting in type (measured on the demo books).
SETTING = 0.65
#: Parts kept at most; the longest unused go first.
KEPT = 400
_PHOTO = re.compile(r"photos/([^\"]+)\"")
_HELPER = "import sys; sys.path.insert(0, sys.argv[1]); from reports.press import help_out; help_out()"


@dataclass(frozen=True, slots=True)
class Order:
    """A part to be printed: its name, its HTML, and once they are known its first page, the page numbers it wants, and its file."""

    key: str
    html: str
    start: int = 0
    numbers: Mapping[str, int] | None = None
    out: Path | None = None


@dataclass(frozen=True, slots=True)
class Shop:
    """What all parts of a book have in common."""

    theme: Theme
    paper: str
    photos: Path


def print_book(context: Context, theme: Theme, photos: Path, out: Path, paper: str, kept: Path | None = None,
               progress: Callable[[float], None] | None = None) -> int:
    """Write the book's pages as one tagged PDF and return their number; parts are kept in the folder `kept` for the next time."""
    orders = [Order(part.key, page(context, theme, part)) for part in divide(context)]
    shop = Shop(theme, paper, photos)
    with ExitStack() as held:
        shelf = Shelf(kept or Path(held.enter_context(TemporaryDirectory(prefix="parts-", dir=out.parent))), shop)
        press = held.enter_context(Press(shop, orders, shelf, progress or (lambda share: None)))
        layouts = press.set_all()
        files = press.print_all(layouts)
        bind(files, layouts, out)
        shelf.tidy()
    return sum(layout.pages for layout in layouts)


class Shelf:
    """Parts kept from earlier printings, each under what it was made from."""

    def __init__(self, folder: Path, shop: Shop):
        self.folder, self.shop = folder, shop
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        self._style = sha256((pdf.style_text(shop.theme, shop.paper) + pdf.renderer()).encode()).hexdigest()
        self._photos: dict[str, str] = {}

    def name(self, order: Order) -> str:
        """What a part is kept under: its text, style, paper and pictures."""
        found = sha256(f"{self._style} {order.key} ".encode() + order.html.encode("utf-8", "backslashreplace"))
        for file in _PHOTO.findall(order.html):
            found.update(self._photo(file).encode())
        return found.hexdigest()

    def layout(self, order: Order) -> Layout | None:
        """What the part told when it was set; None when it was not, or the note is unreadable."""
        try:
            told = json.loads((self.folder / f"{self.name(order)}.json").read_text(encoding="utf-8"))
            return Layout(told["pages"], told["anchors"], tuple(told["wanted"]), told["outline"])
        except (OSError, ValueError, KeyError, TypeError):
            return None

    def note(self, order: Order, layout: Layout) -> None:
        """Keep what a part told."""
        _write(self.folder / f"{self.name(order)}.json", json.dumps(asdict(layout)).encode())

    def file(self, order: Order) -> Path:
        """Where the part is or will be, printed with these page numbers."""
        numbers = json.dumps([order.start, sorted((order.numbers or {}).items())])
        return self.folder / f"{self.name(order)}-{sha256(numbers.encode()).hexdigest()[:16]}.pdf"

    def tidy(self) -> None:
        """Remove what has not been used for longest."""
        files = sorted(self.folder.iterdir(), key=lambda file: file.stat().st_mtime, reverse=True)
        for file in files[2 * KEPT:]:
            file.unlink(missing_ok=True)

    def _photo(self, file: str) -> str:
        if file not in self._photos:
            self._photos[file] = sha256((self.shop.photos / file).read_bytes()).hexdigest()
        return self._photos[file]


class Press:
    """Two printers: this process, and for a large book a second one beside it."""

    def __init__(self, shop: Shop, orders: Sequence[Order], shelf: Shelf, progress: Callable[[float], None]):
        self.shop, self.orders, self.shelf = shop, list(orders), shelf
        self._here, self._progress = Printer(shop), progress
        self._helper: Helper | None = None
        self._theirs: set[str] = set()

    def __enter__(self) -> Press:
        return self

    def __exit__(self, *problem: object) -> None:
        if self._helper:
            self._helper.close()

    def set_all(self) -> list[Layout]:
        """Set every part that was not kept; returns what all told."""
        known = {order.key: layout for order in self.orders if (layout := self.shelf.layout(order))}
        self._here.tell = lambda share: self._progress(SETTING * share)
        found = self._share([order for order in self.orders if order.key not in known], "set_parts")
        for order in self.orders:
            if order.key in found:
                self.shelf.note(order, found[order.key])
        known |= found
        return [known[order.key] for order in self.orders]

    def print_all(self, layouts: Sequence[Layout]) -> list[Path]:
        """Print every part with its page numbers; returns their files in the book's order."""
        numbers: dict[str, int] = {}
        starts, start = [], 1
        for layout in layouts:
            starts.append(start)
            for anchor, offset in layout.anchors.items():
                numbers.setdefault(anchor, start + offset)
            start += layout.pages
        filled = []
        for order, layout, first in zip(self.orders, layouts, starts, strict=True):
            ready = replace(order, start=first, numbers={name: numbers[name] for name in layout.wanted if name in numbers})
            filled.append(replace(ready, out=self.shelf.file(ready)))
        self._here.tell = lambda share: self._progress(SETTING + (1 - SETTING) * share)
        self._share([order for order in filled if order.out and not _used(order.out)], "print_parts")
        return [order.out for order in filled if order.out]

    def _share(self, orders: Sequence[Order], work: str) -> dict[str, Layout]:
        """Do the work on the orders, the heavier half of what nobody has begun in the second process."""
        theirs = [order for order in orders if order.key in self._theirs]
        ours = [order for order in orders if order.key in self._here.held]
        free = [order for order in orders if order not in theirs and order not in ours]
        if sum(len(order.html) for order in free) >= LARGE or theirs:
            more, rest = _halves(free)
            theirs, ours = theirs + more, ours + rest
            self._helper = self._helper or Helper(self.shop)
            self._theirs |= {order.key for order in theirs}
            self._helper.ask(work, theirs)
            found: dict[str, Layout] = getattr(self._here, work)(ours)
            return found | self._helper.answer()
        done: dict[str, Layout] = getattr(self._here, work)([*ours, *free])
        return done


class Printer:
    """Sets and prints parts in this process."""

    def __init__(self, shop: Shop):
        self.shop = shop
        self.held: dict[str, setting.Set] = {}
        self.tell: Callable[[float], None] = lambda share: None

    def set_parts(self, orders: Sequence[Order]) -> dict[str, Layout]:
        """Set parts and hold them until they are printed."""
        for done, order in enumerate(orders, 1):
            self._set(order)
            self.tell(done / len(orders))
        return {key: held.layout for key, held in self.held.items()}

    def print_parts(self, orders: Sequence[Order]) -> dict[str, Layout]:
        """Print parts, setting those that are not held."""
        for done, order in enumerate(orders, 1):
            if order.key not in self.held:
                self._set(order)
            assert order.out and order.numbers is not None
            beside = order.out.with_suffix(f".{os.getpid()}")
            setting.print_out(self.held.pop(order.key), order.start, order.numbers, beside)
            beside.replace(order.out)
            self.tell(done / len(orders))
        return {}

    def _set(self, order: Order) -> None:
        self.held[order.key] = setting.lay_out(order.key, order.html, self.shop.theme, self.shop.paper, self.shop.photos)


class Helper:
    """The second process; it is asked, and answers when it is done."""

    def __init__(self, shop: Shop):
        command = [sys.executable, "-c", _HELPER, str(Path(__file__).resolve().parent.parent)]
        self._process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE)  # noqa: S603 (ourselves)
        self._put(shop)

    def ask(self, work: str, orders: Sequence[Order]) -> None:
        """Have it begin."""
        self._put((work, list(orders)))

    def answer(self) -> dict[str, Layout]:
        """Wait for it; RuntimeError when it died."""
        assert self._process.stdout
        try:
            found: dict[str, Layout] = pickle.load(self._process.stdout)  # noqa: S301 (from our own process)
        except (EOFError, pickle.UnpicklingError) as problem:
            raise RuntimeError(f"the second process of the press ended with status {self._process.wait()}") from problem
        return found

    def close(self) -> None:
        """End it; nothing it has begun is waited for."""
        self._process.kill()
        self._process.communicate()

    def _put(self, message: Any) -> None:
        assert self._process.stdin
        _send(self._process.stdin, message)


def help_out() -> None:
    """The second process: print what is asked for on standard input, answer on standard output, end with the input."""
    hear, say = sys.stdin.buffer, os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    printer = Printer(pickle.load(hear))  # noqa: S301 (from the process that started this one)
    while True:
        try:
            work, orders = pickle.load(hear)  # noqa: S301
        except EOFError:
            return
        _send(say, getattr(printer, work)(orders))


def _send(pipe: IO[bytes], message: Any) -> None:
    pickle.dump(message, pipe)
    pipe.flush()


def _halves(orders: Sequence[Order]) -> tuple[list[Order], list[Order]]:
    """Two lists of about the same length of text, the largest parts dealt first."""
    first: list[Order] = []
    second: list[Order] = []
    for order in sorted(orders, key=lambda order: len(order.html), reverse=True):
        lighter = min((first, second), key=lambda half: sum(len(one.html) for one in half))
        lighter.append(order)
    return first, second


def _used(file: Path) -> bool:
    """Whether a part is there; then it has been used just now."""
    try:
        os.utime(file)
    except OSError:
        return False
    return True


def _write(file: Path, content: bytes) -> None:
    beside = file.with_suffix(f".{os.getpid()}")
    beside.write_bytes(content)
    beside.replace(file)
