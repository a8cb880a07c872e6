"""The record API, held against a dictionary: whatever is asked in whatever order, both say the same.

A few runs by default; ASFITTED_LONG=1 makes it many.
"""

from __future__ import annotations

import itertools
import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, ClassVar

import pytest
from flask import Flask
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import Bundle, RuleBasedStateMachine, initialize, invariant, rule

from service.app import create_app
from service.settings import Settings
from tests.kept import sqlite_url
from tests.served import LONG, chain_breaks

LISTS = ("drives", "tasks", "measurements")
_texts = st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), max_size=12)
_lists = st.sampled_from(LISTS)
_builds = itertools.count()


@dataclass
class Kept:
    """What the dictionary knows of one record."""

    list: str
    bodies: list[dict[str, Any]]
    retracted: bool = False
    reasons: list[str | None] = field(default_factory=list)

    @property
    def tag(self) -> str:
        return f'"{len(self.bodies)}"'


def body_of(name: str, text: str) -> dict[str, Any]:
    if name == "measurements":
        return {"fact": "car.mass", "value": "3900 lb", "notes": text}
    return {"title": text if text.strip() else "task"} if name == "tasks" else {"observations": text}


class Records(RuleBasedStateMachine):
    """Posts, changes, retracts and reads records of a build of its own."""

    app: ClassVar[Flask]
    ids = Bundle("ids")

    @initialize()
    def a_build(self) -> None:
        number = next(_builds)
        self.client = self.app.test_client()
        self.car, self.build, self.model = f"c{number}", f"b{number}", dict[str, Kept]()
        assert self.client.post("/v1/cars", json={"id": self.car, "make": "Tarnock", "model": "Stookman", "year": 1957}).status_code == 201
        assert self.client.post(f"/v1/cars/{self.car}/builds", json={"id": self.build, "use": "street"}).status_code == 201
        self.keys = itertools.count()

    def at(self, name: str, id: str = "") -> str:
        return f"/v1/builds/{self.build}/{name}" + (f"/{id}" if id else "")

    @rule(target=ids, name=_lists, id=st.uuids().map(str), text=_texts, twice=st.booleans())
    def post(self, name: str, id: str, text: str, twice: bool) -> str:
        body = {"id": id, **body_of(name, text)}
        key = {"Idempotency-Key": f"{self.build}-{next(self.keys)}"}
        answers = [self.client.post(self.at(name), json=body, headers=key) for _ in range(2 if twice else 1)]
        assert [(answer.status_code, answer.json, answer.headers["ETag"]) for answer in answers] == [(201, body, '"1"')] * len(answers)
        self.model[id] = Kept(name, [body])
        return id

    @rule(id=ids, name=_lists, text=_texts)
    def post_again(self, id: str, name: str, text: str) -> None:
        kept, body = self.model[id], {"id": id, **body_of(name, text)}
        answer = self.client.post(self.at(name), json=body)
        same = not kept.retracted and kept.list == name and kept.bodies[-1] == body
        assert answer.status_code == (200 if same else 409)

    @rule(id=ids, text=_texts, tag=st.sampled_from(["current", "stale", "any", None]))
    def change(self, id: str, text: str, tag: str | None) -> None:
        kept = self.model[id]
        patch = body_of(kept.list, text)
        answer = self.client.patch(self.at(kept.list, id), json=patch, headers=self._matching(kept, tag))
        if self._refused(answer, kept, tag):
            return
        kept.bodies.append({**kept.bodies[-1], **patch})
        assert (answer.status_code, answer.json, answer.headers["ETag"]) == (200, kept.bodies[-1], kept.tag)

    @rule(id=ids, reason=st.none() | _texts.filter(bool), tag=st.sampled_from(["current", "stale", "any", None]))
    def retract(self, id: str, reason: str | None, tag: str | None) -> None:
        kept = self.model[id]
        answer = self.client.delete(self.at(kept.list, id), query_string={} if reason is None else {"reason": reason}, headers=self._matching(kept, tag))
        if self._refused(answer, kept, tag):
            return
        assert answer.status_code == 204
        kept.bodies.append(kept.bodies[-1])
        kept.retracted, kept.reasons = True, [reason]

    @staticmethod
    def _matching(kept: Kept, tag: str | None) -> dict[str, str]:
        tags = {"current": kept.tag, "stale": f'"{len(kept.bodies) + 7}"', "any": "*"}
        return {} if tag is None else {"If-Match": tags[tag]}

    @staticmethod
    def _refused(answer: Any, kept: Kept, tag: str | None) -> bool:
        expected = 410 if kept.retracted else {None: 428, "stale": 412}.get(tag)
        if expected is not None:
            assert answer.status_code == expected
        return expected is not None

    @rule(id=ids)
    def read(self, id: str) -> None:
        kept = self.model[id]
        answer = self.client.get(self.at(kept.list, id))
        assert answer.status_code == (410 if kept.retracted else 200)
        if not kept.retracted:
            assert (answer.json, answer.headers["ETag"]) == (kept.bodies[-1], kept.tag)
            assert self.client.get(self.at(kept.list, id), headers={"If-None-Match": kept.tag}).status_code == 304

    @rule(id=ids)
    def read_its_revisions(self, id: str) -> None:
        kept = self.model[id]
        found = self.client.get(f"{self.at(kept.list, id)}/revisions").json
        assert [item["record"] for item in found] == kept.bodies
        assert [item["action"] for item in found] == ["created", *["changed"] * (len(kept.bodies) - 1 - kept.retracted), *["retracted"] * kept.retracted]
        assert [item["reason"] for item in found if item["action"] == "retracted"] == kept.reasons

    @rule(name=_lists, limit=st.integers(1, 5))
    def read_in_pages(self, name: str, limit: int) -> None:
        assert list(self._pages(f"{self.at(name)}?limit={limit}")) == self._expected(name)

    def _pages(self, where: str) -> Iterator[dict[str, Any]]:
        while where:
            page = self.client.get(where)
            yield from page.json
            where = page.headers["Link"].split(">")[0][1:] if "Link" in page.headers else ""

    def _expected(self, name: str) -> list[dict[str, Any]]:
        return [kept.bodies[-1] for kept in self.model.values() if kept.list == name and not kept.retracted]

    @invariant()
    def the_document_holds_what_the_dictionary_holds(self) -> None:
        document = json.loads(self.client.get(f"/v1/builds/{self.build}/document").data)
        assert {name: document[name] for name in LISTS} == {name: self._expected(name) for name in LISTS}

    def teardown(self) -> None:
        """Every change is an event, and the chain of the car holds."""
        events = list(self._pages(f"/v1/cars/{self.car}/history?limit=50"))
        assert len(events) == 2 + sum(len(kept.bodies) for kept in self.model.values())
        assert chain_breaks(str(self.app.extensions["asfitted"].database.url), self.car) == []


@pytest.fixture(autouse=True)
def _app() -> Iterator[None]:
    with TemporaryDirectory() as folder:
        Records.app = create_app(Settings(data=Path(folder), database=sqlite_url(Path(folder)), open=True))
        yield
        Records.app.extensions["asfitted"].database.close()


TestRecords = Records.TestCase
TestRecords.settings = settings(max_examples=400 if LONG else 12, stateful_step_count=40 if LONG else 20, deadline=None,
                                suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
