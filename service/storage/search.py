"""Finding cars, builds and records by their words: one way to ask, one adapter for each kind of database."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Row, bindparam, cast, column, delete, func, insert, select, table, text
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.dialects.postgresql import TSQUERY

from service.storage.models import Entry, Revision, Word, table_of
from service.storage.near import LAST, near
from service.storage.prepared import Prepared
from service.storage.things import Where
from service.storage.words import LONGEST, SEARCHED, of, words

_TABLE, _WORDS, _REVISION = table_of(Entry), table_of(Word), table_of(Revision)
_MOST_WORDS = 12
#: A beginning of so many words at most is looked for as these words.
_FEW = 16
_BEGUN = Prepared(select(_WORDS.c.word).where(_WORDS.c.word >= bindparam("first"), _WORDS.c.word < bindparam("last")).order_by(_WORDS.c.word).limit(_FEW + 1),
                  ["first", "last"])
#: The two parts of what is found, in this order: with every word as it was typed, and with slips forgiven.
AS_TYPED, NEAR = 0, 1


@dataclass(frozen=True, slots=True)
class Asked:
    """What is searched for: each item's ways of being met, any of which will do; all items have to be.

    A way is a set of terms that an entry has all of; a term that ends in `*` is the beginning of a word.
    """

    items: tuple[tuple[tuple[str, ...], ...], ...]

    def terms(self) -> list[str]:
        """Every term, without the star."""
        return [term.rstrip("*") for ways in self.items for way in ways for term in way]


def note_all(connection: Connection, things: Iterable[tuple[Where, Mapping[str, Any]]]) -> None:
    """Make new things findable. One that has no words to be found by costs nothing."""
    entries, known = [], set()
    for where, body in things:
        found = of(where.list, body)
        if found:
            entries.append({"scope": where.scope, "list": where.list, "id": where.id, "car": where.car, "words": " ".join([_list_word(where.list), *found])})
            known.update(found)
    if entries:
        connection.execute(insert(_TABLE), entries)
        kinds: Any = sqlite if connection.dialect.name == "sqlite" else postgresql
        # In one order, so that two transactions never wait for each other's words crosswise.
        connection.execute(kinds.insert(_WORDS).on_conflict_do_nothing(), [{"word": word, "plain": word.isalpha()} for word in sorted(known)])


def note(connection: Connection, where: Where, body: Mapping[str, Any]) -> None:
    """Make a thing findable as it is now."""
    forget(connection, where)
    note_all(connection, [(where, body)])


def forget(connection: Connection, where: Where) -> None:
    """Make a thing no longer findable."""
    if where.list in SEARCHED:
        connection.execute(delete(_TABLE).where(_TABLE.c.scope == where.scope, _TABLE.c.id == where.id))


def asked(query: str) -> Asked:
    """What a typed query asks for, word by word; a code is met with its dashes or without.

    >>> asked("shim HS-55").items
    ((('shim*',),), (('hs*', '55*'), ('hs55*',)))
    """
    items: list[tuple[tuple[str, ...], ...]] = []
    for typed in query.split():
        own = words(typed)
        if own:
            apart = tuple(f"{word}*" for word in own)
            items.append((apart, (f"{''.join(own)[:LONGEST]}*",)) if len(own) > 1 else (apart,))
    return Asked(tuple(items[:_MOST_WORDS]))


def forgiving(connection: Connection, strict: Asked) -> Asked:
    """The same with slips forgiven."""
    return Asked(tuple(tuple(dict.fromkeys(_forgiven(connection, ways))) for ways in strict.items))


def _forgiven(connection: Connection, ways: Iterable[tuple[str, ...]]) -> Iterable[tuple[str, ...]]:
    for way in ways:
        yield way
        for index, term in enumerate(way):
            for other in near(connection, term.rstrip("*")):
                yield (*way[:index], other, *way[index + 1:])


def found(connection: Connection, query: str, only: str | None = None, limit: int = 50,
          after: tuple[int, int] | None = None) -> tuple[Sequence[tuple[int, Row[Any]]], Asked]:
    """Entries that have every word of the query, each with its part and its current body, and what was asked for in the end.

    First those that have the words as typed, then those near to them; in both, what was changed last comes first. `after` is
    part and number of an earlier page's last entry.
    """
    strict = asked(query)
    if not strict.items:
        return [], strict
    part, before = after or (AS_TYPED, None)
    met = [(AS_TYPED, row) for row in rows(connection, strict, None, only, limit, before)] if part == AS_TYPED else []
    if len(met) >= limit:
        return met, strict
    loose = forgiving(connection, strict)
    if loose != strict:
        met += [(NEAR, row) for row in rows(connection, loose, strict, only, limit - len(met), before if part == NEAR else None)]
    return met, loose


def rows(connection: Connection, want: Asked, unlike: Asked | None, only: str | None, limit: int, before: int | None) -> Sequence[Row[Any]]:
    """Entries that meet `want` and not `unlike`, of one list only if it is named, last changed first, each with its current body."""
    search = _on_sqlite if connection.dialect.name == "sqlite" else _on_postgresql
    want, unlike = _spelled(connection, want), _spelled(connection, unlike) if unlike else None
    if not all(want.items):
        return []
    wanted = search(want, unlike if unlike and all(unlike.items) else None, only, before).limit(limit).subquery()
    current = (_REVISION.c.scope == wanted.c.scope) & (_REVISION.c.id == wanted.c.id) & _REVISION.c.current
    joined = select(wanted, _REVISION.c.body, _REVISION.c.at, _REVISION.c.place).join(_REVISION, current)
    return connection.execute(joined.order_by(wanted.c.number.desc())).all()


def _spelled(connection: Connection, given: Asked) -> Asked:
    """The same with the kept words in place of beginnings, where they are few: an index goes through the entries of a word
    from the last on and stops when it has enough, but has to collect all those of a beginning first. A way that no word
    meets is left out."""
    known = {term: _words_of(connection, term) for ways in given.items for way in ways for term in way}
    return Asked(tuple(tuple(tuple(known[term] for term in way) for way in ways if all(known[term] for term in way)) for ways in given.items))


def _words_of(connection: Connection, term: str) -> str:
    """A term as kept words, separated by blanks; itself when it begins too many."""
    if not term.endswith("*"):
        return term
    found = _BEGUN.all(connection, {"first": term[:-1], "last": term[:-1] + LAST})
    return " ".join(row[0] for row in found) if len(found) <= _FEW else term


def _list_word(name: str) -> str:
    """A word that every entry of a list has and nobody types, so that the index does the choosing."""
    return f"0list0{name}0"


def _expression(want: Asked, signs: tuple[str, str, str, str], only: str | None) -> str:
    """A full-text expression; `signs` are those for and, or, the beginning of a word, and around a word."""
    both, either, begins, quote = signs

    def term(given: str) -> str:
        one_of = [f"{quote}{word.rstrip('*')}{quote}{begins if word.endswith('*') else ''}" for word in given.split()]
        return f"({f' {either} '.join(one_of)})" if len(one_of) > 1 else one_of[0]

    items = [f" {either} ".join(f"({f' {both} '.join(term(one) for one in way)})" for way in ways) for ways in want.items]
    return f" {both} ".join([*(f"({item})" for item in items), *([term(_list_word(only))] if only else [])])


def _on_sqlite(want: Asked, unlike: Asked | None, only: str | None, before: int | None) -> Any:
    signs = ("AND", "OR", "*", '"')
    index = table("entry_words", column("rowid"))
    wanted = select(_TABLE).join(index, index.c.rowid == _TABLE.c.number).order_by(index.c.rowid.desc())
    if before is not None:
        wanted = wanted.where(index.c.rowid < before)
    match = f"({_expression(want, signs, only)})" + (f" NOT ({_expression(unlike, signs, None)})" if unlike else "")
    return wanted.where(text("entry_words MATCH :asked").bindparams(asked=match))


def _on_postgresql(want: Asked, unlike: Asked | None, only: str | None, before: int | None) -> Any:
    signs = ("&", "|", ":*", "'")
    match = f"({_expression(want, signs, only)})" + (f" & !({_expression(unlike, signs, None)})" if unlike else "")
    vector = func.array_to_tsvector(func.string_to_array(_TABLE.c.words, text("' '")))
    # Not by the bare number: the planner would go through all entries from the last on, hoping to meet enough on the way.
    wanted = select(_TABLE).order_by((_TABLE.c.number + 0).desc()).where(vector.op("@@")(cast(match, TSQUERY)))
    return wanted.where(_TABLE.c.number < before) if before is not None else wanted
