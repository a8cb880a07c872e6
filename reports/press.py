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
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, suppress
from dataclasses import asdict, dataclass, replace
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import IO, Any

from reports import kept, pdf, setting
from reports.binding import bind
from reports.context import Context
from reports.parts import divide, page
from reports.setting import Layout
from reports.theme import Theme

#: Letters of HTML above which a second process is worth its start (about a second; measured on the demo books).
LARGE = 150_000
#: Share of the time of printing that is setting in type (measured on the demo books).
SETTING = 0.65
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


def print_book(context: Context, theme: Theme, photos: Path, out: Path, paper: str, keep: Path | None = None,
               progress: Callable[[float], None] | None = None) -> int:
    """Write the book's pages as one tagged PDF and return their number; parts are kept in the folder `keep` for the next time."""
    shop = Shop(theme, paper, photos)
    with ExitStack() as held:
        shelf = Shelf(keep or Path(held.enter_context(TemporaryDirectory(prefix="parts-", dir=out.parent))), shop)
        press = held.enter_context(Press(shop, shelf, progress or (lambda share: None)))
        for part in divide(context):
            press.take(Order(part.key, page(context, theme, part)))
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
            note = self.folder / f"{self.name(order)}.json"
            told = json.loads(note.read_text(encoding="utf-8"))
            kept.used(note)
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
        """Remove what has not been used for longest, when it has become too much."""
        kept.tidy(self.folder)

    def _photo(self, file: str) -> str:
        if file not in self._photos:
            self._photos[file] = sha256((self.shop.photos / file).read_bytes()).hexdigest()
        return self._photos[file]


class Press:
    """Two printers: this process, and for a large book a second one beside it."""

    def __init__(self, shop: Shop, shelf: Shelf, progress: Callable[[float], None]):
        self.shop, self.shelf = shop, shelf
        self.orders: list[Order] = []
        self._known: dict[str, Layout] = {}
        self._here, self._progress = Printer(shop), progress
        self._helper: Helper | None = None
        self._theirs: set[str] = set()

    def __enter__(self) -> Press:
        return self

    def __exit__(self, *problem: object) -> None:
        if self._helper:
            self._helper.close()

    def take(self, order: Order) -> None:
        """Take an order; the second process begins to get ready as soon as there is enough to set."""
        self.orders.append(order)
        if layout := self.shelf.layout(order):
            self._known[order.key] = layout
        elif not self._helper and sum(len(order.html) for order in self.orders if order.key not in self._known) >= LARGE:
            self._helper = Helper(self.shop)

    def set_all(self) -> list[Layout]:
        """Set every part that was not kept; returns what all told."""
        found = self._share([order for order in self.orders if order.key not in self._known], "set_part", lambda share: self._progress(SETTING * share))
        for order in self.orders:
            if order.key in found:
                self.shelf.note(order, found[order.key])
        known = self._known | found
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
        self._share([order for order in filled if order.out and not kept.used(order.out)], "print_part",
                    lambda share: self._progress(SETTING + (1 - SETTING) * share))
        return [order.out for order in filled if order.out]

    def _share(self, orders: Sequence[Order], work: str, tell: Callable[[float], None]) -> dict[str, Layout]:
        """Do the work on the orders: each process on what it holds, then on the heaviest that nobody has begun."""
        theirs = [order for order in orders if order.key in self._theirs]
        ours = [order for order in orders if order.key in self._here.held]
        free = deque(sorted((order for order in orders if order not in theirs and order not in ours), key=lambda order: len(order.html), reverse=True))
        done: dict[str, Layout] = {}
        if theirs or sum(len(order.html) for order in free) >= LARGE:
            helper = self._helper = self._helper or Helper(self.shop)
            with ThreadPoolExecutor(1) as beside:
                there = beside.submit(self._ask, helper, work, _with(theirs, free), done)
                try:
                    self._work(work, _with(ours, free), done, lambda: tell(len(done) / len(orders)))
                except BaseException:
                    free.clear()
                    helper.end()
                    raise
                there.result()
        else:
            self._work(work, _with(ours, free), done, lambda: tell(len(done) / len(orders)))
        return done

    def _work(self, work: str, orders: Iterable[Order], done: dict[str, Layout], tell: Callable[[], None]) -> None:
        for order in orders:
            done[order.key] = getattr(self._here, work)(order)
            tell()

    def _ask(self, helper: Helper, work: str, orders: Iterable[Order], done: dict[str, Layout]) -> None:
        for order in orders:
            self._theirs.add(order.key)
            done[order.key] = helper.ask(work, order)


class Printer:
    """Sets and prints parts in this process."""

    def __init__(self, shop: Shop):
        self.shop = shop
        self.held: dict[str, setting.Set] = {}

    def set_part(self, order: Order) -> Layout:
        """Set a part and hold it until it is printed."""
        self.held[order.key] = held = setting.lay_out(order.key, order.html, self.shop.theme, self.shop.paper, self.shop.photos)
        return held.layout

    def print_part(self, order: Order) -> Layout:
        """Print a part, setting it if it is not held."""
        if order.key not in self.held:
            self.set_part(order)
        assert order.out and order.numbers is not None
        held = self.held.pop(order.key)
        beside = order.out.with_suffix(f".{os.getpid()}")
        setting.print_out(held, order.start, order.numbers, beside)
        beside.replace(order.out)
        return held.layout


class Helper:
    """The second process: it does one thing after another."""

    def __init__(self, shop: Shop):
        command = [sys.executable, "-c", _HELPER, str(Path(__file__).resolve().parent.parent)]
        self._process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE)  # noqa: S603 (ourselves)
        self._put(shop)

    def ask(self, work: str, order: Order) -> Layout:
        """Have it do a part, and wait for what the part tells; RuntimeError when it died."""
        self._put((work, order))
        assert self._process.stdout
        try:
            found: Layout = pickle.load(self._process.stdout)  # noqa: S301 (from our own process)
        except (EOFError, pickle.UnpicklingError) as problem:
            raise RuntimeError(f"the second process of the press ended with status {self._process.wait()}") from problem
        return found

    def end(self) -> None:
        """End it; nothing it has begun is waited for."""
        self._process.kill()

    def close(self) -> None:
        """End it and clear away."""
        self.end()
        self._process.communicate()

    def _put(self, message: Any) -> None:
        assert self._process.stdin
        _send(self._process.stdin, message)


def help_out() -> None:
    """The second process: do what is asked for on standard input, answer on standard output, end with the input."""
    hear, say = sys.stdin.buffer, os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    printer = Printer(pickle.load(hear))  # noqa: S301 (from the process that started this one)
    pdf.warm(printer.shop.theme, printer.shop.paper)
    while True:
        try:
            work, order = pickle.load(hear)  # noqa: S301
        except EOFError:
            return
        _send(say, getattr(printer, work)(order))


def _send(pipe: IO[bytes], message: Any) -> None:
    pickle.dump(message, pipe)
    pipe.flush()


def _with(own: Iterable[Order], free: deque[Order]) -> Iterator[Order]:
    """What is one's own, then the first of what is free, as long as there is any."""
    yield from own
    with suppress(IndexError):
        while True:
            yield free.popleft()


def _write(file: Path, content: bytes) -> None:
    beside = file.with_suffix(f".{os.getpid()}")
    beside.write_bytes(content)
    beside.replace(file)
