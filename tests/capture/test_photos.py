"""Photographs arrive byte for byte as they were taken; they are made smaller only when that is asked for."""

from __future__ import annotations

import hashlib
import io

import pytest
import requests
from PIL import Image
from playwright.sync_api import BrowserContext, expect

from tests.capture.shop import Shop, go, installed, line

PATIENCE = 60_000
LONG_SIDE = 2000


@pytest.fixture(scope="module")
def picture() -> bytes:
    """A photograph as a phone's camera makes it: 12 megapixels, with the device in its Exif."""
    made = Image.effect_noise((4000, 3000), 40).convert("RGB")
    exif = Image.Exif()
    exif[0x010F] = "Invented Cameras"
    kept = io.BytesIO()
    made.save(kept, "JPEG", quality=80, exif=exif)
    return kept.getvalue()


def sent(context: BrowserContext, shop: Shop, picture: bytes, *, smaller: bool) -> bytes:
    """Send it from the phone's form; the bytes that the shop has received."""
    page = installed(context)
    go(page, "photo")
    page.locator("input[type=file]").last.set_input_files({"name": "shot.jpg", "mimeType": "image/jpeg", "buffer": picture})
    expect(page.get_by_label("as it is", exact=True)).to_be_checked()
    if smaller:
        page.get_by_label("smaller").check()
    page.locator("button.save").click()
    expect(page.get_by_role("heading", name="Arrived")).to_be_visible(timeout=PATIENCE)
    line(page).to_have_text("Nothing waiting", timeout=PATIENCE)
    photo = shop.records("photos")[-1]
    received = requests.get(f"{shop.where}/photos/{photo['id']}/received", timeout=60).content
    assert hashlib.sha256(received).hexdigest() == photo["sha256"]
    return received


def test_byte_for_byte_when_nothing_is_asked(context: BrowserContext, shop: Shop, picture: bytes) -> None:
    assert sent(context, shop, picture, smaller=False) == picture


def test_smaller_only_when_it_is_asked_for(context: BrowserContext, shop: Shop, picture: bytes) -> None:
    received = sent(context, shop, picture, smaller=True)
    assert len(received) < len(picture)
    assert Image.open(io.BytesIO(received)).size == (LONG_SIDE, LONG_SIDE * 3 // 4)


def test_what_is_small_is_left_alone(context: BrowserContext, shop: Shop) -> None:
    made = io.BytesIO()
    Image.new("RGB", (300, 200), "#887766").save(made, "JPEG", quality=30)
    assert sent(context, shop, made.getvalue(), smaller=True) == made.getvalue()
