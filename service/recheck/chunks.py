"""Work in pieces of some builds each, whose results are files: what is there is done, whoever did it, and is not done again."""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path
from typing import Any

from service.checks.verdicts import program
from service.recheck.items import Item
from service.recheck.judging import judge
from service.recheck.last import Last
from service.storage.found import write_whole
from service.storage.store import Store

#: Builds in a piece: a kill costs no more than these for each process.
SIZE = 8


class Chunks:
    """The pieces of a data folder that this program has done. Those of another program are none of ours."""

    def __init__(self, folder: Path) -> None:
        self.data, self.root = folder, folder / "recheck"
        self.folder = self.root / program()[:32]

    def place(self, chunk: list[Item]) -> Path:
        """The file of a piece, named by what is in it and in which state."""
        return self.folder / f"{hashlib.sha256(json.dumps(chunk).encode()).hexdigest()[:40]}.json"

    def done(self, chunk: list[Item]) -> bool:
        """Whether it is done."""
        return self.place(chunk).is_file()

    def work(self, chunk: list[Item], store: Store | None) -> None:
        """Do a piece, and have the disk know it."""
        self.folder.mkdir(parents=True, exist_ok=True)
        last = Last(self.data, store)
        write_whole(self.place(chunk), json.dumps([judge(item, store, last) for item in chunk], ensure_ascii=False), through=True)

    def results(self, chunk: list[Item]) -> list[dict[str, Any]]:
        """What was found in a piece that is done."""
        found: list[dict[str, Any]] = json.loads(self.place(chunk).read_bytes())
        return found

    def forget(self, chunks: Iterable[list[Item]]) -> None:
        """Forget pieces that were reported, and whatever other programs left."""
        for chunk in chunks:
            self.place(chunk).unlink(missing_ok=True)
        for other in self.root.iterdir() if self.root.is_dir() else ():
            if other.is_dir() and (other != self.folder or not any(other.glob("[!.]*"))):
                shutil.rmtree(other, ignore_errors=True)


def cut(items: Iterable[Item], size: int = SIZE) -> Iterator[list[Item]]:
    """Items in pieces."""
    rest = iter(items)
    while piece := list(islice(rest, size)):
        yield piece
