"""The desk's pages say what is recorded, hold together, and harm nobody."""

from __future__ import annotations

import re
from collections.abc import Iterator
from urllib.parse import unquote

import html5lib
import pytest
from flask.testing import FlaskClient

from service.app import create_app
from service.settings import Settings
from service.web.examples import demo
from tests.kept import sqlite_url

BUILD = "/desk/builds/ostrelle-autocross"


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FlaskClient]:
    """A client of a service that keeps the demo build."""
    folder = tmp_path_factory.mktemp("data")
    app = create_app(Settings(data=folder, database=sqlite_url(folder), open=True))
    client = app.test_client()
    assert client.post("/v1/documents", json=demo()).status_code == 201
    yield client
    app.extensions["asfitted"].database.close()


def text_of(client: FlaskClient, address: str, status: int = 200) -> str:
    answer = client.get(address)
    assert answer.status_code == status, answer.get_data(as_text=True)[:300]
    return answer.get_data(as_text=True)


PAGES = ["/desk/", BUILD, f"{BUILD}/what-if", f"{BUILD}/what-if?fact=driveshaft.outer_diameter&value=4+in", f"{BUILD}/tasks/t-axle",
         "/desk/cars/breyfell-ostrelle-1973", "/desk/search?q=harness", "/desk/devices"]


@pytest.mark.parametrize("address", PAGES)
def test_pages_are_valid_html_whose_links_lead_somewhere(desk: FlaskClient, address: str) -> None:
    text = text_of(desk, address)
    html5lib.HTMLParser(strict=True).parse(text)
    names = set(re.findall(r'\bid="([^"]+)"', text))
    assert len(names) == len(re.findall(r'\bid="([^"]+)"', text)), "an id stands twice"
    links = {link.replace("&amp;", "&") for link in re.findall(r'href="([^"]+)"', text)}
    assert all(link.startswith(("/", "#")) for link in links), "every link stays here"
    for link in links:
        if link.startswith("#"):
            assert unquote(link[1:]) in names, link
    for link in sorted(link for link in links if link.startswith("/desk/") and "what-if?" not in link)[:12]:
        assert desk.get(link.partition("#")[0]).status_code == 200, link


def test_the_list_says_how_far_a_build_is(desk: FlaskClient) -> None:
    text = text_of(desk, "/desk/")
    answer = desk.get("/v1/builds/ostrelle-autocross/checks").get_json()
    failed = sum(1 for item in answer["results"] if item["safety"] and item["verdict"] == "fail" and item["check"] != "readiness.safety_items")
    assert f"{failed} safety checks failed" in text
    assert "promised for December 11, 2026" in text


def test_the_page_of_a_build_has_every_finding_and_every_reason(desk: FlaskClient) -> None:
    text = text_of(desk, BUILD)
    answer = desk.get("/v1/builds/ostrelle-autocross/checks").get_json()
    assert text.count('class="finding ') == len(answer["results"])
    signatures = [reason for reason in answer["ready"]["because"] if "not signed" in reason]
    assert signatures and all(reason in text for reason in signatures)
    assert text.count("<li class=\"more\"") == max(0, len(answer["measure_next"]) - 12)


def test_a_what_if_shows_before_and_after_and_keeps_nothing(desk: FlaskClient) -> None:
    before = desk.get("/v1/builds/ostrelle-autocross/document").data
    text = text_of(desk, f"{BUILD}/what-if?fact=driveshaft.outer_diameter&value=4+in")
    assert "Driveshaft critical speed" in text
    assert text.index("Driveshaft critical speed") < text.index("Torque in the driveshaft"), "changed verdicts stand first"
    assert desk.get("/v1/builds/ostrelle-autocross/document").data == before


def test_a_what_if_that_cannot_be_says_what_would_be_right(desk: FlaskClient) -> None:
    assert "driveshaft" in text_of(desk, f"{BUILD}/what-if?fact=drivshaft.length&value=4+in", 422)
    assert "unit" in text_of(desk, f"{BUILD}/what-if?fact=driveshaft.length&value=4", 422)


@pytest.mark.parametrize(("fact", "value"), [("transmission.forward_ratios", "2.9, 1.8, 1.3, 1"), ("build.use", "street"), ("driveshaft.length", "")])
def test_a_what_if_takes_lists_choices_and_nothing(desk: FlaskClient, fact: str, value: str) -> None:
    answer = desk.get(f"{BUILD}/what-if", query_string={"fact": fact, "value": value})
    assert answer.status_code == 200, re.findall("<li>(.*)</li>", answer.get_data(as_text=True))


def test_a_record_shows_what_it_was(desk: FlaskClient) -> None:
    here = "/v1/builds/ostrelle-autocross/tasks/t-shroud"
    first = desk.get(here)
    assert desk.patch(here, json={"estimate": "6 h"}, headers={"If-Match": first.headers["ETag"]}).status_code == 200
    text = " ".join(text_of(desk, f"{BUILD}/tasks/t-shroud").split())
    assert "5 h → 6 h" in text
    assert "Changed" in text and "Created" in text


def test_a_retracted_record_still_reads(desk: FlaskClient) -> None:
    made = desk.post("/v1/builds/ostrelle-autocross/drives", json={"id": "d-wrong", "at": "2026-11-01T10:00:00-06:00", "distance": "3 mi"})
    assert desk.delete(made.headers["Location"] + "?reason=another+car", headers={"If-Match": made.headers["ETag"]}).status_code == 204
    text = text_of(desk, f"{BUILD}/drives/d-wrong")
    assert "Taken back" in text and "another car" in text


@pytest.mark.parametrize("address", ["/desk/builds/none", f"{BUILD}/tasks/none", f"{BUILD}/parts/t-axle", "/desk/cars/none", "/desk/files/views.py"])
def test_what_is_not_there_is_404(desk: FlaskClient, address: str) -> None:
    assert desk.get(address).status_code == 404


def test_hostile_text_is_shown_and_not_run(desk: FlaskClient) -> None:
    nasty = "<script>alert(1)</script> \u202e x' onmouseover=\"a\""
    made = desk.post("/v1/builds/ostrelle-autocross/fixes", json={"id": "f-nasty", "system": "body", "title": nasty, "problem": nasty, "status": "resolved"})
    assert made.status_code == 201
    for address in (BUILD, f"{BUILD}/fixes/f-nasty", "/desk/search?q=alert"):
        text = text_of(desk, address)
        assert "&lt;script&gt;alert(1)" in text
        assert "<script>alert" not in text
    assert "<script>alert" not in text_of(desk, "/desk/search?q=" + "%3Cscript%3Ealert(1)%3C/script%3E")


def test_the_bare_address_leads_to_the_desk(desk: FlaskClient) -> None:
    assert desk.get("/").headers["Location"] == "/desk/"


def test_a_car_without_a_build_is_found_again_and_a_new_build_says_where_to_begin(desk: FlaskClient) -> None:
    car = desk.post("/v1/cars", json={"make": "Dunlace", "model": "Marlet", "year": 1966}).get_json()["id"]
    text = text_of(desk, "/desk/")
    assert text.index("Without a build yet") < text.index("1966 Dunlace Marlet") < text.index("In the shop")
    build = desk.post(f"/v1/cars/{car}/builds", json={"use": "touring"}).get_json()["id"]
    assert "Without a build yet" not in text_of(desk, "/desk/")
    assert "Enter the first part" in text_of(desk, f"/desk/builds/{build}")
    assert "Enter the first part" not in text_of(desk, BUILD)
