"""The desk: a car that is back gets a new visit, begun from the last one."""

from __future__ import annotations

import copy

from flask.testing import FlaskClient

from tests.document.visits import FIRST


def test_a_delivered_build_leads_to_a_new_visit(keeping: FlaskClient) -> None:
    keeping.post("/v1/documents", json=copy.deepcopy(FIRST))
    assert 'href="/desk/cars/c/builds/new?continues=first">New visit</a>' in keeping.get("/desk/builds/first").text
    form = keeping.get("/desk/cars/c/builds/new?continues=first").text
    assert "A new visit" in form and "“Made sound”" in form
    assert '<option value="touring" selected>' in form and 'data-name="continues"' in form


def test_a_new_visit_says_what_it_continues_and_what_was_not_measured_since(keeping: FlaskClient) -> None:
    keeping.post("/v1/documents", json=copy.deepcopy(FIRST))
    keeping.post("/v1/cars/c/builds", json={"id": "second", "continues": "first"})
    page = keeping.get("/desk/builds/second").text
    assert '<a href="/desk/builds/first">Made sound</a>' in page
    assert "2 values stand as of an earlier visit, not measured since" in page
    assert "New visit" not in page, "it is not handed over yet"
    assert keeping.get("/desk/builds/second/visits/new").status_code == 200


def test_only_a_build_of_the_car_leads_to_a_visit(keeping: FlaskClient) -> None:
    keeping.post("/v1/documents", json=copy.deepcopy(FIRST))
    keeping.post("/v1/cars", json={"id": "d", "make": "Tarnock", "model": "Stookman", "year": 1957})
    assert keeping.get("/desk/cars/d/builds/new?continues=first").status_code == 404
    assert keeping.get("/desk/cars/c/builds/new?continues=none").status_code == 404
