"""The desk's forms: they ask for every key that a record has, change only what was changed, and overwrite nobody unseen."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
import requests
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page, expect

from service.document.records import KEYS, LISTS, BuildShape, CarShape
from service.vocabulary import KINDS
from service.web.desk import questions
from tests.capture.shop import BUILD, DESK, PHONE, Shop, phone

HERE = f"/desk/builds/{BUILD}"
CAR = "tarnock-stookman-1954"
FORMS = ["/desk/cars/new", f"/desk/cars/{CAR}/change", f"/desk/cars/{CAR}/builds/new", f"{HERE}/change", f"{HERE}/parts/new", f"{HERE}/parts/new?kind=anti_roll_bar",
         f"{HERE}/parts/new?kind=other", f"{HERE}/measurements/new", f"{HERE}/measurements/new?subject=wheel_fit", f"{HERE}/specs/new?subject=circuit&position=horn",
         f"{HERE}/measurements/new?fact=wheel_fit.inner_clearance@front_left", f"{HERE}/specs/new?fact=transmission.forward_ratios",
         *(f"{HERE}/{name}/new" for name in ("fixes", "fasteners", "tasks", "drives", "signoffs", "photos", "papers", "visits")),
         f"/desk/cars/{CAR}/builds/new?continues={BUILD}"]
#: Kept by the service, said by what is photographed, or taken over from an earlier build: nobody types these.
UNASKED = {"id", "file", "sha256", "photos", "came_from"}
TAKEN_OVER = {"visits": {"build", "fixes", "facts"}}


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    with Shop(tmp_path_factory.mktemp("data")) as server:
        yield server.take_in()


@pytest.fixture
def context(browser: Browser, shop: Shop) -> Iterator[BrowserContext]:
    with phone(browser, shop, DESK) as opened:
        yield opened


@pytest.mark.parametrize("name", LISTS)
def test_every_key_of_a_record_is_asked_for(name: str) -> None:
    document = {"build": {"units": "us"}, "parts": [{"id": "p", "kind": "axle"}]}
    about = {"kind": "other", "fact": "driveline.shaft_slope"}
    asked = {one.name.partition(".")[0] for one in questions.of_record(name, document, about)}
    of_kind = {one.name.partition(".")[0] for one in questions.of_record(name, document, {**about, "kind": "axle"})}
    unasked = UNASKED | TAKEN_OVER.get(name, set())
    assert asked | of_kind | unasked == set(KEYS[name]) | unasked | {"file"}


def test_every_key_of_cars_and_builds_is_asked_for() -> None:
    assert {one.name.partition(".")[0] for one in questions.of_car()} == set(CarShape().fields) - {"id"}
    assert {one.name for one in questions.of_build()} == {*BuildShape().fields, "absent"} - {"id", "continues"}


def test_every_field_of_every_kind_is_asked_for() -> None:
    document = {"build": {"units": "metric"}}
    for kind in KINDS.values():
        if questions.is_part(kind):
            asked = [one.name for one in questions.of_record("parts", document, {"kind": kind.name})]
            assert [f"specs.{field.name}" for field in kind.fields] == [name for name in asked if name.startswith("specs.")]


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_axe_finds_nothing_and_nothing_runs_over(browser: Browser, shop: Shop, size: dict[str, int]) -> None:
    with phone(browser, shop, size) as context:
        page = context.new_page()
        found: dict[str, list[str]] = {}
        for address in (*FORMS, f"{HERE}/fixes/{shop.records('fixes')[0]['id']}/change", f"{HERE}/parts/{shop.records('parts')[0]['id']}/change"):
            page.goto(address)
            expect(page.locator("h1")).to_be_visible()
            page.evaluate("for (const item of document.querySelectorAll('details')) item.open = true")
            found[address] = []
            # The same page at another width: axe-core takes its time over it.
            if size is PHONE:
                response = Axe().run(page).response
                assert response["passes"]
                found[address] = [f"{one['id']}: {one['nodes'][0]['html'][:140]}" for one in response["violations"]]
            if page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth"):
                found[address].append("runs over the edge")
        assert {address: rules for address, rules in found.items() if rules} == {}


def saved(page: Page) -> None:
    before = page.url
    page.get_by_role("button", name="Save", exact=True).click()
    page.wait_for_function("url => location.href !== url || document.getElementById('said')?.textContent", arg=before)
    assert page.url != before, page.locator(".attention").all_inner_texts()


@pytest.mark.parametrize("name", [name for name in LISTS if name not in ("photos", "papers", "specs")])
def test_saving_a_form_unchanged_changes_nothing(context: BrowserContext, shop: Shop, name: str) -> None:
    """What a record says comes back from its form as it was written, so that a change of one answer is a change of that alone."""
    page = context.new_page()
    sent: list[str] = []
    page.on("request", lambda request: sent.append(str(request.post_data)) if request.method == "PATCH" else None)
    for record in shop.records(name)[:: max(1, len(shop.records(name)) // 4)]:
        page.goto(f"{HERE}/{name}/{record['id']}/change")
        saved(page)
    assert sent == []


def test_one_answer_is_changed_and_nothing_else(context: BrowserContext, shop: Shop) -> None:
    part = next(one for one in shop.records("parts") if one.get("specs", {}) and one["kind"] == "driveshaft")
    page = context.new_page()
    page.goto(f"{HERE}/parts/{part['id']}/change")
    page.get_by_label(re.compile("^Tube outside")).fill("3 1/4 ± 0.01")
    saved(page)
    now = next(one for one in shop.records("parts") if one["id"] == part["id"])
    changed = {**part, "specs": {**part["specs"], "outer_diameter": "3 1/4 ± 0.01 in"}}
    assert now == changed


def test_two_tabs_overwrite_nobody(context: BrowserContext, shop: Shop) -> None:
    """Both open the same fix. The first saves; the second is shown what has changed, and saves its own beside it."""
    fix = shop.records("fixes")[0]
    address = f"{HERE}/fixes/{fix['id']}/change"
    one, other = context.new_page(), context.new_page()
    one.goto(address)
    other.goto(address)
    one.get_by_label("Cause").fill("the cause as the first one sees it")
    saved(one)
    other.get_by_label("For the next mechanic").fill("look here again at 3,000 miles")
    other.get_by_role("button", name="Save", exact=True).click()
    expect(other.get_by_role("heading", name="Someone else has changed this meanwhile")).to_be_visible()
    expect(other.get_by_role("row", name=re.compile("^cause"))).to_contain_text("the cause as the first one sees it")
    assert Axe().run(other).response["violations"] == []
    assert next(item for item in shop.records("fixes") if item["id"] == fix["id"])["next_mechanic"] == fix.get("next_mechanic")
    other.get_by_role("button", name="Save mine on top of it").click()
    other.wait_for_url(lambda url: not url.endswith("change"))
    now = next(item for item in shop.records("fixes") if item["id"] == fix["id"])
    assert now == {**fix, "cause": "the cause as the first one sees it", "next_mechanic": "look here again at 3,000 miles"}


def test_what_is_wrong_is_said_beside_its_question(context: BrowserContext, shop: Shop) -> None:
    page = context.new_page()
    page.goto(f"{HERE}/parts/new?kind=driveshaft")
    page.get_by_label("What it is called").fill("a second shaft")
    page.get_by_label(re.compile("^Tube outside")).fill("90000")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator("[data-name='specs.outer_diameter'] .wrong")).to_contain_text("possible")
    expect(page.get_by_label(re.compile("^Tube outside"))).to_be_focused()
    assert page.get_by_label("What it is called").input_value() == "a second shaft"
    page.goto(f"{HERE}/fixes/new")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator("[data-name=title] .wrong")).to_have_text("This is wanted.")


def test_a_record_is_taken_back_with_its_reason(context: BrowserContext, shop: Shop) -> None:
    page = context.new_page()
    page.goto(f"{HERE}/drives/new")
    page.get_by_label("What was noticed").fill("nothing: another car")
    saved(page)
    drive = shop.records("drives")[-1]
    page.goto(f"{HERE}/drives/{drive['id']}")
    page.get_by_label("Why").fill("it was another car")
    page.get_by_role("button", name="Take it back").click()
    expect(page.locator("main")).to_contain_text("it was another car. What it said is kept.")
    assert drive["id"] not in {one["id"] for one in shop.records("drives")}


def test_a_lost_answer_adds_nothing_twice(context: BrowserContext, shop: Shop) -> None:
    page = context.new_page()
    known = len(shop.records("drives"))
    lost: list[Any] = []

    def lose(route: Any) -> None:
        if route.request.method == "POST" and not lost:
            lost.append(route.fetch())
            route.abort()
        else:
            route.continue_()

    page.route("**/drives", lose)
    page.goto(f"{HERE}/drives/new")
    page.get_by_label("What was noticed").fill("pulls to the left")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator("#said")).to_contain_text("does not answer")
    saved(page)
    assert len(shop.records("drives")) == known + 1


def test_what_is_left_out_on_purpose(context: BrowserContext, shop: Shop) -> None:
    page = context.new_page()
    before = requests.get(f"{shop.where}/builds/{BUILD}", timeout=30).json()["absent"]
    page.goto(f"{HERE}/change")
    page.get_by_label("Another one").select_option(label="Brake booster")
    page.get_by_role("button", name="Add it").click()
    saved(page)
    expect(page.locator("dl.head")).to_contain_text("brake booster")
    assert requests.get(f"{shop.where}/builds/{BUILD}", timeout=30).json()["absent"] == [*before, "brake_booster"]


def test_the_keyboard_is_enough_for_a_measurement(context: BrowserContext, shop: Shop) -> None:
    """From what is next to measure to the saved number."""
    page = context.new_page()
    page.goto(HERE)
    link = page.locator("ol.next a[href*='driveline.']").first
    link.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#entry")).to_be_visible()
    known = len(shop.records("measurements"))
    page.locator("[id='q-value']").focus()
    page.keyboard.type("2.25")
    page.keyboard.press("Enter")
    page.wait_for_url(lambda url: "/new" not in url)
    assert len(shop.records("measurements")) == known + 1


def test_what_is_usual_is_told_in_the_unit_chosen(context: BrowserContext) -> None:
    page = context.new_page()
    page.goto(f"{HERE}/measurements/new?fact=wheel_fit.inner_clearance@front_left")
    expect(page.locator("#usual")).to_have_text("0.197 to 3.94 in")
    page.locator("[data-name=value] select").select_option("mm")
    expect(page.locator("#usual")).to_have_text("5 to 100 mm")
