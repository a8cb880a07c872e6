"""The press: takes books from the queue, has each made by a process of its own, and puts them in the data folder whole."""

from __future__ import annotations

import contextlib
import json
import logging
import os
import queue
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import IO, Any
from uuid import uuid4

from service.lock import FolderLock
from service.queues import Worker, open_queue
from service.recheck import running
from service.settings import ROOT, shop_of
from service.storage import books, things
from service.storage.disk import put_in_place
from service.storage.handout import hand_out
from service.storage.store import Store

_log = logging.getLogger(__name__)
#: Seconds: how often a running book is asked whether it is still wanted, and how often its progress is kept.
_LOOK = 0.5
#: A running book of which nothing was heard this long has lost its process (it is heard of every few seconds).
_SILENCE = 60.0
_HEARTBEAT = 5.0
_KEEPER = 30.0
#: No book takes this long; what does hangs.
LONGEST = 1800.0
#: Folder of the data folder where pictures and pages are kept for the next book; it may be removed at any time.
CACHE = "cache"
#: What makes one book, in a process of its own.
COMMAND = (sys.executable, "-m", "service.rendering")
#: What ends a book that is neither done nor failed.
_UNWANTED, _STOPPED = "unwanted", "stopped"


class Press:
    """Makes books, one at a time. Embedded in the server by default; with a queue at a URL, in processes of its own."""

    def __init__(self, store: Store, queue_url: str | None = None, command: Sequence[str] = COMMAND) -> None:
        """`command` makes one book: see `service.rendering`."""
        self.store, self.embedded = store, queue_url is None
        self.folder = store.folder / "books"
        self.folder.mkdir(exist_ok=True)
        self.queue = open_queue(store.folder, queue_url)
        self._task = self.queue.task(name="make_book")(self.make)
        running.register(self.queue, store)
        self.command = command
        self._stopping = threading.Event()
        self._worker: Worker | None = None
        self._keeper: threading.Thread | None = None
        self._lock = FolderLock(self.folder / ".press")

    def enqueue(self, id: str, attempt: int) -> None:
        """Put a book into the queue. When the queue does not answer, the book waits until the keeper's next round."""
        try:
            self._task(id, attempt)
        except Exception as error:  # noqa: BLE001 - each kind of queue has errors of its own
            _log.error("the queue does not take books: %s", type(error).__name__)

    def place_of(self, id: str) -> Path:
        """The folder of a book that is done."""
        return self.folder / id

    def remove(self, ids: Iterable[str]) -> None:
        """Remove the files of books that are forgotten. What is still open is removed at the next start."""
        for id in ids:
            shutil.rmtree(self.folder / id, ignore_errors=True)

    def start(self) -> None:
        """Begin to make books, in a thread of this process. With an embedded queue, only one process of a data folder does."""
        self._keeper = threading.Thread(target=self._keep, name="press", daemon=True)
        self._keeper.start()

    def stop(self, patience: float = 10.0) -> None:
        """Stop: the running book is put back into the queue."""
        self._stopping.set()
        if self._worker is not None:
            self._worker.stop()
            for _, thread in self._worker.worker_threads:
                thread.join(patience)
        if self._keeper is not None:
            self._keeper.join(patience)

    def ready(self) -> str | None:
        """None when books can be asked for, else what is wrong."""
        try:
            self.queue.storage.queue_size()
        except Exception as error:  # noqa: BLE001 - each kind of queue has errors of its own
            return f"the queue does not answer ({type(error).__name__})"
        if self._keeper is not None and not self._keeper.is_alive():
            return "books are not made any more"
        return None

    def _keep(self) -> None:
        """The keeper: waits for its turn, then sees that no book is lost."""
        while self.embedded and not self._lock.take():
            if self._stopping.wait(1.0):
                return
        first = True
        while not self._stopping.is_set():
            try:
                self.recover(0.0 if self.embedded and first else _SILENCE)
                if first:
                    self._sweep()
                first = False
            except Exception as error:  # noqa: BLE001 - a database that is away for a while must not end the keeper
                _log.error("books could not be looked after: %s", type(error).__name__)
            if not first and (self._worker is None or not self._worker.alive):
                self._worker = Worker(self.queue)
                self._worker.start()
            self._stopping.wait(_KEEPER if not first else 2.0)
        self._lock.give_back()

    def recover(self, silence: float = _SILENCE) -> None:
        """Queue again what was running in a process that is gone, and whatever the queue has lost."""
        with self.store.database.writing() as connection:
            for book in books.silent(connection, silence):
                books.interrupted(connection, book)
        if self.queue.storage.queue_size() == 0:
            with self.store.database.reading() as connection:
                waiting = books.queued(connection)
            for book in waiting:
                self.enqueue(book.id, book.attempt)

    def _sweep(self) -> None:
        """Remove what is left of books that were never finished, or are forgotten."""
        if not self.embedded:
            return
        with self.store.database.reading() as connection:
            known = books.known(connection)
        for place in self.folder.iterdir():
            if place.is_dir() and place.name not in known:
                shutil.rmtree(place, ignore_errors=True)

    def work_one(self) -> bool:
        """Make the next book of the queue in this thread; False when there is none."""
        task = self.queue.dequeue()
        if task is None:
            return False
        self.queue.execute(task)
        return True

    def make(self, id: str, attempt: int) -> None:
        """The task: make a book, or say why not. Whatever happens, nothing half made is left."""
        with self.store.database.writing() as connection:
            book = books.begin(connection, id, attempt)
        if book is None:
            return
        work = self.folder / f".{id}-{uuid4().hex[:8]}"
        try:
            self._conclude(book, self._made(book, work), work)
        except Exception as error:  # noqa: BLE001 - a book that cannot be made is a failed book, never a dead worker
            _log.exception("a book could not be made")
            why = f"the book could not be written: {error.strerror}" if isinstance(error, OSError) and error.strerror else \
                f"a mistake in the service stopped the book ({type(error).__name__})"
            with contextlib.suppress(Exception), self.store.database.writing() as connection:
                books.fail(connection, id, attempt, why)
        finally:
            shutil.rmtree(work, ignore_errors=True)

    def _conclude(self, book: Any, outcome: Mapping[str, Any], work: Path) -> None:
        if "done" in outcome:
            put_in_place(work / "book", self.place_of(book.id))
            with self.store.database.writing() as connection:
                replaced = books.finish(connection, book.id, book.attempt, outcome["done"]["pages"])
                now = books.find(connection, book.id)
            self.remove(replaced if now is not None and now.state == books.DONE else [*replaced, book.id])
        elif outcome.get("ended") == _STOPPED:
            with self.store.database.writing() as connection:
                books.put_back(connection, book.id, book.attempt)
        elif "failed" in outcome:
            with self.store.database.writing() as connection:
                books.fail(connection, book.id, book.attempt, outcome["failed"])

    def _made(self, book: Any, work: Path) -> Mapping[str, Any]:
        """Have a book made in `work`; returns how that ended."""
        work.mkdir()
        try:
            handed = hand_out(self.store, json.loads(book.document), work)
            with self.store.database.reading() as connection:
                history = things.history(connection, book.car, book.events) if book.events else ""
        except OSError as error:
            return {"failed": f"the photographs could not be read: {error.strerror or type(error).__name__}"}
        order = {"document": handed.document, "history": history, "photos": str(work), "out": str(work / "book"), "theme": book.theme,
                 "edition": book.edition, "paper": book.paper, "shop": shop_of(self.store.folder),
                 "kept": str(self.store.folder / CACHE)}
        with (work / "errors").open("wb") as errors, _process(self.command, errors) as process:
            lines = _lines(process, order)
            return self._follow(book, process, lines)

    def _follow(self, book: Any, process: subprocess.Popen[bytes], lines: queue.Queue[Mapping[str, Any] | None]) -> Mapping[str, Any]:
        """Listen to the process until it is done, ends, is unwanted, or hangs."""
        began, kept, news = time.monotonic(), 0.0, False
        said: Mapping[str, Any] = {"fraction": 0.0, "step": "beginning"}
        while True:
            try:
                line = lines.get(timeout=_LOOK)
            except queue.Empty:
                line = {}
            if line is None:
                return {"failed": _ending(process.wait())}
            if "done" in line or "failed" in line:
                return line
            if self._stopping.is_set():
                return {"ended": _STOPPED}
            at = time.monotonic()
            if at - began > LONGEST:
                return {"failed": f"it was not done after {LONGEST / 60:.0f} minutes, at the step {said['step']!r}, and was stopped"}
            news, said = news or bool(line), line or said
            if at - kept >= (_LOOK if news else _HEARTBEAT):
                if not self._go_on(book, said):
                    return {"ended": _UNWANTED}
                kept, news = at, False
            elif not line and not self._wanted(book):
                return {"ended": _UNWANTED}

    def _go_on(self, book: Any, said: Mapping[str, Any]) -> bool:
        with self.store.database.writing() as connection:
            return books.go_on(connection, book.id, book.attempt, float(said["fraction"]), str(said["step"]))

    def _wanted(self, book: Any) -> bool:
        with self.store.database.reading() as connection:
            now = books.find(connection, book.id)
        return now is not None and now.state == books.RUNNING and now.attempt == book.attempt


@contextlib.contextmanager
def _process(command: Sequence[str], errors: IO[bytes]) -> Iterator[subprocess.Popen[bytes]]:
    """A process that ends with this block. Its standard input stays open: it ends too when that does, should this process be killed."""
    # It is told nothing of where records are kept: it needs none of them.
    environment = {name: value for name, value in os.environ.items() if not name.startswith("ASFITTED_")}
    environment["PYTHONPATH"] = os.pathsep.join(filter(None, (str(ROOT), os.environ.get("PYTHONPATH"))))
    process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=errors, env=environment,  # noqa: S603 - our own program
                               creationflags=getattr(subprocess, "BELOW_NORMAL_PRIORITY_CLASS", 0))
    try:
        yield process
    finally:
        process.kill()
        process.wait()
        for pipe in (process.stdin, process.stdout):
            with contextlib.suppress(OSError):
                if pipe is not None:
                    pipe.close()


def _lines(process: subprocess.Popen[bytes], order: Mapping[str, Any]) -> queue.Queue[Mapping[str, Any] | None]:
    """What the process says, line by line, then None. A thread listens: pipes cannot be waited for with a time limit everywhere."""
    heard: queue.Queue[Mapping[str, Any] | None] = queue.Queue()

    def listen() -> None:
        with contextlib.suppress(OSError, ValueError):
            assert process.stdin is not None
            assert process.stdout is not None
            process.stdin.write(json.dumps(order).encode() + b"\n")
            process.stdin.flush()
            for line in process.stdout:
                heard.put(json.loads(line))
        heard.put(None)

    threading.Thread(target=listen, name="press-listens", daemon=True).start()
    return heard


def _ending(status: int) -> str:
    """Why a process ended that said nothing more."""
    if status < 0:
        reason = "as happens when memory runs out" if status == -9 else "which is none of ours"
        return f"the process that made the book was ended by signal {-status}, {reason}; ask for the book again to try once more"
    return f"the process that made the book ended with status {status} before it was done; ask for the book again to try once more"
