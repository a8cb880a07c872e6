"""The server as a process of its own, for tests that stop, kill or time it."""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import requests

from tests.cli.test_serve import free_port, wait_for


def processes() -> Iterator[tuple[int, int, bytes]]:
    """Number, session and command line of every process; one that has ended and is not yet waited for has no command line."""
    for place in Path("/proc").glob("[0-9]*"):
        with contextlib.suppress(OSError):
            session = (place / "stat").read_text().rpartition(")")[2].split()[3]
            yield int(place.name), int(session), (place / "cmdline").read_bytes()


class Server:
    """A server of a data folder, in a process group of its own."""

    def __init__(self, data: Path) -> None:
        self.port, self.log = free_port(), data.with_suffix(".log")
        with self.log.open("ab") as log:
            self.process = subprocess.Popen([sys.executable, "-m", "service.cli", "serve", "--open", "--port", str(self.port), "--data", str(data)],
                                            stdout=subprocess.DEVNULL, stderr=log, start_new_session=True)
        self.where = f"http://127.0.0.1:{self.port}"
        try:
            wait_for(f"{self.where}/readyz")
        except BaseException:
            self.kill()
            raise

    def pids(self, *, making: bool) -> list[int]:
        """Its processes that make books, or the others."""
        return [pid for pid, session, command in processes() if session == self.process.pid and command and (b"service.rendering" in command) is making]

    def post(self, path: str, body: Any) -> requests.Response:
        """A posted call's answer."""
        return requests.post(f"{self.where}{path}", json=body, timeout=60)

    def until(self, book: str, reached: Callable[[dict[str, Any]], bool]) -> dict[str, Any]:
        """The state of a book once it is as wanted."""
        for _ in range(1800):
            found: dict[str, Any] = requests.get(f"{self.where}{book}", timeout=30).json()
            if reached(found):
                return found
            time.sleep(0.05)
        raise TimeoutError(str(found))

    def ended(self) -> None:
        """Wait until it has ended."""
        self.process.wait(timeout=60)

    def kill(self) -> None:
        """End whatever is left of it."""
        for pid in (*self.pids(making=True), *self.pids(making=False)):
            os.kill(pid, signal.SIGKILL)
        self.process.wait(timeout=60)
