"""Copies that can be handed out: the same picture, and nothing of owner, place or camera."""

from __future__ import annotations

import io
import struct

import pikepdf
import pytest
from PIL import Image, ImageCms, ImageOps

from service.pictures import copy, media_type
from service.pictures.color import bare as bare_profile
from tests.pictures.made import OWNER, SERIAL, exif, pdf, picture, pixels


def copied(content: bytes) -> tuple[bytes, str]:
    return copy(io.BytesIO(content), media_type(content[:16]) or "")


def opened(content: bytes) -> Image.Image:
    return Image.open(io.BytesIO(content))


def upright(content: bytes) -> bytes:
    return ImageOps.exif_transpose(opened(content)).convert("RGB").tobytes()


@pytest.mark.parametrize("orientation", [1, 6])
@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_copy_is_the_same_picture_to_the_pixel(kind: str, orientation: int) -> None:
    content = picture(kind, orientation, icc_profile=ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    made, type_ = copied(content)
    assert type_ == f"image/{kind.lower()}"
    assert upright(made) == upright(content)
    assert ImageCms.getProfileDescription(ImageCms.ImageCmsProfile(io.BytesIO(opened(made).info["icc_profile"]))).strip() == "colors of the picture"


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "HEIF"])
def test_a_copy_tells_of_nobody(kind: str) -> None:
    options = {"JPEG": {"comment": SERIAL.encode(), "xmp": OWNER.encode()}, "PNG": {}, "WEBP": {"xmp": OWNER.encode()}, "HEIF": {}}[kind]
    content = picture(kind, **options)
    assert OWNER.encode() in content
    for made in (copied(content)[0], copied(content + OWNER.encode() * 3)[0]):
        assert OWNER.encode() not in made and SERIAL.encode() not in made and b"GPS" not in made
        found = opened(made).getexif()
        assert not found.get_ifd(0x8825) and not found.get_ifd(0x8769) and set(found) <= {0x0112}


def test_a_heic_picture_is_handed_out_as_one_that_all_can_open() -> None:
    made, type_ = copied(picture("HEIF"))
    assert type_ == "image/jpeg"
    assert opened(made).size == (1200, 900)
    assert opened(made).getpixel((100, 100)) == pytest.approx(pixels().getpixel((100, 100)), abs=16)


def test_the_small_picture_inside_is_not_handed_out() -> None:
    found = exif()
    found.get_ifd(0x8769)[0x927C] = picture()
    content = picture(exif=found)
    assert content.count(b"\xff\xd8\xff") > 1
    assert copied(content)[0].count(b"\xff\xd8\xff") == 1


def test_a_profile_keeps_its_colors_and_not_its_maker() -> None:
    own = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    own[48:56] = b"SIGNHAVN"
    made = bare_profile(bytes(own))
    assert b"SIGN" not in made
    shown = pixels(64, 64)
    target = ImageCms.createProfile("LAB")
    colors = [ImageCms.applyTransform(shown, ImageCms.buildTransform(ImageCms.ImageCmsProfile(io.BytesIO(found)), target, "RGB", "LAB")).tobytes()
              for found in (bytes(own), made)]
    assert colors[0] == colors[1]
    assert struct.unpack_from(">I", made)[0] == len(made)


@pytest.mark.parametrize("profile", [b"", b"x" * 200, b"\0" * 36 + b"acsp" + b"\0" * 88 + b"\xff" * 4])
def test_what_is_no_profile_is_left_out(profile: bytes) -> None:
    assert bare_profile(profile) == b""


def test_a_paper_is_handed_out_without_author_program_and_attachment() -> None:
    document = pikepdf.open(io.BytesIO(pdf()))
    with document.open_metadata() as metadata:
        metadata["dc:creator"] = [OWNER]
    document.Root.OpenAction = pikepdf.Dictionary(S=pikepdf.Name.JavaScript, JS=f"app.alert('{OWNER}')")
    document.attachments["list.txt"] = OWNER.encode()
    # A photograph as it came, which is what programs that make papers of photographs put in.
    image = next(entry for entry in document.objects if isinstance(entry, pikepdf.Stream) and entry.get("/Subtype") == pikepdf.Name.Image)
    image.write(picture(size=(850, 1100)), filter=pikepdf.Name.DCTDecode)
    found = io.BytesIO()
    document.save(found, compress_streams=False)
    assert found.getvalue().count(OWNER.encode()) >= 3
    made, type_ = copied(found.getvalue())
    assert type_ == "application/pdf"
    with pikepdf.open(io.BytesIO(made)) as read:
        plain = io.BytesIO()
        read.save(plain, compress_streams=False, stream_decode_level=pikepdf.StreamDecodeLevel.generalized)
        assert OWNER.encode() not in plain.getvalue() and not read.attachments and "/OpenAction" not in read.Root
        assert len(read.pages) == 1
