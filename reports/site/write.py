"""Writing the site: every page from its template, with style, fonts, scripts and the words to be searched."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from reports import typography
from reports.calendar import calendar
from reports.context import Context
from reports.sections.findings import TITLE as FINDINGS
from reports.site import cards, checks, fixes, linked_data, search, timeline
from reports.site.homes import Homes, check_file, fix_file
from reports.theme import FONTS, VENDOR, Theme

SCRIPTS = ("viewer.js", "search.js")


@dataclass(frozen=True, slots=True)
class Page:
    """One page: its file, title and template; `current` is the section that the contents mark, `over` the lines above the title (text, address)."""

    file: str
    title: str
    template: str
    content: Any
    current: str
    over: tuple[tuple[str, str], ...] = ()
    key: str = ""


def write(context: Context, theme: Theme, out: Path, home: str = "") -> None:
    """Write index and pages, style, fonts and scripts below `out`; the photographs are already in `out/photos`.

    With the address of a page of all cars, `home`, also what that page says of this one.
    """
    out.mkdir(parents=True, exist_ok=True)
    homes = Homes(context)
    environment = theme.environment(homes.href, book=context, medium="site", photo_folder="photos", home=homes.record,
                                    extras=_extras(context), home_of_all=home)
    write_style(theme, out)
    pages = list(_pages(context, homes))
    index = environment.get_template("index.html").render(linked_data=linked_data.script(context))
    (out / "index.html").write_text(theme.painted(index), encoding="utf-8")
    for run in (pages, list(_checks(context, homes)), list(_fixes(context))):
        _write_run(environment, theme, run, out)
    if context.has("service") and context.section("service").content.dated:
        text = calendar(context.source.document, context.section("service").content)
        (out / "service.ics").write_text(text, encoding="utf-8", newline="")
    (out / "search.html").write_text(environment.get_template("search.html").render(), encoding="utf-8")
    (out / "search-index.js").write_text(search.script(search.entries(context, homes)), encoding="ascii")
    if home:
        (out / cards.CARD).write_text(json.dumps(cards.card(context, homes), ensure_ascii=False, indent=1) + "\n", encoding="utf-8")


def _extras(context: Context) -> tuple[tuple[str, str], ...]:
    """Pages that only the site has, for the contents: key and title."""
    return (("timeline", timeline.TITLE),) if timeline.has_days(context.source) else ()


def _write_run(environment: Any, theme: Theme, pages: list[Page], out: Path) -> None:
    """Pages that are turned one to the next."""
    template = environment.get_template("page.html")
    for number, page in enumerate(pages):
        before = pages[number - 1] if number else None
        after = pages[number + 1] if number + 1 < len(pages) else None
        text = template.render(page=page, section=page, before=before, after=after)
        (out / page.file).write_text(theme.painted(text), encoding="utf-8")


def _pages(context: Context, homes: Homes) -> Iterator[Page]:
    """The book's sections in its order, then the pages that only the site has."""
    for section in context.sections:
        over = ((section.parent, ""),) if section.parent else ()
        template = f"site/{section.template}.html" if section.key == "findings" else f"sections/{section.template}.html"
        yield Page(section.file, section.title, template, section.content, section.key, over, section.key)
    if timeline.has_days(context.source):
        yield Page("timeline.html", timeline.TITLE, "site/timeline.html", timeline.build(context, homes), "timeline", (), "timeline")


def _checks(context: Context, homes: Homes) -> Iterator[Page]:
    """A page for each check, in the order of the findings."""
    for sheet in checks.build(context, homes):
        over = ((FINDINGS, "findings.html"), (sheet.system, f"findings.html#{sheet.system_anchor}"))
        yield Page(check_file(sheet.check), sheet.title, "site/check.html", sheet, "findings", over, "findings")


def _fixes(context: Context) -> Iterator[Page]:
    """A page for each fix, in the document's order."""
    if not context.has("fixes"):
        return
    for entry in context.section("fixes").content:
        over = ((context.section("fixes").title, "fixes.html"),)
        yield Page(fix_file(entry.anchor), entry.fix.title or typography.sentence(entry.system) or "A change", "site/fix.html",
                   fixes.build(context, entry), "fixes", over, entry.anchor)


def write_style(theme: Theme, out: Path) -> None:
    """Style, fonts and scripts of a site."""
    (out / "style.css").write_text("\n".join(theme.style(name) for name in ("fonts.css", "base.css", "site.css")), encoding="utf-8")
    for name, folder in (("fonts", FONTS), ("search", VENDOR / "minisearch")):
        (out / name).mkdir(exist_ok=True)
        for file in sorted(folder.iterdir()):
            shutil.copyfile(file, out / name / file.name)
    for name in SCRIPTS:
        shutil.copyfile(theme.file(name), out / name)
