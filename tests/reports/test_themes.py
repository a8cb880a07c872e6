"""Themes: folders that extend one another, in colors of their own; the shop's name, logo and colors from one file."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from pypdf import PdfReader

from reports import theme
from reports.book import Book, make
from reports.theme import BadTheme, Theme
from tests.reports import sample


def file(folder: Path, **shop: Any) -> Path:
    out = folder / "shop.json"
    out.write_text(json.dumps({"name": "Wharf End Works", **shop}), encoding="utf-8")
    return out


def bound(folder: Path, photos: Path, **options: Any) -> Book:
    return make(sample.document(), sample.ANSWER, sample.VOCABULARY, photos, folder / "out", **options)


def test_two_themes_come_along_and_one_extends_the_other() -> None:
    assert theme.names() == ["drawing-office", "notebook"]
    assert [folder.name for folder in Theme.load("drawing-office").folders] == ["drawing-office", "notebook"]


def relative_luminance(color: str) -> float:
    """Of a color in sRGB: WCAG 2.2, definition of relative luminance."""
    def linear(part: float) -> float:
        return part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4

    red, green, blue = (linear(int(color[start:start + 2], 16) / 255) for start in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("name", theme.names())
@pytest.mark.parametrize(("text", "paper"), [("ink", "paper"), ("gray", "paper"), ("screen_gray", "paper"), ("accent", "paper"), ("dark_ink", "dark_paper"),
                                             ("dark_gray", "dark_paper"), ("dark_accent", "dark_paper")])
def test_text_of_every_theme_can_be_read(name: str, text: str, paper: str) -> None:
    """WCAG 2.2, success criterion 1.4.3: a contrast of at least 4.5 to 1."""
    colors = theme.PALETTE | dict(Theme.load(name).colors)
    high, low = sorted((relative_luminance(colors[text]), relative_luminance(colors[paper])), reverse=True)
    assert (high + 0.05) / (low + 0.05) >= 4.5


def test_every_color_of_the_styles_is_in_the_palette() -> None:

    for name in ("base.css", "print.css", "site.css"):
        used = set(re.findall(r"#[0-9a-f]{6}\b", (theme.THEMES / "notebook" / name).read_text(encoding="utf-8")))
        assert used <= {*theme.PALETTE.values(), "#4a4d52", "#ffffff"}, name


def test_the_other_theme_makes_another_book(tmp_path: Path, photos: Path) -> None:
    made = bound(tmp_path, photos, theme="drawing-office")
    assert made.site
    assert made.pdf
    style = (made.site.parent / "style.css").read_text(encoding="utf-8")
    assert "#1f5478" in style
    assert "#8f3b24" not in style
    page = (made.site.parent / "check-driveline-joint-angles.html").read_text(encoding="utf-8")
    assert '="#8f3b24"' not in page
    assert '="#1f5478"' in page
    assert len(PdfReader(made.pdf).pages) == made.pages


def test_a_theme_of_ones_own_extends_one_that_comes_along(tmp_path: Path, photos: Path) -> None:
    own = tmp_path / "ours"
    own.mkdir()
    (own / "theme.json").write_text('{"title": "Ours", "extends": "notebook", "colors": {"accent": "#335533"}}')
    (own / "site.css").write_text("h1 { color: #8f3b24 }")
    made = bound(tmp_path, photos, theme=str(own), pdf=False)
    assert made.site
    assert (made.site.parent / "style.css").read_text(encoding="utf-8").rstrip().endswith("h1 { color: #335533 }")


def test_the_shop_is_named_in_book_and_site_with_its_logo(tmp_path: Path, photos: Path) -> None:
    exif = Image.Exif()
    exif[0x010F] = "Camera Of Somebody"
    Image.new("RGB", (900, 300), (20, 30, 40)).save(tmp_path / "mark.jpg", exif=exif)
    shop = file(tmp_path, lines=["Wharf End <3>", "by telephone"], logo="mark.jpg", colors={"accent": "#224466"})
    made = bound(tmp_path, photos, shop=shop)
    assert made.site
    assert made.pdf
    page = made.site.read_text(encoding="utf-8")
    assert "Wharf End Works<br>Wharf End &lt;3&gt;<br>by telephone" in page
    assert 'src="photos/shop-logo.jpg"' in page
    assert "#224466" in (made.site.parent / "style.css").read_text(encoding="utf-8")
    logo = made.site.parent / "photos" / "shop-logo.jpg"
    with Image.open(logo) as image:
        assert (image.size, len(image.getexif())) == ((600, 200), 0)
    assert "Wharf End Works" in PdfReader(made.pdf).pages[1].extract_text()


def test_a_recorded_text_that_looks_like_a_color_stays(tmp_path: Path, photos: Path) -> None:
    document = sample.document()
    document["parts"][0]["notes"] = 'Paint fill="#8f3b24" and #8f3b24.'
    made = make(document, sample.ANSWER, sample.VOCABULARY, photos, tmp_path / "out", theme="drawing-office", pdf=False)
    assert made.site
    assert "Paint fill=&#34;#8f3b24&#34; and #8f3b24." in (made.site.parent / "system-suspension.html").read_text(encoding="utf-8")


@pytest.mark.parametrize(("shop", "says"), [({"name": " "}, "needs a name"), ({"lines": "one"}, "lines"), ({"lines": [1]}, "lines"), ({"slogan": "x"}, "unknown key 'slogan'"),
                                            ({"colors": {"accent": "red"}}, "write it like #8f3b24"), ({"colors": {"chrome": "#000000"}}, "unknown color 'chrome'"),
                                            ({"colors": []}, "colors is an object"), ({"logo": "../lost.png"}, "is not there"), ({"logo": "shop.json"}, "none of .svg")])
def test_a_shops_file_says_what_is_wrong_with_it(tmp_path: Path, shop: dict[str, Any], says: str) -> None:
    with pytest.raises(BadTheme, match=says):
        Theme.load(shop=file(tmp_path, **shop))


@pytest.mark.parametrize("text", ["", "[]", "{", "\xff"])
def test_a_file_that_is_no_object_is_refused(tmp_path: Path, text: str) -> None:
    (tmp_path / "shop.json").write_bytes(text.encode("latin-1"))
    with pytest.raises(BadTheme, match=r"shop\.json"):
        Theme.load(shop=tmp_path / "shop.json")


def test_a_theme_that_is_not_there_is_refused_with_those_that_are(tmp_path: Path, photos: Path) -> None:
    with pytest.raises(BadTheme, match="'chrome' is none of drawing-office, notebook"):
        bound(tmp_path, photos, theme="chrome")
    assert not (tmp_path / "out").exists()


def test_a_theme_may_not_extend_itself(tmp_path: Path) -> None:
    for name, other in (("one", "two"), ("two", "one")):
        (tmp_path / name).mkdir()
        (tmp_path / name / "theme.json").write_text(json.dumps({"title": name, "extends": other}))
    with pytest.raises(BadTheme, match="extends itself"):
        Theme.load(str(tmp_path / "one"))


def test_a_logo_that_is_no_picture_leaves_nothing_behind(tmp_path: Path, photos: Path) -> None:
    (tmp_path / "mark.png").write_text("no picture")
    with pytest.raises(BadTheme, match="no picture"):
        bound(tmp_path, photos, shop=file(tmp_path, logo="mark.png"))
    assert not (tmp_path / "out").exists()
