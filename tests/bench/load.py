"""A load of posts over a few connections that are kept open, each with one request on its way; cheap enough not to be what is measured."""

from __future__ import annotations

import json
import selectors
import socket
import time
import uuid
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Measured:
    """What a load met: answers a second, and how long each answer took in seconds, sorted."""

    rate: float
    times: list[float]

    def at(self, share: float) -> float:
        """The time within which this share of the answers came."""
        return self.times[min(len(self.times) - 1, int(share * len(self.times)))]


def post(port: int, path: str, body: dict[str, Any], connections: int, seconds: float) -> Measured:
    """Post `body`, each time with a fresh id, as fast as it is answered. Raises AssertionError for an answer that is no 201."""
    selector = selectors.DefaultSelector()
    for _ in range(connections):
        link = socket.create_connection(("127.0.0.1", port))
        link.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        selector.register(link, selectors.EVENT_READ, [_send(link, port, path, body), b""])
    times: list[float] = []
    start = time.perf_counter()
    while time.perf_counter() - start < seconds:
        for key, _ in selector.select(1):
            link, state = key.fileobj, key.data
            state[1] += link.recv(65536)  # type: ignore[union-attr]
            if _whole(state[1]):
                assert b" 201 " in state[1].partition(b"\r\n")[0], state[1]
                times.append(time.perf_counter() - state[0])
                state[0], state[1] = _send(link, port, path, body), b""
    taken = time.perf_counter() - start
    for key in list(selector.get_map().values()):
        key.fileobj.close()  # type: ignore[union-attr]
    return Measured(len(times) / taken, sorted(times))


def _send(link: Any, port: int, path: str, body: dict[str, Any]) -> float:
    content = json.dumps({"id": str(uuid.uuid4()), **body}).encode()
    head = f"POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Type: application/json\r\nContent-Length: {len(content)}\r\n\r\n"
    now = time.perf_counter()
    link.sendall(head.encode() + content)
    return now


def _whole(answer: bytes) -> bool:
    head, end, rest = answer.partition(b"\r\n\r\n")
    if not end:
        return False
    length = next(int(line.split(b":")[1]) for line in head.split(b"\r\n") if line.lower().startswith(b"content-length"))
    return len(rest) >= length
