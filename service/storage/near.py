"""Words that a mistyped word may have meant, out of those that are kept: the same on every database."""

from __future__ import annotations

import json
import string
from collections.abc import Iterator, Sequence

from sqlalchemy import Connection, text

#: Shorter words are taken as they are typed: nearly every one of them is near to another.
_SHORTEST, _SHORTEST_CODE, _SHORTEST_FOR_PREFIX, _SHORTEST_FOR_TWO = 4, 5, 6, 8
#: Where two slips are forgiven the first letters are right.
_RIGHT_LETTERS = 2
_MOST = 40
#: Comes after every letter: words that begin with `x` lie between `x` and `x` followed by it.
LAST = "\U0010ffff"

_FROM = {"sqlite": "SELECT c.value FROM json_each(:candidates) AS c",
         "postgresql": "SELECT c.value FROM json_array_elements_text(CAST(:candidates AS json)) WITH ORDINALITY AS c (value, key)"}
#: The first kept word from the candidate on begins with it, if any does: one step into the index, which no planner does otherwise.
_BEGINNING = "WHERE substr((SELECT word FROM word WHERE word >= c.value ORDER BY word LIMIT 1), 1, length(c.value)) = c.value ORDER BY c.key"
_WHOLE = "WHERE EXISTS (SELECT 1 FROM word WHERE word = c.value) ORDER BY c.key"
_ALIKE = text("SELECT word FROM word WHERE plain AND word >= :first AND word < :last AND length(word) BETWEEN :shortest AND :longest ORDER BY word")


def near(connection: Connection, word: str) -> list[str]:
    """What to look for besides `word`: kept words one slip away (two in long ones), and beginnings of kept words, which end in `*`.

    A slip is a letter missing, doubled, wrong, or changed over with its neighbor. A number or code is taken as it is typed
    where one like it is kept.
    """
    plain = word.isalpha()
    if len(word) < (_SHORTEST if plain else _SHORTEST_CODE) or (not plain and _kept(connection, _BEGINNING, [word])):
        return []
    if len(word) < _SHORTEST_FOR_PREFIX:
        return _kept(connection, _WHOLE, sorted(edits(word)))[:_MOST]
    found = _kept(connection, _WHOLE, [word[:-1]]) + [f"{edit}*" for edit in _kept(connection, _BEGINNING, sorted(edits(word) - {word[:-1]}))]
    if plain and len(word) >= _SHORTEST_FOR_TWO:
        found += _two_slips(connection, word)
    return found[:_MOST]


def _kept(connection: Connection, which: str, candidates: Sequence[str]) -> list[str]:
    return [row[0] for row in connection.execute(text(f"{_FROM[connection.dialect.name]} {which}"), {"candidates": json.dumps(candidates)})]


def _two_slips(connection: Connection, word: str) -> Iterator[str]:
    first = word[:_RIGHT_LETTERS]
    rows = connection.execute(_ALIKE, {"first": first, "last": first + LAST, "shortest": len(word) - 2, "longest": len(word) + 2})
    return (row.word for row in rows if slips(word, row.word, 2) == 2)


def edits(word: str) -> set[str]:
    """Every word one slip away.

    >>> {"radiator", "radiatr"} <= edits("radiatro"), len(edits("ab"))
    (True, 129)
    """
    letters = set(word) | set(string.ascii_lowercase if word.isalpha() else string.ascii_lowercase + string.digits)
    cuts = [(word[:index], word[index:]) for index in range(len(word) + 1)]
    dropped = {before + after[1:] for before, after in cuts if after}
    turned = {before + after[1] + after[0] + after[2:] for before, after in cuts if len(after) > 1}
    wrong = {before + letter + after[1:] for before, after in cuts if after for letter in letters}
    added = {before + letter + after for before, after in cuts for letter in letters}
    return (dropped | turned | wrong | added) - {word}


def slips(one: str, other: str, most: int) -> int:
    """How many slips lie between two words (optimal string alignment), or `most` + 1 when there are more.

    >>> slips("transmision", "transmission", 2), slips("gearbxo", "gearbox", 2), slips("brake", "clutch", 2)
    (1, 1, 3)
    """
    if abs(len(one) - len(other)) > most:
        return most + 1
    earlier: list[int] = []
    row = list(range(len(other) + 1))
    for index, letter in enumerate(one, 1):
        following = [index]
        for place, against in enumerate(other, 1):
            cost = min(row[place] + 1, following[place - 1] + 1, row[place - 1] + (letter != against))
            if index > 1 and place > 1 and letter == other[place - 2] and one[index - 2] == against:
                cost = min(cost, earlier[place - 2] + 1)
            following.append(cost)
        if min(following) > most:
            return most + 1
        earlier, row = row, following
    return min(row[-1], most + 1)
