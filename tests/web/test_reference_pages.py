"""The reference pages hold all there is, and their links lead somewhere."""

from __future__ import annotations

import re

import pytest
from flask.testing import FlaskClient

from service.app import create_app
from service.checks.answer import catalog
from service.vocabulary import KINDS


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    return create_app().test_client()


def page(client: FlaskClient, name: str) -> str:
    answer = client.get(f"/v1/{name}.html")
    assert answer.status_code == 200
    return answer.get_data(as_text=True)


def test_every_field_stands_on_the_page(client: FlaskClient) -> None:
    anchors = set(re.findall(r'id="([^"]+)"', page(client, "vocabulary")))
    assert {f"{kind.name}.{field.name}" for kind in KINDS.values() for field in kind.fields} <= anchors


def test_every_kind_without_fields_is_named(client: FlaskClient) -> None:
    said = page(client, "vocabulary")
    assert all(f'<span class="in">{kind.name}</span>' in said for kind in KINDS.values() if not kind.fields)


def test_every_check_stands_on_the_page_with_its_formula(client: FlaskClient) -> None:
    said = page(client, "catalog")
    anchors = set(re.findall(r'id="([^"]+)"', said))
    assert {item["check"] for item in catalog()["checks"]} <= anchors
    assert said.count('<p class="formula">') == len(catalog()["checks"])


@pytest.mark.parametrize("name", ["vocabulary", "catalog", "openapi"])
def test_links_lead_somewhere(client: FlaskClient, name: str) -> None:
    for link in set(re.findall(r'href="([^"]+)"', page(client, name))):
        path, _, anchor = link.partition("#")
        answer = client.get(f"/v1/{path}") if path else client.get(f"/v1/{name}.html")
        assert answer.status_code == 200, link
        assert not anchor or f'id="{anchor}"' in answer.get_data(as_text=True), link
