"""A car from its first part to the delivered book through the pages alone, as somebody does who has never seen them before."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from pathlib import Path

import pypdf
import pytest
import requests
from PIL import Image, ImageDraw
from playwright.sync_api import Browser, Page, expect

from service.checks.readiness.items import TITLES
from tests.capture.shop import DESK, Shop, phone

BOOK_PATIENCE = 240_000


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """A shop in which nothing is recorded."""
    with Shop(tmp_path_factory.mktemp("data")) as server:
        yield server


def fill(page: Page, **answers: str) -> None:
    """Answer questions by their labels, written with underscores; a select takes its words, a quantity `number unit`."""
    for label, answer in answers.items():
        words = label.replace("_", " ")
        field = page.locator("#entry").get_by_label(re.compile(f"^{words}( wanted)?$"))
        field = field.first if field.count() else page.locator("#entry").get_by_label(re.compile(f"^{words}")).first
        if field.evaluate("field => field.tagName") == "SELECT":
            field.select_option(label=answer)
            continue
        unit = field.locator("xpath=following-sibling::select")
        number, _, rest = answer.rpartition(" ")
        if unit.count():
            field.fill(number)
            unit.select_option(rest)
        else:
            field.fill(answer)


def save(page: Page) -> None:
    """Save, and be on the page that comes after it."""
    before = page.url
    page.get_by_role("button", name="Save", exact=True).click()
    page.wait_for_function("url => location.href !== url || document.getElementById('said')?.textContent", arg=before)
    page.wait_for_load_state()
    assert page.url != before, page.locator(".attention").all_inner_texts()


def enter(page: Page, heading: str, single: str) -> None:
    """From the build's page to the form for a record of a list."""
    page.locator("summary", has_text=heading).first.click()
    page.get_by_role("link", name=f"Enter a {single}", exact=True).click()


def part(page: Page, kind: str, **answers: str) -> None:
    """Enter a part of a kind."""
    unfold(page, "Parts", "part")
    page.get_by_label("Kind of part").select_option(label=kind)
    page.get_by_role("button", name="Go on").click()
    fill(page, **answers)
    save(page)


def unfold(page: Page, heading: str, single: str) -> None:
    """The same from wherever saving has led to, with the list open or not."""
    link = page.get_by_role("link", name=f"Enter a {single}", exact=True)
    if not link.is_visible():
        page.locator("summary", has_text=heading).first.click()
    link.click()


def stated(page: Page, heading: str, single: str, subject: str, field: str, **answers: str) -> None:
    """Enter a specification or measurement by subject and field."""
    unfold(page, heading, single)
    page.get_by_label("Part or area of the car").select_option(label=subject)
    page.get_by_role("button", name="Go on").click()
    page.get_by_role("row", name=field).get_by_role("link").first.click()
    fill(page, **answers)
    save(page)


def picture(words: str) -> bytes:
    """A photograph that somebody might have taken."""
    made = Image.new("RGB", (1600, 1200), "#7f8b94")
    ImageDraw.Draw(made).text((80, 80), words, fill="white", font_size=90)
    kept = io.BytesIO()
    made.save(kept, "JPEG", quality=90)
    return kept.getvalue()


def test_from_the_first_part_to_the_delivered_book(browser: Browser, shop: Shop, tmp_path: Path) -> None:
    with phone(browser, shop, DESK) as context:
        page = context.new_page()
        page.goto("/")
        page.get_by_role("link", name="Add the first car").click()
        fill(page, Model_year="1968", Make="Corvane", Model="Hallmere", Body="coupe", Serial_number="CH-20417", Owner="Wenna Tolliver", How_to_reach="by letter")
        save(page)
        fill(page, What_this_build="Hallmere coupe for long roads", Use="touring", Opened_on="2026-03-02", Promised_for="2026-12-18")
        save(page)
        expect(page.get_by_role("heading", level=1)).to_have_text("1968 Corvane Hallmere")
        build = page.url.partition("/desk/builds/")[2].partition("#")[0]

        part(page, "engine", What_it_is_called="inline six", Maker="Dunmorrow", Part_number="D-250")
        part(page, "transmission", What_it_is_called="five-speed", Maker="Orlick", Part_number="O-5")
        part(page, "driveshaft", What_it_is_called="two-joint shaft", Joint_center="52 3/4 in", Tube_outside="3 in", Tube_wall="0.083 in")
        part(page, "Brake booster", It_is="ordered")
        stated(page, "Specifications", "specification", "car", "Mass as driven", Mass="3150 lb", Where_it_comes_from="estimate")
        stated(page, "Measurements", "measurement", "driveline measurements", "Slope of the shaft", Slope="2.4 deg", Instrument="digital level", Taken_by="Ansel")
        stated(page, "Measurements", "measurement", "driveline measurements", "Slope of the shaft", Slope="2.1 deg", Instrument="digital level", Taken_by="Ansel")

        unfold(page, "Steps of the plan", "step")
        fill(page, What_is_to_be_done="Set the driveline angles", System="Driveline", How_long="3 h")
        page.get_by_label("two-joint shaft").check()
        save(page)
        unfold(page, "Fixes", "fix")
        fill(page, What_is_wrong="Shudder on pulling away", System="Driveline", What_was_seen="shakes at 15 mph", Cause="angles apart", What_was_done="shim under the mount",
             It_is="mended")
        ticks = page.locator("[data-name=before]").get_by_role("checkbox")
        expect(ticks).to_have_count(2)
        ticks.last.check()
        page.locator("[data-name=after]").get_by_role("checkbox").first.check()
        save(page)
        unfold(page, "Joints and torques", "joint")
        fill(page, Joint="driveshaft rear flange", System="Driveline", Thread="3/8-24", Specified_torque="45 lb·ft", Applied_torque="45 lb·ft", Tighten_again="500 mi", Looked="2026-03-20T10:00")
        save(page)
        unfold(page, "Drives", "drive")
        fill(page, How_far="14 mi", Driven_by="Ansel", What_was_noticed="no shudder")
        save(page)
        unfold(page, "Photographs", "photograph")
        page.locator("[type=file]").set_input_files([{"name": "shim.jpg", "mimeType": "image/jpeg", "buffer": picture("the shim")},
                                                     {"name": "shaft.jpg", "mimeType": "image/jpeg", "buffer": picture("the shaft")}])
        fill(page, What_to_see="the shim under the mount")
        save(page)
        expect(page.locator("summary", has_text="Photographs")).to_have_text("Photographs (2)")
        unfold(page, "Papers", "paper")
        page.locator("[type=file]").set_input_files([{"name": "weights.jpg", "mimeType": "image/jpeg", "buffer": picture("weigh slip")}])
        fill(page, What_it_is="weigh slip", Kind="weight slip", Goes="to the owner, with the book")
        save(page)
        while page.get_by_role("link", name="sign", exact=True).count():
            page.get_by_role("link", name="sign", exact=True).first.click()
            fill(page, Name="Petra Lindqvay", Role="owner of the shop", Statement="looked at and found good")
            save(page)
        for name, many in {"parts": 4, "specs": 1, "measurements": 2, "tasks": 1, "fixes": 1, "fasteners": 1, "drives": 1, "signoffs": len(TITLES), "photos": 2, "papers": 1}.items():
            assert len(requests.get(f"{shop.where}/builds/{build}/{name}", timeout=30).json()) == many, name

        page.get_by_role("button", name="Make the book").click()
        look = page.get_by_role("link", name="Look at it")
        expect(look).to_be_visible(timeout=BOOK_PATIENCE)
        with page.expect_download() as packet:
            page.get_by_role("link", name="packet").click()
        packet.value.save_as(tmp_path / "packet.zip")
        assert (tmp_path / "packet.zip").stat().st_size > 100_000
        pdf = requests.get(shop.origin + str(page.get_by_role("link", name="PDF", exact=True).get_attribute("href")), timeout=60)
        text = "\n".join(one.extract_text() for one in pypdf.PdfReader(io.BytesIO(pdf.content)).pages)
        for words in ("Corvane", "Hallmere", "Wenna Tolliver", "Shudder on pulling away", "driveshaft rear flange", "Petra Lindqvay", "Orlick"):
            assert words in text, words
        page.get_by_role("link", name="Change the build").click()
        fill(page, Handed_over="2026-12-17")
        save(page)
        expect(page.locator("dl.head")).to_contain_text("December 17, 2026")
        page.goto("/desk/")
        expect(page.get_by_role("heading", name="Handed over")).to_be_visible()
        page.get_by_role("link", name="1968 Corvane Hallmere").click()
        page.get_by_role("link", name="Look at it").click()
        expect(page.locator("body")).to_contain_text("Corvane Hallmere")
