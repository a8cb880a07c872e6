"""With the network gone, the phone killed, answers lost, the service killed: everything arrives once, in order."""

from __future__ import annotations

import io
import re
import uuid

import requests
from PIL import Image
from playwright.sync_api import BrowserContext, Page, Route, expect

from tests.capture.shop import BUILD, PICTURES, Shop, at, go, installed, line, opened
from tests.served import LONG

ENTRIES, PHOTOS = (200, 30) if LONG else (40, 6)
#: Enough for the browser to notice a network and for the phone's longest pause between two tries.
PATIENCE = 45_000
ALL_PATIENCE = 600_000 if LONG else 120_000


def save(page: Page) -> None:
    page.locator("button.save").click()
    expect(page.get_by_role("heading", name="Saved on this phone")).to_be_visible()


def test_a_day_without_network(context: BrowserContext, shop: Shop) -> None:
    """Every kind of entry made offline from the first tap on, the page closed and opened again, then the network."""
    page = installed(context)
    before = {name: len(shop.records(name)) for name in ("measurements", "parts", "fixes", "fasteners", "photos")}
    context.set_offline(True)
    page.close()
    page = opened(context)
    page.locator(".rows a").first.click()

    go(page, "fact", "driveline.shaft_slope")
    page.get_by_role("textbox").first.fill("2.4")
    save(page)
    page.get_by_role("link", name="Photograph it").click()
    page.locator("input[type=file]").last.set_input_files(PICTURES / "pickup-driveshaft-fitted.jpg")
    page.get_by_label("What to see on it").fill("level on the shaft")
    save(page)
    go(page, "part", "electrical", "lamp", "")
    page.get_by_label("What it is called").fill("work lamp")
    save(page)
    go(page, "fix", "new")
    page.get_by_label("What is wrong").fill("weeping hose at the pump")
    page.get_by_label("System").select_option("cooling")
    save(page)
    go(page, "tighten", "new")
    page.get_by_label("Joint").fill("work lamp bracket")
    page.get_by_label("Brought to", exact=True).fill("8")
    save(page)
    line(page).to_have_text("5 waiting, kept until the network is back")

    page.close()
    page = opened(context, "/capture/#/queue")
    expect(page.locator(".queue li")).to_have_count(5)
    expect(page.locator(".queue li .words")).to_have_text([
        "Driveline measurements, slope of the shaft tube: 2.4 deg", "Photograph: level on the shaft", "Lamp: work lamp", "Fix: weeping hose at the pump",
        "Work lamp bracket: 8 lb·ft"])
    context.set_offline(False)
    line(page).to_have_text("Nothing waiting", timeout=PATIENCE)
    after = {name: shop.records(name) for name in before}
    assert {name: len(found) - before[name] for name, found in after.items()} == {"measurements": 1, "parts": 1, "fixes": 1, "fasteners": 1, "photos": 1}
    assert after["measurements"][-1]["value"] == "2.4 deg"
    assert after["photos"][-1]["of"] == [after["measurements"][-1]["id"]]


def test_many_entries_through_a_bad_day(context: BrowserContext, shop: Shop) -> None:
    """The queue while the network goes and comes and the service is killed and started again."""
    page = installed(context)
    known = {name: len(shop.records(name)) for name in ("measurements", "photos")}
    context.set_offline(True)
    made = page.evaluate(_FILL, [BUILD, ENTRIES, PHOTOS])
    line(page).to_contain_text(f"{ENTRIES} waiting")
    context.set_offline(False)
    line(page).not_to_contain_text(f"{ENTRIES} waiting", timeout=PATIENCE)
    context.set_offline(True)
    page.wait_for_timeout(500)
    context.set_offline(False)
    page.wait_for_timeout(1500)
    shop.kill()
    line(page).to_contain_text("the shop’s computer does not answer", timeout=PATIENCE)
    shop.start()
    line(page).to_have_text("Nothing waiting", timeout=ALL_PATIENCE)
    for name, ids in made.items():
        assert [item["id"] for item in shop.records(name)][known[name]:] == ids, name


_FILL = """async ([build, entries, photos]) => {
  const { add } = await import("/capture/store.js");
  const made = { measurements: [], photos: [] };
  const every = Math.floor(entries / photos);
  for (let at = 0; at < entries; at++) {
    const canvas = new OffscreenCanvas(900, 700);
    const paint = canvas.getContext("2d");
    for (let dot = 0; dot < 4000; dot++) {
      paint.fillStyle = `hsl(${(at * 37 + dot) % 360} 60% ${dot % 100}%)`;
      paint.fillRect((dot * 53) % 900, (dot * 97) % 700, 30, 30);
    }
    const of = made.measurements.slice(-1);
    const isPhoto = at % every === every - 1 && made.photos.length < photos;
    const body = isPhoto ? { caption: `number ${at}`, of } : { fact: "driveline.shaft_slope", value: `${(at / 100).toFixed(2)} deg`, taken_at: new Date().toISOString() };
    const entry = await add({ build, list: isPhoto ? "photos" : "measurements", body, words: `number ${at}` }, isPhoto ? await canvas.convertToBlob({ type: "image/jpeg" }) : null);
    made[entry.list].push(entry.id);
  }
  return made;
}"""


def test_an_answer_that_was_lost(context: BrowserContext, shop: Shop) -> None:
    """The service kept it but its answer never came: it is asked again and nothing is there twice."""
    page = installed(context)
    known = len(shop.records("measurements"))
    lost: list[str] = []

    def lose(route: Route) -> None:
        if route.request.method == "POST" and not lost:
            route.fetch()
            lost.append(route.request.url)
            route.abort()
        else:
            route.continue_()

    page.route("**/measurements", lose)
    go(page, "fact", "driveline.shaft_slope")
    page.get_by_role("textbox").first.fill("2.5")
    save(page)
    expect(page.get_by_role("heading", name="Arrived")).to_be_visible(timeout=PATIENCE)
    assert lost
    assert len(shop.records("measurements")) == known + 1


def test_killed_in_the_middle_of_a_photograph(context: BrowserContext, shop: Shop) -> None:
    """The page dies while a large file is on its way: the rest is sent from where the service has it."""
    page = installed(context)
    known = len(shop.records("photos"))
    slow = context.new_cdp_session(page)
    slow.send("Network.enable")
    slow.send("Network.emulateNetworkConditions", {"offline": False, "latency": 5, "downloadThroughput": 5e6, "uploadThroughput": 600_000})
    go(page, "photo")
    page.locator("input[type=file]").last.set_input_files({"name": "large.jpg", "mimeType": "image/jpeg", "buffer": noise()})
    page.locator("button.save").click()
    line(page).to_contain_text("%", timeout=PATIENCE)
    page.close()
    assert len(shop.records("photos")) == known

    offsets: list[str] = []
    begun: list[str] = []
    context.on("request", lambda request: offsets.append(request.headers.get("upload-offset", "")) if request.method == "PATCH" else None)
    context.on("request", lambda request: begun.append(request.url) if request.method == "POST" and request.url.endswith("/uploads") else None)
    page = opened(context)
    line(page).to_have_text("Nothing waiting", timeout=PATIENCE)
    assert len(shop.records("photos")) == known + 1
    assert begun == []
    assert int(offsets[0]) > 0


def noise() -> bytes:
    """A JPEG of about 3 MB."""
    made = io.BytesIO()
    Image.effect_noise((1800, 1400), 120).save(made, "JPEG", quality=98)
    return made.getvalue()


def test_refused_mended_and_dropped(context: BrowserContext, shop: Shop) -> None:
    """What the service refuses stays with its reason; what belongs to it waits; the rest goes on."""
    page = installed(context)
    known = {name: len(shop.records(name)) for name in ("measurements", "photos")}
    context.set_offline(True)
    go(page, "fact", "driveline.shaft_slope")
    page.get_by_role("textbox").first.fill("999")
    save(page)
    page.get_by_role("link", name="Photograph it").click()
    page.locator("input[type=file]").last.set_input_files(PICTURES / "pickup-scales.jpg")
    save(page)
    go(page, "fact", "driveline.shaft_slope")
    page.get_by_role("textbox").first.fill("2.6")
    save(page)
    context.set_offline(False)
    line(page).to_contain_text("1 refused", timeout=PATIENCE)
    page.goto("/capture/#/queue")
    expect(page.locator(".queue .refused .why")).to_contain_text("outside what is physically possible")
    expect(page.locator(".queue li")).to_have_count(2)
    expect(page.locator(".queue li").nth(1)).to_contain_text("waits for the refused one")
    assert len(shop.records("measurements")) == known["measurements"] + 1

    page.get_by_role("link", name=re.compile("^Mend: Driveline")).click()
    expect(page.get_by_role("textbox").first).to_have_value("999")
    page.get_by_role("textbox").first.fill("2.7")
    page.locator("button.save").click()
    line(page).to_have_text("Nothing waiting", timeout=PATIENCE)
    measurements = shop.records("measurements")
    assert [item["value"] for item in measurements[known["measurements"]:]] == ["2.6 deg", "2.7 deg"]
    assert shop.records("photos")[-1]["of"] == [measurements[-1]["id"]]

    go(page, "fact", "driveline.shaft_slope")
    page.get_by_role("textbox").first.fill("998")
    page.locator("button.save").click()
    line(page).to_contain_text("1 refused", timeout=PATIENCE)
    page.goto("/capture/#/queue")
    page.get_by_role("button", name=re.compile("^Drop")).click()
    page.get_by_text("Drop it for good").click()
    line(page).to_have_text("Nothing waiting")
    assert len(shop.records("measurements")) == len(measurements)


def test_retightening_is_a_revision(context: BrowserContext, shop: Shop) -> None:
    page = installed(context)
    joint = shop.records("fasteners")[0]
    count = len(shop.records("fasteners"))
    go(page, "tighten", joint["id"])
    page.get_by_label("Brought to", exact=True).fill("57")
    page.locator("button.save").click()
    expect(page.get_by_role("heading", name="Arrived")).to_be_visible(timeout=PATIENCE)
    now = next(item for item in shop.records("fasteners") if item["id"] == joint["id"])
    assert now["applied_torque"] == "57 lb·ft"
    assert now["thread"] == joint["thread"]
    assert len(shop.records("fasteners")) == count
    assert len(requests.get(f"{shop.where}/builds/{BUILD}/fasteners/{joint['id']}/revisions", timeout=30).json()) == 2


def test_what_a_measurement_changes_is_said_at_once(context: BrowserContext, shop: Shop) -> None:
    """From the list of what is next to saved: one tap, the number, one tap; then the findings that it changes."""
    page = installed(context)
    page.get_by_role("link", name=re.compile("Scale reading of the axle .*front")).click()
    page.keyboard.type("2150")
    page.locator("button.save").click()
    expect(page.get_by_role("heading", name="Arrived")).to_be_visible(timeout=PATIENCE)
    expect(page.get_by_role("heading", name="What it changes")).to_be_visible(timeout=PATIENCE)
    expect(page.locator(".finding").first).to_be_visible()
    assert shop.records("measurements")[-1]["value"] == "2150 lb"
    go(page)
    expect(page.get_by_role("link", name=re.compile("Scale reading of the axle .*front"))).to_have_count(0)


def test_two_windows_send_once(context: BrowserContext, shop: Shop) -> None:
    page = installed(context)
    known = len(shop.records("measurements"))
    other = opened(context, at())
    context.set_offline(True)
    ids = page.evaluate(_FILL, [BUILD, 9, 1])["measurements"]
    line(other).to_contain_text("9 waiting")
    context.set_offline(False)
    line(page).to_have_text("Nothing waiting", timeout=PATIENCE)
    line(other).to_have_text("Nothing waiting", timeout=PATIENCE)
    assert [item["id"] for item in shop.records("measurements")][known:] == ids
    assert all(uuid.UUID(item) for item in ids)
