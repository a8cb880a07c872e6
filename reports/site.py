"""The site: a folder of plain pages that links itself together and needs neither server nor script."""

from __future__ import annotations

import shutil
from pathlib import Path

from reports.context import Context
from reports.theme import FONTS, Theme


def write(context: Context, theme: Theme, out: Path) -> None:
    """Write index and pages, style and fonts below `out`; the photographs are already in `out/photos`."""
    out.mkdir(parents=True, exist_ok=True)
    _write_style(theme, out)
    pages = ["index.html", *(section.file for section in context.sections)]

    def href(section: str, anchor: str = "") -> str:
        page = "index.html" if section in ("cover", "index") else f"{section}.html"
        return f"{page}#{anchor}" if anchor else page

    environment = theme.environment(href, book=context, medium="site", photo_folder="photos")
    (out / "index.html").write_text(environment.get_template("index.html").render(), encoding="utf-8")
    template = environment.get_template("page.html")
    for number, section in enumerate(context.sections, 1):
        before = context.sections[number - 2] if number > 1 else None
        after = context.sections[number] if number < len(context.sections) else None
        (out / pages[number]).write_text(template.render(section=section, before=before, after=after), encoding="utf-8")


def _write_style(theme: Theme, out: Path) -> None:
    (out / "style.css").write_text("\n".join(theme.style(name) for name in ("fonts.css", "base.css", "site.css")), encoding="utf-8")
    fonts = out / "fonts"
    fonts.mkdir(exist_ok=True)
    for file in sorted(FONTS.iterdir()):
        shutil.copyfile(file, fonts / file.name)
