"""All cars of a shop on one page, and a search over all of them. Each car's own site stands in its folder (`cards`)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path
from typing import Any

from reports import photos as darkroom
from reports import typography
from reports.site import search
from reports.site.search import Entry
from reports.site.write import write_style
from reports.theme import Theme


@dataclass(frozen=True, slots=True)
class Shown:
    """A car on the page: its newest card with the folder of its site, and those of earlier visits."""

    anchor: str
    place: str
    card: Mapping[str, Any]
    earlier: tuple[tuple[str, Mapping[str, Any]], ...]


def write(cards: Mapping[str, Mapping[str, Any]], theme: Theme, out: Path) -> None:
    """Write the page of all cars and their search below `out`, from each site's card by the folder it stands in (`cars/CAR/BUILD`)."""
    out.mkdir(parents=True, exist_ok=True)
    shown = list(_shown(cards))
    environment = theme.environment(lambda section, anchor: "index.html", medium="site", photo_folder="photos", title=_title(theme))
    write_style(theme, out)
    years = [(year, list(group)) for year, group in groupby(shown, key=lambda one: typography.year(one.card["delivered_on"]))]
    for file, values in (("index", {"years": years, "count": len(shown), "books": len(cards)}), ("search", {"count": len(shown)})):
        page = environment.get_template(f"cars/{file}.html").render(values)
        (out / f"{file}.html").write_text(theme.painted(page), encoding="utf-8")
    (out / "search-index.js").write_text(search.script(_entries(cards)), encoding="ascii")
    if theme.shop and theme.shop.logo:
        (out / "photos").mkdir(exist_ok=True)
        darkroom.logo(theme.shop.logo, out / "photos" / theme.shop.logo_file)


def _title(theme: Theme) -> str:
    return f"Cars of {theme.shop.name}" if theme.shop else "Cars handed over"


def _shown(cards: Mapping[str, Mapping[str, Any]]) -> Iterator[Shown]:
    """Each car once, by its newest visit, the newest first; cars of one day by name."""
    newest = sorted(cards.items(), key=lambda item: (item[1]["name"], item[0]))
    newest.sort(key=lambda item: item[1]["delivered_on"], reverse=True)
    cars: dict[str, list[tuple[str, Mapping[str, Any]]]] = {}
    for place, one in newest:
        cars.setdefault(place.rpartition("/")[0], []).append((place, one))
    for folder, visits in cars.items():
        yield Shown(f"car-{folder.rpartition('/')[2]}", *visits[0], tuple(visits[1:]))


def _entries(cards: Mapping[str, Mapping[str, Any]]) -> Iterable[Entry]:
    """The words of all cars: each entry says of which car it is."""
    visits = Counter(place.rpartition("/")[0] for place in cards)
    for place, one in sorted(cards.items()):
        again = visits[place.rpartition("/")[0]] > 1
        name = f"{one['name']}, {typography.year(one['delivered_on'])}" if again else one["name"]
        for href, title, where, text in one["entries"]:
            of = where if href == "index.html" else " · ".join(filter(None, (name, where)))
            yield f"{place}/{href}", title, of, text
