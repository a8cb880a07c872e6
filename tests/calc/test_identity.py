"""Identification numbers, judged by the regulation's samples and a reference library."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from vininfo import Vin

from service.calc import identity as calc

USABLE = "ABCDEFGHJKLMNPRSTUVWXYZ0123456789"
#: Year letters of 1980 to 2009, from a public table of year codes.
YEARS = dict(zip("ABCDEFGHJKLMNPRSTVWXY123456789", range(1980, 2010), strict=True))


def test_the_regulations_sample() -> None:
    """49 CFR 565.15, Table V: the products add to 411, remainder 4 (the check digit itself has weight 0)."""
    number = "1G4AH59H05G118341"
    assert sum(calc.value(character) * weight for character, weight in zip(number, calc.WEIGHTS, strict=True)) == 411
    assert calc.check_digit(number) == 4


def test_the_agencys_sample() -> None:
    """The outline for new manufacturers: the products add to 314, remainder 6."""
    number = "1J9RP1A36A1644345"
    assert sum(calc.value(character) * weight for character, weight in zip(number, calc.WEIGHTS, strict=True)) == 314
    assert calc.check_digit(number) == 6


def test_seventeen_ones() -> None:
    """The number of ones that every check digit calculator is tried with: its weights add to 89, remainder 1."""
    assert calc.check_digit("1" * 17) == 1


@given(st.text(alphabet=USABLE, min_size=17, max_size=17))
def test_check_digits_agree_with_the_library(number: str) -> None:
    digit = calc.written(calc.check_digit(number))
    assert Vin(number[:8] + digit + number[9:]).verify_checksum(check_year=False)


@given(st.text(alphabet=USABLE, min_size=17, max_size=17), st.integers(min_value=0, max_value=16), st.sampled_from(USABLE))
def test_a_changed_character_shows_unless_its_value_is_the_same(number: str, place: int, other: str) -> None:
    changed = number[:place] + other + number[place + 1:]
    same = (calc.value(other) - calc.value(number[place])) * calc.WEIGHTS[place] % 11 == 0
    assert (calc.check_digit(changed) == calc.check_digit(number)) is same


@pytest.mark.parametrize("code", YEARS)
def test_years_agree_with_a_public_table(code: str) -> None:
    assert calc.year("1G4AH59H4" + code + "G118341") == YEARS[code]
    assert calc.year("1G4AH5AH4" + code + "G118341") == YEARS[code] + 30


@pytest.mark.parametrize("code", YEARS)
def test_years_agree_with_the_library(code: str) -> None:
    number = "1G4AH59H4" + code + "G118341"
    assert calc.year(number) in Vin(number).years


@pytest.mark.parametrize("code", "UZ0")
def test_characters_that_are_no_year(code: str) -> None:
    assert calc.year("1G4AH59H4" + code + "G118341") is None


@pytest.mark.parametrize("letter", "IOQ")
def test_letters_that_are_not_used(letter: str) -> None:
    with pytest.raises(ValueError, match="not used"):
        calc.check_digit("1G4AH59H45G1" + letter + "8341")


def test_another_length_has_no_check_digit() -> None:
    with pytest.raises(ValueError, match="17"):
        calc.check_digit("1G4AH59H45G11834")
