"""The page that tells how a phone trusts the shop's authority, over plain HTTP: a phone that does not trust it yet reads no other.

It gives four fixed answers and takes nothing in; no token and no code ever comes here. What stands on the way could hand out
another certificate, so page and terminal both name the fingerprint to compare.
"""

from __future__ import annotations

import socket
import threading
from collections.abc import Mapping
from dataclasses import dataclass
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

from markupsafe import escape

from service.lan.authority import Authority
from service.settings import ROOT

_PAGES = ROOT / "templates" / "pages"
CERTIFICATE = "/trust/as-fitted.crt"
_SECONDS, _AT_ONCE = 10, 16
_HEADERS = {"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer", "Cache-Control": "no-cache", "Connection": "close",
            "Content-Security-Policy": "default-src 'none'; style-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"}


@dataclass(frozen=True, slots=True)
class _Answer:
    type: str
    body: bytes
    more: Mapping[str, str]


def answers(authority: Authority, address: str) -> dict[str, _Answer]:
    """What is answered, by path. `address` is where the service itself answers."""
    page = (_PAGES / "trust.html").read_text(encoding="utf-8")
    page = page.replace("{{ certificate }}", CERTIFICATE).replace("{{ address }}", str(escape(address)))
    page = page.replace("{{ fingerprint }}", authority.fingerprint())
    return {"/trust": _Answer("text/html; charset=utf-8", page.encode(), {}),
            "/trust/page.css": _Answer("text/css; charset=utf-8", (_PAGES / "page.css").read_bytes(), {}),
            CERTIFICATE: _Answer("application/x-x509-ca-cert", authority.der(), {"Content-Disposition": 'attachment; filename="as-fitted.crt"'})}


class TrustServer(ThreadingHTTPServer):
    """Answers the page and the certificate, a few at once, each within seconds."""

    daemon_threads = True

    def __init__(self, host: str, port: int, authority: Authority, address: str) -> None:
        if ":" in host:
            self.address_family = socket.AF_INET6
        super().__init__((host, port), _Handler)
        self.answers = answers(authority, address)
        self._free = threading.BoundedSemaphore(_AT_ONCE)

    def start(self) -> None:
        """Answer from now on, beside whatever else this process does."""
        threading.Thread(target=self.serve_forever, name="trust", daemon=True).start()

    def process_request(self, request: Any, client_address: Any) -> None:
        """Answer in a thread of its own; who comes while all are busy is turned away."""
        if self._free.acquire(blocking=False):
            super().process_request(request, client_address)
        else:
            self.shutdown_request(request)

    def process_request_thread(self, request: Any, client_address: Any) -> None:
        """One request, start to end."""
        try:
            super().process_request_thread(request, client_address)
        finally:
            self._free.release()

    def handle_error(self, request: Any, client_address: Any) -> None:
        """A phone that goes away in the middle is nothing to tell."""


class _Handler(BaseHTTPRequestHandler):
    timeout = _SECONDS
    server_version, sys_version = "asfitted", ""
    server: TrustServer

    def do_GET(self) -> None:
        """Answer with one of the fixed answers."""
        path = self.path.partition("?")[0]
        if path == "/":
            self._send(302, b"", {"Location": "/trust"})
            return
        answer = self.server.answers.get(path)
        if answer is None:
            self._send(404, b"there is nothing here but /trust\n", {"Content-Type": "text/plain; charset=utf-8"})
        else:
            self._send(200, answer.body, {"Content-Type": answer.type, **answer.more})

    do_HEAD = do_GET  # noqa: N815 - named by the library

    def _send(self, status: int, body: bytes, headers: Mapping[str, str]) -> None:
        self.send_response(status)
        for name, value in {**_HEADERS, **headers, "Content-Length": str(len(body))}.items():
            self.send_header(name, value)
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(body)

    def log_message(self, format: str, *args: Any) -> None:
        """Who read the page is nobody's business."""
