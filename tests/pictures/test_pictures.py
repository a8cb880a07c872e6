"""Pictures: their kind by content, upright, clean, and refused when they are bombs or broken."""

from __future__ import annotations

import io

import pytest
from PIL import Image, ImageCms, ImageFile, ImageOps

from service.pictures import BadPicture, Clean, clean, media_type
from tests.pictures.made import OWNER, SERIAL, bomb, pdf, picture, pixels


def opened(content: bytes) -> Image.Image:
    return Image.open(io.BytesIO(content))


def cleaned(content: bytes) -> Clean:
    return clean(io.BytesIO(content), media_type(content[:16]) or "")


@pytest.mark.parametrize(("content", "kind"), [(picture("JPEG"), "image/jpeg"), (picture("PNG"), "image/png"), (picture("WEBP"), "image/webp"),
                                               (picture("HEIF"), "image/heic"), (pdf(), "application/pdf"), (b"GIF89a" + b"\0" * 20, None),
                                               (b"<svg/>", None), (b"", None), (b"MZ", None)],
                         ids=["jpeg", "png", "webp", "heic", "pdf", "gif", "svg", "empty", "program"])
def test_kind_by_content(content: bytes, kind: str | None) -> None:
    assert media_type(content[:16]) == kind


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "HEIF"])
def test_nothing_of_owner_place_or_camera_is_left(kind: str) -> None:
    options = {"comment": OWNER.encode()} if kind == "JPEG" else {}
    content = picture(kind, **options)
    assert OWNER.encode() in content
    for size in cleaned(content).sizes.values():
        assert OWNER.encode() not in size and SERIAL.encode() not in size
        assert not opened(size).getexif() and set(opened(size).info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


@pytest.mark.parametrize("orientation", range(1, 9))
def test_upright_as_the_reference_turns_it(orientation: int) -> None:
    content = picture("JPEG", orientation)
    found = cleaned(content)
    # Pillow's exif_transpose, which is the judge of it.
    wanted = ImageOps.exif_transpose(opened(content))
    assert (found.width, found.height) == wanted.size == opened(found.sizes["large"]).size
    for name, size in found.sizes.items():
        image = opened(size).convert("RGB")
        for place in ((0.25, 0.25), (0.75, 0.25), (0.25, 0.75), (0.75, 0.75)):
            spot = tuple(int(part * side) for part, side in zip(place, image.size, strict=True))
            same = tuple(int(part * side) for part, side in zip(place, wanted.size, strict=True))
            assert image.getpixel(spot) == pytest.approx(wanted.convert("RGB").getpixel(same), abs=12), name


@pytest.mark.parametrize(("size", "long"), [((4032, 3024), 2016), ((1200, 900), 1200), ((2900, 2000), 2000), ((8000, 6000), 2000), ((2600, 1000), 2600), ((64, 48), 64)])
@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_sizes(kind: str, size: tuple[int, int], long: int) -> None:
    found = cleaned(picture(kind, size=size))
    sides = {name: max(opened(content).size) for name, content in found.sizes.items()}
    assert abs(sides["large"] - long) <= 8 or 1600 <= sides["large"] <= 2600
    assert sides["medium"] <= 1300 and sides["small"] <= 320
    assert opened(found.sizes["large"]).width / opened(found.sizes["large"]).height == pytest.approx(size[0] / size[1], rel=0.01)


@pytest.mark.parametrize(("size", "large"), [((65000, 1), (2000, 1)), ((1, 65000), (1, 2000)), ((1, 1), (1, 1)), ((3, 2000), (3, 2000)), ((5201, 10), (2000, 4))])
def test_sizes_of_odd_shapes(size: tuple[int, int], large: tuple[int, int]) -> None:
    found = cleaned(picture(size=size))
    assert (found.width, found.height) == size
    assert opened(found.sizes["large"]).size == large
    assert all(min(opened(made).size) >= 1 for made in found.sizes.values())


@pytest.mark.parametrize("mode", ["L", "CMYK", "P", "LA", "RGBA", "1"])
def test_every_kind_of_pixels(mode: str) -> None:
    found = io.BytesIO()
    image = pixels(400, 300).quantize(16) if mode == "P" else pixels(400, 300).convert(mode)
    image.save(found, "JPEG" if mode in ("CMYK", "L") else "PNG")
    large = opened(cleaned(found.getvalue()).sizes["large"])
    wanted = image.convert("RGB")
    assert large.size == (400, 300)
    for spot in ((100, 75), (300, 225)):
        # One bit a pixel is a pattern of dots, of which only the mean can be compared.
        if mode != "1":
            assert large.getpixel(spot) == pytest.approx(wanted.getpixel(spot), abs=12)


def test_sixteen_bits_of_gray_keep_their_shade() -> None:
    found = io.BytesIO()
    Image.new("I;16", (400, 300), 0x4000).save(found, "PNG")
    assert opened(cleaned(found.getvalue()).sizes["large"]).getpixel((50, 50)) == pytest.approx((64, 64, 64), abs=2)


def test_colors_of_another_profile_become_those_of_srgb() -> None:
    # A profile whose red and blue are changed over, so that what it calls red looks blue.
    swapped = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes().replace("sRGB".encode("utf-16-be"), "mine".encode("utf-16-be")))
    for first, second in ((b"rXYZ", b"bXYZ"), (b"rTRC", b"bTRC")):
        places = swapped.index(first), swapped.index(second)
        for place, name in zip(places, (second, first), strict=True):
            swapped[place:place + 4] = name
    found = io.BytesIO()
    Image.new("RGB", (400, 300), (220, 20, 20)).save(found, "JPEG", quality=95, icc_profile=bytes(swapped))
    red, _, blue = opened(cleaned(found.getvalue()).sizes["large"]).getpixel((50, 50))
    assert (red < 60, blue > 180) == (True, True)


def test_transparency_lies_on_white() -> None:
    found = io.BytesIO()
    Image.new("RGBA", (100, 100), (0, 0, 0, 0)).save(found, "PNG")
    assert min(opened(cleaned(found.getvalue()).sizes["large"]).getpixel((50, 50))) > 250


def test_when_it_was_taken() -> None:
    assert cleaned(picture()).taken_at == "2026-03-02T14:30:00-06:00"


def test_the_first_page_of_a_paper() -> None:
    found = cleaned(pdf())
    assert (found.width / found.height) == pytest.approx(850 / 1100, rel=0.01)
    assert opened(found.sizes["large"]).getpixel((100, 100))[0] > 180


@pytest.mark.parametrize("content", [bomb(), bomb(10_000, 5_001), bomb(100, 100), picture()[:3000], picture("PNG")[:-2000], picture("WEBP")[:500],
                                     picture("HEIF")[:500], b"\xff\xd8\xff" + b"\0" * 100, pdf()[:200], b"%PDF-1.7\n"],
                         ids=["billions", "a line too many", "short", "cut jpeg", "cut png", "cut webp", "cut heic", "head", "cut pdf", "empty pdf"])
def test_bombs_and_broken_files_are_refused(content: bytes) -> None:
    with pytest.raises(BadPicture):
        cleaned(content)


def test_what_is_cut_short_is_refused_where_books_are_set(monkeypatch: pytest.MonkeyPatch) -> None:
    # As importing WeasyPrint leaves it.
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    with pytest.raises(BadPicture):
        cleaned(picture()[:3000])
