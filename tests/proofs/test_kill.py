"""kill -9 at random moments under 20 posting clients: what was answered is there, once, and the file is whole.

A few rounds by default; ASFITTED_LONG=1 makes it 50.
"""

from __future__ import annotations

import random
import threading
import time
from collections import Counter
from pathlib import Path

from service.storage.database import of_folder
from tests.served import LONG, Phone, Server, add_build, chain_breaks, integrity, kept_measurements

CLIENTS, ROUNDS = 20, 50 if LONG else 2


def test_what_was_answered_survives_kills_at_random_moments(tmp_path: Path) -> None:
    data = tmp_path / "data"
    server = Server(data)
    phones = [Phone(server.where) for _ in range(CLIENTS)]
    stop = threading.Event()
    moments = random.Random(20)

    def keep_posting(phone: Phone) -> None:
        while not stop.is_set():
            if not phone.post():
                time.sleep(0.1)

    threads = [threading.Thread(target=keep_posting, args=(phone,)) for phone in phones]
    with server:
        add_build(server.where)
        for thread in threads:
            thread.start()
        try:
            for _ in range(ROUNDS):
                time.sleep(moments.uniform(0.05, 1.5))
                server.kill()
                _whole(data, phones)
                server.start()
            time.sleep(0.5)
        finally:
            stop.set()
            for thread in threads:
                thread.join()
    _whole(data, phones)
    assert [problem for phone in phones for problem in phone.problems] == []
    assert chain_breaks(of_folder(data)) == []
    cut_short = sum(phone.cut_short for phone in phones)
    assert cut_short > 0, "no kill met a request on its way"
    print(f"\n{ROUNDS} kills, {sum(len(phone.acknowledged) for phone in phones)} records answered, {cut_short} requests met by a kill")


def _whole(data: Path, phones: list[Phone]) -> None:
    answered = [id for phone in phones for id in list(phone.acknowledged)]
    assert integrity(data) == "ok"
    kept = Counter(kept_measurements(data))
    assert {id: count for id, count in kept.items() if count > 1} == {}
    assert [id for id in answered if id not in kept] == []
