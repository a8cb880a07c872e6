"""Photographs that were answered for are there, whole and once, after the server was killed while others were coming in."""

from __future__ import annotations

import os
import random
import signal
import threading
import time
from pathlib import Path

import requests

from tests.cli.test_serve import CAR, serving
from tests.pictures.made import noise

#: Kills. ASFITTED_LONG=1 is the long form.
ROUNDS = 20 if os.environ.get("ASFITTED_LONG") else 1
CLIENTS = 4


def post_until_killed(where: str, client: int, turn: int, answered: dict[str, bytes]) -> None:
    number = 0
    while True:
        content = noise(turn * 10_000 + client * 1_000 + number, (160, 120))
        try:
            answer = requests.post(f"{where}/builds/b/photos", files={"file": ("x.jpg", content)}, timeout=10)
        except requests.RequestException:
            return
        assert answer.status_code == 201, answer.text
        answered[answer.json()["id"]] = content
        number += 1


def test_what_was_answered_survives_kills(tmp_path: Path) -> None:
    answered: dict[str, bytes] = {}
    for turn in range(ROUNDS):
        with serving(tmp_path / "data", ends_by=signal.SIGKILL) as where:
            if turn == 0:
                requests.post(f"{where}/cars", json=CAR, timeout=10).raise_for_status()
                requests.post(f"{where}/cars/c/builds", json={"id": "b", "use": "street"}, timeout=10).raise_for_status()
            clients = [threading.Thread(target=post_until_killed, args=(where, client, turn, answered)) for client in range(CLIENTS)]
            for client in clients:
                client.start()
            time.sleep(random.Random(turn).uniform(0.4, 1.2))
        for client in clients:
            client.join()
    assert len(answered) >= ROUNDS
    with serving(tmp_path / "data") as where:
        kept: list[str] = []
        page = f"{where}/builds/b/photos?limit=1000"
        while page:
            found = requests.get(page, timeout=10)
            kept.extend(photo["id"] for photo in found.json())
            page = found.links["next"]["url"] if "next" in found.links else ""
        assert len(kept) == len(set(kept))
        assert set(answered) <= set(kept)
        for id, content in answered.items():
            assert requests.get(f"{where}/photos/{id}/received", timeout=10).content == content
