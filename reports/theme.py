"""A theme: a folder of templates and styles with a small manifest, which may extend another theme; and the shop that uses it.

`theme.json` names the theme (`title`), what it extends (`extends`) and its `colors`. A shop's own file, `shop.json`, names the
shop, its lines of address, its logo and, if it likes, colors of its own. Everything is drawn and styled in the palette below;
a theme's or shop's color takes the place of the palette's.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from reports import typography
from reports.anchors import anchor
from reports.charts.mark import mark
from reports.vocabulary import place

THEMES = Path(__file__).resolve().parent.parent / "templates" / "book"
FONTS = THEMES / "fonts"
#: The same fonts as the site's, unpacked.
PRINT_FONTS = THEMES / "fonts-print"
VENDOR = THEMES / "vendor"
DEFAULT = "notebook"
MANIFEST = "theme.json"

#: The colors that styles and drawings are written in, by what they are for.
PALETTE = {"ink": "#1c1f24", "paper": "#fcfbf8", "gray": "#6d6f73", "screen_gray": "#63656a", "pale": "#dcd9d2", "soft": "#f3f1eb", "accent": "#8f3b24",
           "dark_ink": "#e8e5dd", "dark_paper": "#16181b", "dark_gray": "#a8a69f", "dark_pale": "#383a3e", "dark_soft": "#1e2024", "dark_accent": "#e0906f"}
LOGOS = (".svg", ".png", ".jpg", ".jpeg")
_COLOR = re.compile(r"#[0-9a-f]{6}\Z")


class BadTheme(ValueError):
    """A theme or a shop's file that cannot be used, with what would be right."""


@dataclass(frozen=True, slots=True)
class Shop:
    """Who made the book: name, further lines (address, telephone), logo, colors as pairs of the palette's name and the color."""

    name: str = ""
    lines: tuple[str, ...] = ()
    logo: Path | None = None
    colors: tuple[tuple[str, str], ...] = ()

    @classmethod
    def load(cls, file: Path) -> Shop:
        """Read a shop's file; BadTheme says what is wrong with it."""
        given = _json(file)
        unknown = sorted(set(given) - {"name", "lines", "logo", "colors"})
        if unknown:
            raise BadTheme(f"{file}: unknown key {unknown[0]!r}; known are colors, lines, logo, name")
        lines = given.get("lines") or []
        if not isinstance(given.get("name"), str) or not given["name"].strip() or not _texts(lines):
            raise BadTheme(f"{file}: a shop needs a name, and its lines are a list of texts")
        return cls(given["name"], tuple(lines), _logo(file, given.get("logo")), _colors(file, given.get("colors")))

    @property
    def logo_file(self) -> str:
        """The logo's name among the book's pictures."""
        return f"shop-logo{self.logo.suffix.lower()}" if self.logo else ""


@dataclass(frozen=True, slots=True)
class Theme:
    """A theme's folders, the theme itself first, then what it extends; its colors, the shop's over its own; the shop."""

    folders: tuple[Path, ...]
    colors: tuple[tuple[str, str], ...] = ()
    shop: Shop | None = None

    @classmethod
    def load(cls, name: str = DEFAULT, shop: Path | None = None) -> Theme:
        """A theme by the name of one that comes along, or by the path of a folder; BadTheme says what is wrong."""
        folders: list[Path] = []
        colors: dict[str, str] = {}
        following: str | None = name
        while following:
            folder = _folder(following, folders[-1] if folders else None)
            if folder in folders:
                raise BadTheme(f"theme {following!r} extends itself")
            manifest = _json(folder / MANIFEST)
            folders.append(folder)
            colors = dict(_colors(folder / MANIFEST, manifest.get("colors"))) | colors
            following = manifest.get("extends")
        known = Shop.load(shop) if shop else None
        return cls(tuple(folders), tuple(sorted((colors | dict(known.colors if known else ())).items())), known)

    def style(self, file: str) -> str:
        """A stylesheet in the theme's colors: that of the theme extended first, then what this theme adds."""
        sheets = [folder / file for folder in reversed(self.folders) if (folder / file).is_file()]
        text = "\n".join(sheet.read_text(encoding="utf-8") for sheet in sheets)
        for name, color in self.colors:
            text = text.replace(PALETTE[name], color)
        return text

    def painted(self, page: str) -> str:
        """A page with its drawings in the theme's colors. Only whole attributes change: recorded text cannot hold a bare quotation mark."""
        for name, color in self.colors:
            page = page.replace(f'="{PALETTE[name]}"', f'="{color}"')
        return page

    def file(self, name: str) -> Path:
        """A file of the theme, or of the one it extends; FileNotFoundError when none has it."""
        found = next((folder / name for folder in self.folders if (folder / name).is_file()), None)
        if not found:
            raise FileNotFoundError(f"no theme of {', '.join(folder.name for folder in self.folders)} has {name}")
        return found

    def environment(self, href: Callable[[str, str], str], **extra: Any) -> Environment:
        """The templates' environment; `href(section, anchor)` is how this rendering links."""
        environment = Environment(loader=FileSystemLoader(self.folders), autoescape=True, undefined=StrictUndefined,
                                  trim_blocks=True, lstrip_blocks=True)
        environment.filters |= {"t": typography.typeset, "plain": typography.plain, "paragraphs": typography.paragraphs,
                                "date": typography.date, "named": lambda key, records: anchor(records, key), "slug": typography.slug, "words": typography.words,
                                "sentence": typography.sentence, "typed": typography.typed, "place": place}
        environment.globals |= {"href": href, "mark": mark, "svg": Markup, "shop": self.shop, **extra}
        return environment


def names() -> list[str]:
    """The themes that come along."""
    return sorted(file.parent.name for file in THEMES.glob(f"*/{MANIFEST}"))


def _texts(given: Any) -> bool:
    return isinstance(given, list) and all(isinstance(item, str) for item in given)


def _folder(name: str, beside: Path | None) -> Path:
    """A theme's folder: one that comes along, one beside the theme that extends it, or a path."""
    places = [THEMES / name if Path(name).name == name else Path(name), *([beside.parent / name] if beside else []), Path(name)]
    found = next((folder.resolve() for folder in places if (folder / MANIFEST).is_file()), None)
    if not found:
        raise BadTheme(f"theme {name!r} is none of {', '.join(names())}, nor a folder with a {MANIFEST}")
    return found


def _json(file: Path) -> Mapping[str, Any]:
    try:
        found = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError) as problem:
        raise BadTheme(f"{file} cannot be read as JSON: {problem}") from problem
    if not isinstance(found, dict):
        raise BadTheme(f"{file}: expected an object")
    return found


def _colors(file: Path, given: Any) -> tuple[tuple[str, str], ...]:
    """Colors by the palette's names, six hexadecimal digits each."""
    if given is None:
        return ()
    if not isinstance(given, dict):
        raise BadTheme(f"{file}: colors is an object such as {{\"accent\": \"{PALETTE['accent']}\"}}")
    for name, color in given.items():
        if name not in PALETTE:
            raise BadTheme(f"{file}: unknown color {name!r}; known are {', '.join(PALETTE)}")
        if not isinstance(color, str) or not _COLOR.match(color.lower()):
            raise BadTheme(f"{file}: color {name} is {color!r}; write it like {PALETTE[name]}")
    return tuple(sorted((name, color.lower()) for name, color in given.items()))


def _logo(file: Path, given: Any) -> Path | None:
    """The logo, beside the shop's file."""
    if not given:
        return None
    logo = file.parent / str(given)
    if not logo.is_file() or logo.suffix.lower() not in LOGOS:
        raise BadTheme(f"{file}: the logo {given!r} is not there, or is none of {', '.join(LOGOS)}")
    return logo
