"""Identification numbers of 17 characters: check digit and model year.

Source: 49 CFR 565.15 (letters, weights, check digit, year codes; its sample gives 411, remainder 4); ISO 3779 elsewhere.
"""

from __future__ import annotations

import re

#: Value of each letter. Source: 49 CFR 565.15, Table III. I, O and Q are not used.
LETTERS = dict(zip("ABCDEFGHJKLMNPRSTUVWXYZ", (1, 2, 3, 4, 5, 6, 7, 8, 1, 2, 3, 4, 5, 7, 9, 2, 3, 4, 5, 6, 7, 8, 9), strict=True))
#: Characters that such a number is made of.
USABLE = frozenset("0123456789") | frozenset(LETTERS)
#: Weight of each position. Source: 49 CFR 565.15, Table IV.
WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
#: Characters of position 10 in order of the years from 1980 (and from 2010). Source: 49 CFR 565.15, Table VII.
YEAR_CODES = "ABCDEFGHJKLMNPRSTVWXY123456789"
FIRST_YEAR, CYCLE = 1980, 30
LENGTH, CHECK_POSITION, YEAR_POSITION, CYCLE_POSITION = 17, 8, 9, 6


def cleaned(number: str) -> str:
    """A number as it is tested: blanks and dashes (a keyboard's and a printer's) dropped, letters raised.

    >>> cleaned("1g4ah59h4 5g-118341")
    '1G4AH59H45G118341'
    """
    return re.sub(r"[\s\-‐-―]", "", number).upper()


def value(character: str) -> int:
    """A character's value: digits their own, letters by the table. ValueError for I, O, Q and what is neither.

    >>> value("R"), value("7")
    (9, 7)
    """
    if character in "0123456789":
        return int(character)
    if character in LETTERS:
        return LETTERS[character]
    raise ValueError(f"{character} is not used in an identification number")


def check_digit(number: str) -> int:
    """Weighted sum of the values modulo 11, 0 to 10 (10 is written X). ValueError unless 17 usable characters.

    >>> check_digit("1G4AH59H45G118341")
    4
    """
    if len(number) != LENGTH:
        raise ValueError("an identification number has 17 characters")
    return sum(value(character) * weight for character, weight in zip(number, WEIGHTS, strict=True)) % 11


def written(digit: int) -> str:
    """A check digit as it is written.

    >>> written(10), written(4)
    ('X', '4')
    """
    return "X" if digit == 10 else str(digit)


def year(number: str) -> int | None:
    """Model year by position 10: 1980 + index, or 2010 + index with a letter in position 7; None for a character that is no code.

    >>> year("1G4AH59H45G118341"), year("1M8GDM9AXKP042788")
    (2005, 1989)
    """
    index = YEAR_CODES.find(number[YEAR_POSITION])
    if index < 0:
        return None
    return FIRST_YEAR + index + (CYCLE if number[CYCLE_POSITION].isalpha() else 0)
