"""Every subject's form opens, and what is usual for its fields is typed, saved and accepted."""

from __future__ import annotations

import re
from typing import Any

import requests
from playwright.sync_api import BrowserContext, Page, expect

from service.quantities import read
from service.vocabulary import KINDS
from service.vocabulary.core import CORNER_NAMES, Field, Kind, Range
from tests.capture.shop import BUILD, Shop, go, installed, line
from tests.served import LONG

#: Texts of each written form, as they stand on parts.
WRITTEN = {"thread": "M10x1.5", "tire_size": "235/75R15", "date": "2026-03-02", "date_code": "1224", "speed_symbol": "H", None: "as printed"}
PATIENCE = 600_000


def asked() -> list[tuple[Kind, Field]]:
    """One field of each subject, of every dimension in turn; all of them in the long form."""
    found = [(kind, field) for kind in KINDS.values() for field in kind.fields]
    if LONG:
        return found
    seen: set[str] = set()
    chosen: list[tuple[Kind, Field]] = []
    for kind in KINDS.values():
        fields = sorted(kind.fields, key=lambda field: field.dimension in seen)[:1]
        seen.update(field.dimension for field in fields)
        chosen += [(kind, field) for field in fields]
    missing = {field.dimension: (kind, field) for kind, field in found if field.dimension not in seen}
    return [*chosen, *missing.values()]


def position(kind: Kind, field: Field) -> str | None:
    """A place where the field can be."""
    places = kind.positions_of(field)
    if places.bare:
        return None
    return "engine_swap" if kind.name == "companion" else "bench piece" if places.label else places.names[0]


def usual(field: Field) -> tuple[str, str]:
    """A number in the middle of what is usual, and its unit."""
    if field.dimension == "wire_size":
        return "10", "AWG"
    within: Range | None = field.usual_range or field.hard_range
    assert within, field.name
    low, high = within.text.split(" ")[0].split("..")
    middle = (float(low) + float(high)) / 2
    return f"{round(middle) if field.dimension == 'integer' else round(middle, 4):g}", within.unit or "1"


def answer(page: Page, field: Field) -> Any:
    """Fill in the form of a field. Gives what the service should be sent."""
    if field.dimension in ("choice", "yes_no"):
        page.locator(".option").first.click()
        return field.choices[0] if field.choices else True
    box = page.locator("input.big")
    if field.dimension == "text":
        box.fill(WRITTEN[field.notation])
        return WRITTEN[field.notation]
    if field.dimension == "ratios":
        box.fill("2.48, 1.48, 1")
        return ["2.48", "1.48", "1"]
    number, unit = usual(field)
    box.fill(number)
    if field.dimension == "integer":
        return int(number)
    # A unit may be offered in another spelling of it.
    unit = next(item for item in (unit, unit.replace("*", "·")) if page.locator(f'.number option[value="{item}"]').count())
    page.locator(".number select").select_option(unit)
    return number if unit == "1" else f"{number} {unit}"


def test_every_form_is_accepted(context: BrowserContext, shop: Shop) -> None:
    page = installed(context)
    known = len(shop.records("measurements"))
    context.set_offline(True)
    sent: list[tuple[str, Any]] = []
    for kind, field in asked():
        fact = f"{kind.name}.{field.name}" + (f"@{position(kind, field)}" if position(kind, field) else "")
        go(page, "fact", fact)
        expect(page.locator(".over")).to_be_visible()
        expect(page.locator("input.big, .option input").first).to_be_visible()
        sent.append((fact, answer(page, field)))
        page.locator("button.save").click()
        expect(page.get_by_role("heading", name="Saved on this phone")).to_be_visible()
    context.set_offline(False)
    line(page).to_have_text("Nothing waiting", timeout=PATIENCE)
    arrived = [(item["fact"], item["value"]) for item in shop.records("measurements")[known:]]
    assert arrived == sent


MOST_TAPS = 4


class Thumb:
    """Taps, and counts them."""

    def __init__(self, page: Page) -> None:
        self.page, self.taps = page, 0

    def tap(self, name: str | re.Pattern[str]) -> None:
        """Tap a link or button."""
        self.page.get_by_role("link", name=name).or_(self.page.get_by_role("button", name=name)).first.tap()
        self.taps += 1


def test_from_the_list_to_saved_in_four_taps(context: BrowserContext, shop: Shop) -> None:
    """A corner picked on the plan: its subject found by a word, or among those measured last; and what comes next, in two taps."""
    page = installed(context)
    known = len(shop.records("measurements"))
    for at, corner in enumerate(CORNER_NAMES):
        go(page)
        thumb = Thumb(page)
        thumb.tap(re.compile("^Measure$"))
        if not at:
            page.get_by_label("Find").fill("room wheel")
        thumb.tap(re.compile("^Room around the wheel"))
        thumb.tap(re.compile(f"^Smallest gap inboard of the wheel used for measuring, {corner.replace('_', ' ')}"))
        expect(page.locator(".over")).to_have_text(f"Room around the wheel, {corner.replace('_', ' ')}")
        page.locator("input.big").fill("1 1/4")
        thumb.tap(re.compile("^Save$"))
        expect(page.get_by_role("heading", name=re.compile("Arrived|Saved"))).to_be_visible()
        assert thumb.taps <= MOST_TAPS
    go(page)
    thumb = Thumb(page)
    thumb.tap(re.compile("Scale reading of the axle .*rear"))
    page.locator("input.big").fill("2150")
    thumb.tap(re.compile("^Save$"))
    assert thumb.taps == 2
    expect(page.get_by_role("heading", name=re.compile("Arrived|Saved"))).to_be_visible()
    line(page).to_have_text("Nothing waiting", timeout=60_000)
    assert [item["fact"] for item in shop.records("measurements")[known:]] == [*(f"wheel_fit.inner_clearance@{corner}" for corner in CORNER_NAMES), "weights.axle_mass@rear"]


def test_what_is_usual_is_told_in_the_unit_chosen(context: BrowserContext) -> None:
    page = installed(context)
    go(page, "fact", "wheel_fit.inner_clearance@front_left")
    expect(page.locator(".beside")).to_contain_text("Usually 0.197 to 3.94 in.")
    page.locator(".number select").select_option("mm")
    expect(page.locator(".beside")).to_contain_text("Usually 5 to 100 mm.")


def test_fraction_keys_write_what_the_service_reads(context: BrowserContext, shop: Shop) -> None:
    page = installed(context)
    go(page, "fact", "wheel_fit.inner_clearance@front_left")
    box = page.locator("input.big")
    box.fill("1")
    for fraction, text in (("3/8", "1 3/8"), ("15/16", "1 15/16")):
        page.get_by_role("button", name=fraction, exact=True).click()
        expect(box).to_have_value(text)
        assert read(f"{text} in", "length").si > 0
    box.fill("1")
    page.get_by_role("button", name="dash").click()
    page.get_by_role("button", name="1/16", exact=True).click()
    expect(box).to_have_value("1-1/16")
    page.locator("button.save").click()
    expect(page.get_by_role("heading", name="Arrived")).to_be_visible(timeout=PATIENCE)
    assert shop.records("measurements")[-1]["value"] == "1-1/16 in"


def test_the_unit_is_remembered_for_the_field(context: BrowserContext) -> None:
    page = installed(context)
    context.set_offline(True)
    go(page, "fact", "wheel_fit.inner_clearance@rear_left")
    unit = page.locator(".number select")
    expect(unit).to_have_value("in")
    unit.select_option("mm")
    expect(page.locator(".keys")).to_be_hidden()
    page.locator("input.big").fill("31")
    page.locator("button.save").click()
    expect(page.get_by_role("heading", name="Saved on this phone")).to_be_visible()
    go(page, "fact", "wheel_fit.inner_clearance@rear_right")
    expect(page.locator(".over")).to_contain_text("rear right")
    expect(unit).to_have_value("mm")


def test_what_is_no_number_is_not_saved(context: BrowserContext) -> None:
    page = installed(context)
    go(page, "fact", "driveline.shaft_slope")
    for wrong, said in (("", "Nothing is entered yet."), ("two", "two is no number; write 1.125, 1 1/8 or 1-1/8.")):
        page.locator("input.big").fill(wrong)
        page.locator("button.save").click()
        expect(page.get_by_role("alert")).to_have_text(said)
    line(page).to_have_text("Nothing waiting")


def test_the_last_value_and_what_waits_stand_beside(context: BrowserContext, shop: Shop) -> None:
    page = installed(context)
    go(page, "fact", "weights.axle_mass@front")
    expect(page.locator(".beside")).to_contain_text("Not recorded yet.")
    expect(page.locator(".beside")).to_contain_text("Waiting for this, among them safety:")
    known = requests.get(f"{shop.origin}/capture/builds/{BUILD}", timeout=60).json()["facts"]["tire.rolling_radius@front"]
    go(page, "fact", "tire.rolling_radius@front")
    expect(page.locator(".beside")).to_contain_text(f"Last: {known}")
