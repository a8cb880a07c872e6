"""A car of three records and one of two thousand, and text in every field that means harm: each makes a book that can be read."""

from __future__ import annotations

import copy
import json
import os
import re
from pathlib import Path
from typing import Any

import html5lib
from playwright.sync_api import Browser
from pypdf import PdfReader

from reports.book import Book, make
from tests.reports import sample
from tests.reports.reading import squeeze, text_of_page, text_of_pdf
from tests.reports.test_book import OURS, scripts

#: Set to also print the large car's PDF, which takes a minute.
LONG = "ASFITTED_LONG"
HARM = "<script>alert(1)</script><img src=x onerror=alert(2)> & \"' ]]> --> \x00\x07\u202eabc\u2066 שלום עולם 😀👩‍🔧 {{ 7*7 }} {% raw %} " + "w" * 4000


def small() -> dict[str, Any]:
    """Three records: a part, a reading, a joint."""
    whole = sample.document()
    bare = {key: whole[key] for key in ("format", "car", "build")}
    return {**bare, "parts": whole["parts"][:1], "measurements": whole["measurements"][:1], "fasteners": whole["fasteners"][:1]}


def large(count: int = 2000) -> tuple[dict[str, Any], dict[str, Any]]:
    """A car of `count` records in all its lists, and an answer whose facts and findings match."""
    document, answer = sample.document(photos=[]), copy.deepcopy(sample.ANSWER)
    share = count // 10
    lists = {"parts": 3, "measurements": 3, "fasteners": 2, "tasks": 1, "fixes": 1}
    for name, tenths in lists.items():
        record = sample.DOCUMENT[name][0]
        document[name] = [{**record, "id": f"{record['id']}-{index}", **_apart(name, index)} for index in range(share * tenths)]
    answer["facts"] += [{"fact": measurement["fact"], "system": "wheels", "printed": "2.4 deg", "also": None, "typed": "2.4 deg",
                         "from": {"list": "measurements", "id": measurement["id"]}} for measurement in document["measurements"]]
    answer["results"] += [{**answer["results"][0], "position": f"line {index}"} for index in range(60)]
    return document, answer


def _apart(name: str, index: int) -> dict[str, Any]:
    """What must differ between the records of a list."""
    day = f"2026-{index % 9 + 1:02d}-{index % 28 + 1:02d}"
    return {"parts": {"name": f"Part number {index}", "position": f"place {index}", "photos": []}, "measurements": {"fact": f"tire.size@spare {index}"},
            "fasteners": {"joint": f"joint {index}"}, "tasks": {"title": f"Step {index}", "done_at": day}, "fixes": {"title": f"Trouble {index}", "photos": []}}[name]


def pages_of(book: Book) -> dict[str, str]:
    assert book.site
    return {page.name: page.read_text(encoding="utf-8") for page in sorted(book.site.parent.glob("*.html"))}


def broken(pages: dict[str, str]) -> list[str]:
    """Links that lead nowhere."""
    ids = {name: set(re.findall(r'\sid="([^"]+)"', page)) for name, page in pages.items()}
    links = [(name, *target.partition("#")[::2]) for name, page in pages.items() for target in re.findall(r'<a [^>]*href="([^"]+\.html[^"]*|#[^"]*)"', page)]
    return [f"{name}: {file}#{anchor}" for name, file, anchor in links if (file or name) not in pages or (anchor and anchor not in ids[file or name])]


def too_wide(browser: Browser, book: Book, width: int, names: list[str]) -> list[str]:
    """Pages that run over the edge of the screen."""
    assert book.site
    context = browser.new_context(viewport={"width": width, "height": 900})
    page = context.new_page()
    found = []
    for name in names:
        page.goto((book.site.parent / name).as_uri())
        if page.evaluate("document.documentElement.scrollWidth") > width:
            found.append(name)
    context.close()
    return found


def test_a_car_of_three_records(tmp_path: Path, browser: Browser) -> None:
    made = make(small(), {"format": "as-fitted/answer/1"}, sample.VOCABULARY, tmp_path, tmp_path / "out")
    pages = pages_of(made)
    assert made.pages
    assert made.pages <= 12
    assert broken(pages) == []
    assert "Front bar, solid" in pages["system-suspension.html"]
    assert not any(re.search(r"<h2[^>]*>[^<]*</h2>\s*(?:<h2|<nav class=\"turn\")", page) for page in pages.values()), "a heading with nothing under it"
    assert too_wide(browser, made, 390, list(pages)) == []


def test_a_car_of_two_thousand_records(tmp_path: Path, browser: Browser) -> None:
    document, answer = large()
    made = make(document, answer, sample.VOCABULARY, tmp_path, tmp_path / "out", pdf=bool(os.environ.get(LONG)))
    pages = pages_of(made)
    assert broken(pages) == []
    for name in pages:
        ids = re.findall(r'\sid="([^"]+)"', pages[name])
        assert len(ids) == len(set(ids)), name
    text = squeeze(text_of_page(pages["tightening.html"]))
    assert all(squeeze(f"joint {index} 2 × M10x1.5") in text for index in range(400))
    assert len([name for name in pages if name.startswith("fix-")]) == 200
    kinds = ["index.html", "system-suspension.html", "tightening.html", "work.html", "timeline.html", "inputs.html", "ordering.html"]
    assert too_wide(browser, made, 390, kinds) == []
    if made.pdf:
        assert len(PdfReader(made.pdf).pages) == made.pages


def test_the_search_of_a_large_car_answers_at_once(tmp_path: Path, browser: Browser) -> None:
    document, answer = large()
    made = make(document, answer, sample.VOCABULARY, tmp_path, tmp_path / "out", pdf=False)
    assert made.site
    page = browser.new_page()
    page.goto((made.site.parent / "search.html").as_uri())
    page.get_by_role("searchbox").fill("joint 317")
    assert page.locator("#found li").first.inner_text().lower().startswith("joint 317")
    took = page.evaluate("""() => { const field = document.getElementById('q'); const start = performance.now();
        field.dispatchEvent(new Event('input')); return performance.now() - start; }""")
    assert took < 1000, f"{took:.0f} ms"
    page.close()


def _harmed(value: Any, keep: frozenset[str]) -> Any:
    """The same shape with every text replaced but those under the keys to keep."""
    if isinstance(value, dict):
        return {key: item if key in keep else _harmed(item, keep) for key, item in value.items()}
    if isinstance(value, list):
        return [_harmed(item, keep) for item in value]
    return HARM if isinstance(value, str) else value


#: Keys whose texts are names the program itself gives, or that must point at each other.
_NAMES = frozenset({"format", "id", "kind", "file", "status", "system", "fact", "of", "position", "units", "edition", "year", "photos", "parts_added", "before", "after",
                    "needs_parts", "replaces", "verdict", "check", "from", "series", "absent", "unlocks", "name", "si", "low", "high", "value", "size", "date_code"})


def test_harmful_text_in_every_field_stays_text(tmp_path: Path, photos: Path, browser: Browser) -> None:
    document = _harmed(sample.document(), _NAMES)
    for record in document["parts"]:
        record["name"] = HARM
    document["parts"][0]["id"] = 'p"><script>alert(3)</script>'
    answer = _harmed(sample.ANSWER, _NAMES)
    made = make(document, answer, sample.VOCABULARY, photos, tmp_path / "out", pdf=False)
    pages = pages_of(made)
    assert broken(pages) == []
    for name, page in pages.items():
        html5lib.HTMLParser(strict=True).parse(page)
        assert scripts(page) <= OURS, name
        assert not {"onerror", "onload"} & {key for element in html5lib.parse(page, namespaceHTMLElements=False).iter() for key in element.attrib}, name
        assert not re.search("[\x00\x07\u202e\u2066]", page), name
        assert "49" not in re.findall(r"\{\{ ?(\S+) ?\}\}", page), name
    assert squeeze("<script>alert(1)</script>") in squeeze(text_of_page(pages["fixes.html"]))
    assert "שלום" in pages["fixes.html"]
    assert "😀" in pages["fixes.html"]
    kinds = ["index.html", "fixes.html", "system-suspension.html", "work.html", "check-driveline-joint-angles.html", "ordering.html"]
    assert too_wide(browser, made, 390, kinds) == []


def test_a_word_of_four_thousand_letters_in_every_field_is_printed(tmp_path: Path, photos: Path) -> None:
    """One word without a blank, of letters both ways, signs that HTML minds, pictures and control characters: the pages end, and hold it."""
    word = "w" * 1200 + "<&>" * 200 + "\x00\x07" + "ש" * 1000 + "😀" * 200 + "v\u00a0" * 500
    document, answer = _harmed(sample.document(), _NAMES), _harmed(sample.ANSWER, _NAMES)
    document["parts"][0]["name"] = HARM
    text = json.dumps([document, answer]).replace(json.dumps(HARM)[1:-1], json.dumps(word)[1:-1])
    document, answer = json.loads(text)
    made = make(document, answer, sample.VOCABULARY, photos, tmp_path / "out", site=False)
    assert made.pdf
    found = squeeze(text_of_pdf(made.pdf))
    assert found.count("w" * 1200) > 10
    assert "<&>" * 100 in found


def test_harmful_text_runs_nothing_and_is_found_by_search(tmp_path: Path, browser: Browser) -> None:
    made = make(_harmed(sample.document(photos=[]), _NAMES), _harmed(sample.ANSWER, _NAMES), sample.VOCABULARY, tmp_path, tmp_path / "out", pdf=False)
    assert made.site
    page = browser.new_page()
    alarms: list[str] = []
    page.on("dialog", lambda dialog: (alarms.append(dialog.message), dialog.dismiss()))
    page.goto((made.site.parent / "search.html").as_uri() + "?q=alert")
    assert page.locator("#found li").count() > 3
    assert page.locator("#found script, #found img").count() == 0
    page.goto((made.site.parent / "fixes.html").as_uri())
    assert alarms == []
    page.close()
