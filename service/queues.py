"""The queue that books wait in: a file of its own by default, Redis or PostgreSQL by URL, the same task on each."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from huey import Huey, PostgresHuey, RedisHuey, SqliteHuey
from huey.consumer import Consumer
from huey.exceptions import ConfigurationError
from huey.registry import Message
from huey.serializer import Serializer

_NAME = "asfitted-books"
#: Longest wait between two looks into the queue's file, in seconds; Redis and PostgreSQL say so themselves.
_LOOK = 0.5


class QueueError(Exception):
    """A queue that cannot be used, with the reason and what would be right."""


class _Json(Serializer):  # type: ignore[misc]
    """Messages as JSON: whoever can write into the queue can ask for books, but not run what they like."""

    def _serialize(self, data: Any) -> bytes:
        return json.dumps(list(data)).encode()

    def _deserialize(self, data: bytes) -> Message:
        return Message(*json.loads(bytes(data)))


def open_queue(folder: Path, url: str | None = None) -> Huey:
    """The queue in a data folder, or at `url` (`redis://…`, `rediss://…`, `postgresql://…`). Raises QueueError for another URL."""
    common = {"results": False, "serializer": _Json()}
    scheme = (url or "").partition(":")[0]
    try:
        if url is None:
            return SqliteHuey(_NAME, filename=str(folder / "queue.sqlite3"), **common)
        if scheme in ("redis", "rediss", "unix"):
            return RedisHuey(_NAME, url=url, **common)
        if scheme in ("postgresql", "postgres"):
            return PostgresHuey(_NAME, dsn=url, **common)
    except ConfigurationError as error:
        raise QueueError(f"the queue {scheme}:… needs a package that is not installed: {error}") from error
    raise QueueError(f"a queue is at redis://…, rediss://… or postgresql://…, not at {scheme}:…")


class Worker(Consumer):  # type: ignore[misc]
    """One thread that takes tasks from the queue, one after another; it leaves the process's signals alone."""

    def __init__(self, queue: Huey) -> None:
        super().__init__(queue, workers=1, periodic=False, initial_delay=0.05, max_delay=_LOOK, check_worker_health=False)

    def _set_signal_handlers(self) -> None:
        """The server has its own."""

    @property
    def alive(self) -> bool:
        """Whether its thread runs."""
        return any(thread.is_alive() for _, thread in self.worker_threads)
