"""Fifty phones post at once: no error, nothing lost, nothing doubled, one chain."""

from __future__ import annotations

import threading
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
import requests

from service.storage.database import of_folder
from tests.served import LONG, Phone, Server, add_build, chain_breaks

PHONES, EACH = 50, 40 if LONG else 4


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_fifty_phones_at_once(tmp_path: Path, kind: str, request: Any) -> None:
    url = of_folder(tmp_path) if kind == "sqlite" else request.getfixturevalue("postgresql_server").url()
    with Server(tmp_path, *(() if kind == "sqlite" else ("--database", url))) as server:
        add_build(server.where)
        phones = [Phone(server.where) for _ in range(PHONES)]
        together = threading.Barrier(PHONES)

        def send(phone: Phone) -> None:
            together.wait()
            for _ in range(EACH):
                phone.post()

        threads = [threading.Thread(target=send, args=(phone,)) for phone in phones]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert [problem for phone in phones for problem in phone.problems] == []
        kept = [record["id"] for record in _all(f"{server.where}/builds/b/measurements?limit=1000")]
    answered = [id for phone in phones for id in phone.acknowledged]
    assert len(answered) == PHONES * EACH
    assert Counter(kept) == Counter(answered)
    assert chain_breaks(url) == []


def _all(where: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = []
    while where:
        page = requests.get(where, timeout=30)
        found += page.json()
        path = page.links.get("next", {}).get("url")
        where = requests.compat.urljoin(where, path) if path else ""  # type: ignore[attr-defined]
    return found
