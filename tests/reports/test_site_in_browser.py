"""The site as a reader meets it, opened from its folder: read without scripts, searched, photographs turned, judged for access."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from reports.book import Book

#: One page of every kind.
KINDS = ("index", "glance", "system-suspension", "fixes", "fix-x-1", "ordering", "findings", "check-driveline-joint-angles", "check-wheels-clearance",
         "tightening", "settings", "service", "cautions", "work", "road-test", "photographs", "signatures", "inputs", "timeline", "search")


@pytest.fixture
def site(book: Book) -> Path:
    assert book.site
    return book.site.parent


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A page that fails the test when a script of ours fails or anything outside the folder is asked for."""
    context = browser.new_context(viewport={"width": 1100, "height": 800}, has_touch=True)
    opened = context.new_page()
    troubles: list[str] = []
    opened.on("pageerror", lambda error: troubles.append(str(error)))
    opened.on("request", lambda request: troubles.append(request.url) if not request.url.startswith("file:") else None)
    yield opened
    context.close()
    assert troubles == []


@pytest.mark.parametrize(("width", "scheme"), [(390, "light"), (1280, "dark")])
def test_axe_finds_no_violation(browser: Browser, site: Path, width: int, scheme: str) -> None:
    """Judge: axe-core, all its rules, on every kind of page; color contrast in light and in dark."""
    context = browser.new_context(viewport={"width": width, "height": 900}, color_scheme="dark" if scheme == "dark" else "light")
    page = context.new_page()
    found: dict[str, list[str]] = {}
    for kind in KINDS:
        page.goto((site / f"{kind}.html").as_uri())
        response = Axe().run(page).response
        found[kind] = [f"{one['id']}: {one['nodes'][0]['html'][:120]}" for one in response["violations"]]
        assert response["passes"]
    context.close()
    assert {kind: rules for kind, rules in found.items() if rules} == {}


@pytest.mark.parametrize("width", [320, 1280])
def test_nothing_runs_over_the_edge(browser: Browser, site: Path, width: int) -> None:
    context = browser.new_context(viewport={"width": width, "height": 900})
    page = context.new_page()
    for kind in KINDS:
        page.goto((site / f"{kind}.html").as_uri())
        assert page.evaluate("document.documentElement.scrollWidth") <= width, kind
    context.close()


def test_search_works_from_a_folder(page: Page, site: Path) -> None:
    page.goto((site / "glance.html").as_uri())
    page.get_by_role("link", name="Search").click()
    field = page.get_by_role("searchbox")
    expect(field).to_be_focused()
    field.fill("TS-118")
    expect(page.locator("#found li").first).to_contain_text("Front bar, solid")
    page.locator("#found a").first.click()
    assert page.url.endswith("system-suspension.html#part-p-bar")


@pytest.mark.parametrize(("asked", "first"), [("soaked", "Center mount sagged"), ("drone fifty", "Center mount sagged"), ("mountt sagged", "Center mount sagged"),
                                              ("critical joint angle 2.4", "Working angles of the joints"), ("dig level", "slope of the shaft tube")])
def test_search_finds_by_word_part_of_a_word_and_with_a_slip(page: Page, site: Path, asked: str, first: str) -> None:
    page.goto((site / "search.html").as_uri() + f"?q={asked}")
    expect(page.locator("#found li").first).to_contain_text(first, ignore_case=True)


def test_search_says_when_there_is_nothing(page: Page, site: Path) -> None:
    page.goto((site / "search.html").as_uri() + "?q=zeppelin")
    expect(page.locator("#count")).to_have_text("Nothing found.")


def test_a_question_in_the_address_stays_text(page: Page, site: Path) -> None:
    page.goto((site / "search.html").as_uri() + "?q=<img src=x onerror=alert(1)>")
    expect(page.get_by_role("searchbox")).to_have_value("<img src=x onerror=alert(1)>")
    expect(page.locator("main img")).to_have_count(0)


def test_photographs_by_keyboard(page: Page, site: Path) -> None:
    page.goto((site / "photographs.html").as_uri())
    page.locator("a.photo").first.focus()
    page.keyboard.press("Enter")
    dialog = page.get_by_role("dialog")
    expect(dialog).to_be_visible()
    expect(dialog.locator("figcaption")).to_contain_text("The dash as it came.")
    page.keyboard.press("Escape")
    expect(dialog).to_be_hidden()
    expect(page.locator("a.photo").first).to_be_focused()


def test_photographs_by_arrow_and_by_finger(page: Page, site: Path) -> None:
    links = '<figure><a class="photo" href="photos/{0}-l.jpg"><img src="photos/{0}-s.jpg" alt="{0}"></a><figcaption>{0}</figcaption></figure>'
    several = site / "several.html"
    several.write_text("".join(links.format(name) for name in ("f-bar", "f-mount", "f-dash")) + '<link rel="stylesheet" href="style.css"><script src="viewer.js"></script>')
    page.goto(several.as_uri())
    page.locator("a.photo").first.click()
    place = page.locator("dialog .place")
    expect(place).to_have_text("1 of 3")
    page.keyboard.press("ArrowRight")
    expect(page.locator("dialog figcaption")).to_have_text("f-mount")
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    expect(place).to_have_text("3 of 3")
    swipe = """([from, to]) => { const image = document.querySelector('dialog img');
        for (const [type, x] of [['pointerdown', from], ['pointerup', to]])
            image.dispatchEvent(new PointerEvent(type, {clientX: x, isPrimary: true, bubbles: true, pointerType: 'touch'})); }"""
    page.evaluate(swipe, [300, 100])
    expect(place).to_have_text("1 of 3")
    page.evaluate(swipe, [100, 300])
    expect(place).to_have_text("3 of 3")
    page.evaluate(swipe, [100, 110])
    expect(place).to_have_text("3 of 3")
    several.unlink()


def test_everything_can_be_read_without_scripts(browser: Browser, site: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((site / "photographs.html").as_uri())
    assert page.locator("a.photo").first.get_attribute("href") == "photos/f-dash-l.jpg"
    page.goto((site / "search.html").as_uri())
    assert page.locator("noscript p").is_visible()
    assert page.locator("form.search").is_hidden()
    context.close()


def test_on_paper_only_the_text_is_left(page: Page, site: Path) -> None:
    page.goto((site / "check-driveline-joint-angles.html").as_uri())
    page.emulate_media(media="print", color_scheme="dark")
    for name in (".top", "nav.aside", ".turn", "details.contents"):
        expect(page.locator(name).first).to_be_hidden()
    assert page.evaluate("getComputedStyle(document.documentElement).backgroundColor") == "rgb(255, 255, 255)"
