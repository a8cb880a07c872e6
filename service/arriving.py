"""Bodies of requests on their way in: who sends slowly is waited for, never by those who work, and not for ever."""

from __future__ import annotations

import asyncio
import io
from collections import Counter
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from typing import Any

from service.web.source import network

#: Common practice (the defaults that Apache's manual gives for `RequestReadTimeout body=20,MinRate=500`): a body has this many
#: seconds, and one more for each so many bytes; nothing at all for as many seconds ends it too.
PATIENCE, LEAST_RATE = 20.0, 500
#: A body that is here whole by then is handed on whole; of a larger one this much, the rest as it is read.
BEGINNING = 16 * 1024
#: Larger bodies that come in at once, in all and from one address. The others wait for their turn, and are not read meanwhile.
MOST_AT_ONCE, MOST_FROM_ONE = 24, 6


class TooSlow(Exception):
    """The body did not come in time."""


class Gone(Exception):
    """Whoever was sending is no longer there."""


class Arriving:
    """One body: its beginning is asked for first, then what follows, piece by piece, on the server's loop."""

    def __init__(self, protocol: Any, length: int) -> None:
        """`length` is what the request says it has, 1 or more bytes."""
        self._pieces, self._length = aiter(protocol), length
        self._begun, self._came = asyncio.get_running_loop().time(), 0
        self.whole = False

    async def beginning(self) -> bytes:
        """The body, if it is small, or its beginning. Raises TooSlow, Gone."""
        pieces = []
        while not self.whole and self._came < BEGINNING:
            pieces.append(await self.piece())
        return b"".join(pieces)

    async def piece(self) -> bytes:
        """What comes next; nothing at the end. Raises TooSlow, Gone."""
        if self.whole:
            return b""
        left = self._begun + PATIENCE + self._came / LEAST_RATE - asyncio.get_running_loop().time()
        try:
            # Without a task of its own for each piece, as `wait_for` makes one: nearly every body is one piece.
            async with asyncio.timeout(min(left, PATIENCE)):
                piece = await self._next()
        except TimeoutError:
            raise TooSlow from None
        # A connection that broke looks like an end to the server; the length tells.
        if not piece:
            raise Gone
        self._came += len(piece)
        self.whole = self._came >= self._length
        return piece

    async def _next(self) -> bytes:
        try:
            return bytes(await self._pieces.__anext__())
        except StopAsyncIteration:
            return b""


class Rest(io.RawIOBase):
    """A body as the application reads it: its beginning, then each next piece as `more` gives it."""

    def __init__(self, beginning: bytes, more: Callable[[], bytes]) -> None:
        self._held, self._more = memoryview(beginning), more

    def readable(self) -> bool:
        """It is."""
        return True

    def readinto(self, buffer: Any) -> int:
        """The next bytes; 0 at the end."""
        if not self._held:
            self._held = memoryview(self._more())
        taken = min(len(buffer), len(self._held))
        buffer[:taken] = self._held[:taken]
        self._held = self._held[taken:]
        return taken


class Turns:
    """Who may send a large body now. Used on one loop."""

    def __init__(self, most: int = MOST_AT_ONCE, most_from_one: int = MOST_FROM_ONE) -> None:
        self._all, self._most_from_one = asyncio.Semaphore(most), most_from_one
        self._each: dict[str, asyncio.Semaphore] = {}
        self._known: Counter[str] = Counter()

    @asynccontextmanager
    async def turn(self, address: str) -> AsyncIterator[None]:
        """Wait for a turn, for as long as a body may stand still. Raises TooSlow when none comes."""
        source = network(address)
        self._known[source] += 1
        own = self._each.setdefault(source, asyncio.Semaphore(self._most_from_one))
        try:
            async with _taken(own), _taken(self._all):
                yield
        finally:
            self._known[source] -= 1
            if not self._known[source]:
                del self._known[source], self._each[source]


@asynccontextmanager
async def _taken(turns: asyncio.Semaphore) -> AsyncIterator[None]:
    try:
        await asyncio.wait_for(turns.acquire(), PATIENCE)
    except TimeoutError:
        raise TooSlow from None
    try:
        yield
    finally:
        turns.release()
