"""A theme: a folder of templates and styles with a small manifest, which may extend another theme."""

from __future__ import annotations

import json
from collections.abc import Callable
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
VENDOR = THEMES / "vendor"
DEFAULT = "notebook"


@dataclass(frozen=True, slots=True)
class Theme:
    """A theme's folders, the theme itself first, then what it extends; and its accent color."""

    folders: tuple[Path, ...]
    accent: str

    @classmethod
    def load(cls, name: str = DEFAULT) -> Theme:
        """Read the manifests; FileNotFoundError names a theme that is not there."""
        folders: list[Path] = []
        accent = ""
        following: str | None = name
        while following:
            folder = THEMES / following
            manifest = json.loads((folder / "theme.json").read_text(encoding="utf-8"))
            folders.append(folder)
            accent = accent or manifest.get("accent") or ""
            following = manifest.get("extends")
        return cls(tuple(folders), accent)

    def style(self, file: str) -> str:
        """A stylesheet: that of the theme extended first, then what this theme adds."""
        sheets = [folder / file for folder in reversed(self.folders) if (folder / file).is_file()]
        return "\n".join(sheet.read_text(encoding="utf-8") for sheet in sheets)

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
        environment.globals |= {"href": href, "mark": mark, "svg": Markup, **extra}
        return environment
