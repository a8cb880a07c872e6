"""Between the server and the application. The server's loop waits for what comes in; only what is here takes a thread.

So a phone that stalls in the middle of a request holds nothing that others need, and a file goes out at the pace of whoever
reads it without a thread that waits. The server speaks RSGI, the application WSGI (PEP 3333).
"""

from __future__ import annotations

import asyncio
import contextlib
import io
import json
import logging
import sys
from collections.abc import Callable
from concurrent.futures import CancelledError, Future, ThreadPoolExecutor
from typing import Any

from werkzeug.exceptions import ClientDisconnected, RequestTimeout
from werkzeug.wsgi import FileWrapper

from service.arriving import MOST_AT_ONCE, Arriving, Gone, Rest, TooSlow, Turns
from service.web import headers, problems

_log = logging.getLogger(__name__)
#: Requests that are worked on at once. One process writes, so that writers take turns without polling for the file.
_AT_WORK = 8
_FIXED = {"SCRIPT_NAME": "", "SERVER_SOFTWARE": "asfitted", "wsgi.version": (1, 0), "wsgi.errors": sys.stderr, "wsgi.input_terminated": True,
          "wsgi.multithread": True, "wsgi.multiprocess": False, "wsgi.run_once": False, "wsgi.file_wrapper": FileWrapper}
_SLOW = "what was sent did not come in time; send it again, in smaller pieces when the network is slow"
_HOW_LONG = "a body says how long it is: send it with Content-Length, not in chunks"
_BROKE = "the request broke off"
_BUSY = "too many large files come in at this moment; send it again in a while"


class Gateway:
    """Answers the server's calls with a WSGI application."""

    def __init__(self, app: Any) -> None:
        self._app = app
        self._working = ThreadPoolExecutor(_AT_WORK, "work")
        self._receiving = ThreadPoolExecutor(MOST_AT_ONCE, "receive")
        self._awaited: set[Future[bytes]] = set()
        self._over = False

    def __rsgi_init__(self, loop: asyncio.AbstractEventLoop) -> None:
        """The server's loop is there."""
        self._loop, self._turns = loop, Turns()

    def __rsgi_del__(self, _loop: asyncio.AbstractEventLoop) -> None:
        """The server's loop has ended: nothing comes any more, and no thread is to wait for it."""
        self._over = True
        for piece in list(self._awaited):
            piece.cancel()

    async def __rsgi__(self, scope: Any, protocol: Any) -> None:
        """One request, start to end."""
        environ = environment(scope)
        if "HTTP_TRANSFER_ENCODING" in environ:
            # The server does not tell the end of such a body from a connection that broke.
            _refuse(protocol, 411, _HOW_LONG)
            return
        said = environ.get("CONTENT_LENGTH", "")
        length = int(said) if said.isdigit() else 0
        if length == 0:
            await self._answered(self._working, environ, io.BytesIO(), protocol)
            return
        try:
            body = Arriving(protocol, length)
            beginning = await body.beginning()
            if body.whole:
                await self._answered(self._working, environ, io.BytesIO(beginning), protocol)
            else:
                await self._in_turn(environ, body, beginning, protocol)
        except TooSlow:
            _refuse(protocol, 408, _SLOW)
        except Gone:
            _refuse(protocol, 400, _BROKE)

    async def _in_turn(self, environ: dict[str, Any], body: Arriving, beginning: bytes, protocol: Any) -> None:
        turn = self._turns.turn(environ["REMOTE_ADDR"])
        try:
            await turn.__aenter__()
        except TooSlow:
            _refuse(protocol, 503, _BUSY, {"Retry-After": "30"})
            return
        try:
            await self._answered(self._receiving, environ, Rest(beginning, lambda: self._more(body)), protocol)
        finally:
            await turn.__aexit__(None, None, None)

    def _more(self, body: Arriving) -> bytes:
        """The next piece, for a thread of the application."""
        if self._over:
            raise ClientDisconnected(_BROKE)
        piece = asyncio.run_coroutine_threadsafe(body.piece(), self._loop)
        self._awaited.add(piece)
        if self._over:
            # It ended in between.
            piece.cancel()
        try:
            return piece.result()
        except TooSlow:
            raise RequestTimeout(_SLOW) from None
        except (Gone, CancelledError):
            raise ClientDisconnected(_BROKE) from None
        finally:
            self._awaited.discard(piece)

    async def _answered(self, pool: ThreadPoolExecutor, environ: dict[str, Any], body: io.IOBase, protocol: Any) -> None:
        environ["wsgi.input"] = body
        done = self._loop.create_future()
        pool.submit(self._work, environ, protocol, done)
        await done

    def _work(self, environ: dict[str, Any], protocol: Any, done: asyncio.Future[None]) -> None:
        """Answer in a thread, and tell the loop when it is done: a future of the loop's own costs half of what an executor's does."""
        try:
            self._answer(environ, protocol)
        finally:
            # A loop that has ended asks for nothing any more.
            with contextlib.suppress(RuntimeError):
                self._loop.call_soon_threadsafe(_tell, done)

    def _answer(self, environ: dict[str, Any], protocol: Any) -> None:
        """Run the application and hand its answer to the server, which sends it without a thread of ours."""
        begun: list[Any] = []

        def start(status: str, sent: list[tuple[str, str]], _error: Any = None) -> Callable[[bytes], None]:
            begun[:] = [int(status[:3]), sent]
            return _no_write

        try:
            answer = self._app(environ, start)
            try:
                if isinstance(answer, FileWrapper) and isinstance(name := getattr(answer.file, "name", None), str):
                    protocol.response_file(*begun, name)
                else:
                    protocol.response_bytes(*begun, b"".join(answer))
            finally:
                if hasattr(answer, "close"):
                    answer.close()
        except Exception:  # noqa: BLE001 - the last resort: the server would log what exceptions quote
            _log.exception("unexpected error")
            _refuse(protocol, 500, "the service made a mistake. The error is in its log.")


def environment(scope: Any) -> dict[str, Any]:
    """A request as PEP 3333 has it, without its body. Headers that come twice are one, as RFC 9110 (5.3) and RFC 6265 (5.4) join them."""
    (name, port), (address, _) = _parted(scope.server), _parted(scope.client)
    found = {**_FIXED, "REQUEST_METHOD": scope.method, "PATH_INFO": scope.path.encode().decode("latin-1"), "QUERY_STRING": scope.query_string,
             "SERVER_NAME": name, "SERVER_PORT": port, "REMOTE_ADDR": address, "SERVER_PROTOCOL": f"HTTP/{scope.http_version}",
             "wsgi.url_scheme": scope.scheme}
    if scope.authority is not None:
        found["HTTP_HOST"] = scope.authority
    for header, value in scope.headers.items():
        # An underscore would make one header pass for another. The host in the address goes before the header (RFC 9112, 3.2.2).
        if "_" in header or (header == "host" and scope.authority is not None):
            continue
        key = header.upper().replace("-", "_")
        key = key if key in ("CONTENT_TYPE", "CONTENT_LENGTH") else f"HTTP_{key}"
        joined = "; " if header == "cookie" else ","
        found[key] = f"{found[key]}{joined}{value}" if key in found else value
    return found


def _parted(place: str) -> tuple[str, str]:
    host, _, port = place.rpartition(":")
    return host.strip("[]"), port


def _refuse(protocol: Any, status: int, detail: str, more: dict[str, str] | None = None) -> None:
    """Answer in the application's place, as it would."""
    _log.warning("refused", extra={"fields": {"status": status}})
    said = {"Content-Type": problems.CONTENT_TYPE, **headers.HEADERS, **(more or {})}
    protocol.response_bytes(status, list(said.items()), json.dumps(problems.body(status, detail)).encode())


def _tell(done: asyncio.Future[None]) -> None:
    if not done.done():
        done.set_result(None)


def _no_write(_data: bytes) -> None:
    raise NotImplementedError("the application gives its answer back, it does not write it")
