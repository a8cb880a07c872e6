"""Finding cars, builds, parts and fixes by words, part numbers and serials: one adapter for each kind of database."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, Row, column, delete, func, insert, select, table, text
from sqlalchemy.dialects.postgresql import TSQUERY

from service.storage.models import Entry, table_of
from service.storage.things import Where

_TABLE = table_of(Entry)
_WORD = re.compile(r"[^\W_]+", re.UNICODE)
#: What is searched of each list, in words; keys in `_CODES` are also found written without their dashes and dots.
SEARCHED: Mapping[str, tuple[str, ...]] = {
    "cars": ("make", "model", "year", "body", "serial", "vin", "color"),
    "builds": ("title", "use", "notes"),
    "parts": ("kind", "position", "name", "maker", "part_number", "serial", "supplier", "order_as", "notes"),
    "fixes": ("title", "problem", "cause", "remedy", "next_mechanic"),
}
_CODES = frozenset({"serial", "vin", "part_number"})
_MOST_WORDS = 12


def words(raw: str) -> list[str]:
    """The words of a text, folded so that case, accents and dashes make no difference.

    >>> words("Tröge HS-5540/C")
    ['troge', 'hs', '5540', 'c']
    """
    folded = "".join(letter for letter in unicodedata.normalize("NFKD", raw.casefold()) if not unicodedata.combining(letter))
    return _WORD.findall(folded)


def _searched(name: str, body: Mapping[str, Any]) -> Iterator[str]:
    yield _list_word(name)
    for key in SEARCHED[name]:
        value = body.get(key)
        if isinstance(value, (str, int)) and not isinstance(value, bool):
            found = words(str(value).replace("_", " "))
            yield from found
            if key in _CODES and len(found) > 1:
                yield "".join(found)
    owner = body.get("owner")
    if name == "cars" and isinstance(owner, dict) and isinstance(owner.get("name"), str):
        yield from words(owner["name"])


def note_all(connection: Connection, things: Iterable[tuple[Where, Mapping[str, Any]]]) -> None:
    """Make new things findable."""
    rows = [{"scope": where.scope, "list": where.list, "id": where.id, "car": where.car, "words": " ".join(dict.fromkeys(_searched(where.list, body)))}
            for where, body in things if where.list in SEARCHED]
    if rows:
        connection.execute(insert(_TABLE), rows)


def note(connection: Connection, where: Where, body: Mapping[str, Any]) -> None:
    """Make a thing findable as it is now."""
    forget(connection, where)
    note_all(connection, [(where, body)])


def forget(connection: Connection, where: Where) -> None:
    """Make a thing no longer findable."""
    if where.list in SEARCHED:
        connection.execute(delete(_TABLE).where(_TABLE.c.scope == where.scope, _TABLE.c.id == where.id))


def found(connection: Connection, query: str, only: str | None = None, limit: int = 50, before: int | None = None) -> Sequence[Row[Any]]:
    """Entries in which every word of the query begins a word, newest first; `before` the number of an earlier page's last."""
    asked = [f"{word}*" for word in words(query)[:_MOST_WORDS]]
    if not asked:
        return []
    if only is not None:
        asked.append(_list_word(only))
    search = _search_sqlite if connection.dialect.name == "sqlite" else _search_postgresql
    return connection.execute(search(asked, before).limit(limit)).all()


def _list_word(name: str) -> str:
    """A word that every entry of a list has and nobody types, so that the index does the choosing."""
    return f"0list0{name}0"


def _search_sqlite(asked: list[str], before: int | None) -> Any:
    index = table("entry_words", column("rowid"))
    wanted = select(_TABLE).join(index, index.c.rowid == _TABLE.c.number).order_by(index.c.rowid.desc())
    if before is not None:
        wanted = wanted.where(index.c.rowid < before)
    match = " AND ".join(f'"{word[:-1]}"*' if word.endswith("*") else f'"{word}"' for word in asked)
    return wanted.where(text("entry_words MATCH :asked").bindparams(asked=match))


def _search_postgresql(asked: list[str], before: int | None) -> Any:
    query = func.to_tsquery(text("'simple'"), " & ".join(word.replace("*", ":*") for word in asked), type_=TSQUERY)
    wanted = select(_TABLE).order_by(_TABLE.c.number.desc()).where(func.to_tsvector(text("'simple'"), _TABLE.c.words).op("@@")(query))
    return wanted.where(_TABLE.c.number < before) if before is not None else wanted
