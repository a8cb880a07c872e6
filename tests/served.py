"""The service as a process of its own, for tests that kill it, fill its disk or load it; and clients that never give up."""

from __future__ import annotations

import os
import signal
import socket
import sqlite3
import subprocess
import sys
import time
import uuid
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import requests

from service.storage import chain, things
from service.storage.database import Database

#: Long forms of slow proofs and benchmarks run when this is set.
LONG = bool(os.environ.get("ASFITTED_LONG"))
CAR = {"id": "c", "make": "Tarnock", "model": "Stookman", "year": 1957}
_PATIENCE = 60.0


def free_port() -> int:
    """A port of this machine that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Server:
    """One server and its data folder; `guarded` ones ask for tokens. It can be killed and started again on the same port."""

    def __init__(self, data: Path, *options: str, port: int | None = None, guarded: bool = False) -> None:
        self.data, self.port = data, port or free_port()
        self.options = options if guarded else ("--open", *options)
        self.process: subprocess.Popen[bytes] | None = None

    @property
    def where(self) -> str:
        """Its base address."""
        return f"http://127.0.0.1:{self.port}/v1"

    def start(self) -> Server:
        """Start it and wait until it answers."""
        self.process = subprocess.Popen([sys.executable, "-m", "service.cli", "serve", "--port", str(self.port), "--data", str(self.data), *self.options],
                                        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True)
        wait_for(f"http://127.0.0.1:{self.port}/readyz")
        return self

    def end(self, by: int = signal.SIGTERM) -> None:
        """End it and everything that it started."""
        if self.process is not None:
            os.killpg(self.process.pid, by)
            self.process.wait(timeout=30)
            self.process = None

    def kill(self) -> None:
        """End it as a power cut would."""
        self.end(signal.SIGKILL)

    def __enter__(self) -> Server:
        return self.start()

    def __exit__(self, *_: object) -> None:
        self.end()


def wait_for(where: str) -> None:
    """Wait until an address answers with 200. Raises TimeoutError."""
    end = time.monotonic() + _PATIENCE
    while time.monotonic() < end:
        try:
            if requests.get(where, timeout=5).status_code == 200:
                return
        except requests.RequestException:
            time.sleep(0.05)
    raise TimeoutError(where)


def add_build(where: str) -> None:
    """A car `c` with a build `b`."""
    assert requests.post(f"{where}/cars", json=CAR, timeout=30).status_code == 201
    assert requests.post(f"{where}/cars/c/builds", json={"id": "b", "use": "street"}, timeout=30).status_code == 201


@dataclass
class Phone:
    """A client that names its records itself and sends each until it is answered, as a phone on bad wifi does."""

    where: str
    acknowledged: list[str] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)
    cut_short: int = 0
    _waiting: dict[str, Any] | None = None
    _session: requests.Session = field(default_factory=requests.Session)

    def post(self) -> bool:
        """Send one record, the one that was not answered first. False when the service did not answer."""
        if self._waiting is None:
            self._waiting = {"id": str(uuid.uuid4()), "fact": "car.mass", "value": "3900 lb", "instrument": "corner scales", "taken_at": "2026-03-02T14:30:00+00:00"}
        try:
            answer = self._session.post(f"{self.where}/builds/b/measurements", json=self._waiting, headers={"Idempotency-Key": self._waiting["id"]}, timeout=30)
        except requests.RequestException as error:
            # A connection that was there and broke: the service was killed between the question and the answer.
            self.cut_short += "Connection aborted" in str(error)
            self._session = requests.Session()
            return False
        if answer.status_code in (200, 201):
            self.acknowledged.append(self._waiting["id"])
        else:
            self.problems.append(f"{answer.status_code} {answer.text}")
        self._waiting = None
        return True


def kept_measurements(data: Path) -> list[str]:
    """The ids of every measurement in a data folder's file, read without the service."""
    connection = sqlite3.connect(data / "records.sqlite3")
    try:
        return [row[0] for row in connection.execute("SELECT id FROM revision WHERE list = 'measurements' AND action = 'created'")]
    finally:
        connection.close()


def integrity(data: Path) -> str:
    """What SQLite's own check says of a data folder's file."""
    connection = sqlite3.connect(data / "records.sqlite3")
    try:
        return str(connection.execute("PRAGMA integrity_check").fetchone()[0])
    finally:
        connection.close()


def chain_breaks(url: str, car: str = "c") -> list[chain.Break]:
    """Where the history of a car does not hold."""
    database = Database(url)
    try:
        with database.reading() as connection:
            rows = things.of_car(connection, car)
        return list(chain.breaks([things.event_of(row._mapping) for row in rows], [row.hash for row in rows], [row.body for row in rows]))
    finally:
        database.close()
