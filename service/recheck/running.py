"""Who does the pieces: this process, several of this machine, or whoever takes from the queue."""

from __future__ import annotations

import gc
import logging
import multiprocessing
import signal
import time
from collections import deque
from collections.abc import Callable, Generator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from pathlib import Path
from typing import Any, NamedTuple

from huey import Huey

from service.checks.verdicts import program
from service.recheck.chunks import Chunks
from service.recheck.items import Item
from service.storage.store import Store, open_store

_log = logging.getLogger(__name__)
#: Seconds: how often results of the queue are looked for, and how long nothing may come before this process does a piece itself.
_LOOK, PATIENCE = 0.2, 15.0
#: Pieces that wait in the queue at a time.
_AHEAD = 16


class Kept(NamedTuple):
    """Where things are kept: the data folder, and the store's database and files when they are not in it. `stored`: whether there is a store."""

    folder: Path
    database: str | None = None
    files: str | None = None
    stored: bool = False

    def open(self) -> Store | None:
        """The store, opened for one process."""
        return open_store(self.folder, self.database, self.files) if self.stored else None


def here(pieces: Sequence[list[Item]], kept: Kept, store: Store | None, jobs: int) -> Generator[int, None, None]:
    """Do the pieces on this machine; yields how many builds each had as it is done."""
    if jobs == 1 or len(pieces) == 1:
        chunks = Chunks(kept.folder)
        for piece in pieces:
            chunks.work(piece, store)
            yield len(piece)
        return
    context = multiprocessing.get_context("spawn")  # a forked process would share the parent's connections
    with ProcessPoolExecutor(min(jobs, len(pieces)), context, _begin, (kept,)) as pool:
        waiting = {pool.submit(_work, piece): len(piece) for piece in pieces}
        try:
            for done in as_completed(waiting):
                done.result()
                yield waiting[done]
        except BaseException:
            # Stopped: what they are at is done again next time, so nobody waits for it.
            for process in multiprocessing.active_children():
                process.terminate()
            raise


class _Process:
    """What one process of the pool keeps from piece to piece."""

    chunks: Chunks
    store: Store | None


def _begin(kept: Kept) -> None:
    signal.signal(signal.SIGINT, signal.SIG_DFL)
    _Process.chunks, _Process.store = Chunks(kept.folder), kept.open()
    # A build leaves much behind at once, and the program itself need not be looked through for garbage again and again.
    gc.set_threshold(100_000)
    gc.freeze()


def _work(piece: list[Item]) -> None:
    _Process.chunks.work(piece, _Process.store)


def register(queue: Huey, store: Store) -> Callable[..., Any]:
    """The task of a piece, known to the queue; call what comes back to put one into it."""

    def recheck(by: str, piece: list[list[str]]) -> None:
        if by != program():
            _log.error("a recheck was asked for by another version of the program; start this one anew with the same version")
            return
        chunks, items = Chunks(store.folder), [Item(*entry) for entry in piece]
        if not chunks.done(items):
            chunks.work(items, store)

    found: Callable[..., Any] = queue.task(name="recheck")(recheck)
    return found


def by_queue(pieces: Sequence[list[Item]], kept: Kept, store: Store, enqueue: Callable[..., Any], patience: float = PATIENCE) -> Generator[int, None, None]:
    """Have the pieces done by those who take from the queue; yields as `here`.

    A queue may lose what is in it, and nobody may take from it: when nothing comes for a while, a piece is done here. Only a few
    are in the queue at a time, since books wait behind them.
    """
    chunks, rest, asked = Chunks(kept.folder), deque(pieces), list[list[Item]]()
    heard = time.monotonic()
    while rest or asked:
        while rest and len(asked) < _AHEAD:
            asked.append(rest.popleft())
            enqueue(program(), [list(item) for item in asked[-1]])
        done = [piece for piece in asked if chunks.done(piece)]
        for piece in done:
            asked.remove(piece)
            yield len(piece)
        if done:
            heard = time.monotonic()
        elif time.monotonic() - heard > patience:
            _log.warning("nothing came back from the queue for %.0f s, so a piece is done here; does `asfitted work` run?", patience)
            chunks.work(asked[-1], store)
        else:
            time.sleep(_LOOK)
