"""Is the identification number consistent?

A number of 17 characters carries a check digit and a code of the model year, so a slip of the pen shows. A right check
digit does not prove a number: one wrong number in eleven has one. Before 1981 makers numbered as they liked. A replica
or home-made car may carry a number that a state assigned: follow the title. Nothing here says who owns a car.
"""

from __future__ import annotations

from typing import Any

from service.calc import identity as calc
from service.checks.core import Check, Missing, Outcome, Shown, always, need, option, published

#: First model year of numbers with 17 characters. Source: 49 CFR 565.
FIRST_YEAR = 1981
#: First characters of numbers for which the check digit is obligatory: North America. Source: ISO 3780.
NORTH_AMERICA = "12345"
#: Lengths of frame numbers and numbers assigned by a state, and of serial numbers. The reference's rule.
OTHER_LENGTHS, SERIAL_LENGTHS = (5, 20), (1, 20)
MISTAKEN = {"I": "1", "O": "0", "Q": "0"}


def judge(x: Any, out: Outcome) -> None:
    """By year and kind of number."""
    if not modern(x):
        _serial(x, out)
        return
    number = calc.cleaned(given(x))
    if x.number_kind == "vin_17":
        _seventeen(x, out, number)
    else:
        low, high = SERIAL_LENGTHS if x.number_kind == "serial" else OTHER_LENGTHS
        out.must(low <= len(number) <= high, f"{_characters(number)} unusual for such a number: compare it with the plate", "caution")


def modern(x: Any) -> bool:
    """Whether the model year falls under numbers of 17 characters."""
    return bool(x.year >= FIRST_YEAR)


def _own_serial(x: Any) -> bool:
    return bool(x.number_kind != "vin_17" and x.has("serial"))


def given(x: Any) -> str:
    """The number; a serial stands for it where the record says that it is no 17-character number."""
    if x.has("vin"):
        return str(x.vin)
    if _own_serial(x):
        return str(x.serial)
    raise Missing("vin")


def _serial(x: Any, out: Outcome) -> None:
    text = x.serial if x.has("serial") else x.vin if x.has("vin") else ""
    number = calc.cleaned(text)
    out.must(bool(number), "no number is recorded: photograph the plate", "caution")
    out.must(len(number) <= SERIAL_LENGTHS[1], f"{_characters(number)} more than such a number has: compare it with the plate", "caution")


def _characters(number: str) -> str:
    return "1 character is" if len(number) == 1 else f"{len(number)} characters are"


def _seventeen(x: Any, out: Outcome, number: str) -> None:
    size, said = len(number), "number_kind" not in x.assumed
    if size != calc.LENGTH:
        near = size in (calc.LENGTH - 1, calc.LENGTH + 1)
        why = f"it has {size} characters, and 17 are wanted" if near or said else f"{size} characters: a frame number or a state-assigned number? Say which"
        out.must(False, why, "fail" if near or said else "caution")
        return
    for letter, meant in MISTAKEN.items():
        out.must(letter not in number, f"the letter {letter} is not used; {meant} was probably meant")
    strange = sorted({character for character in number if character not in calc.USABLE and character not in MISTAKEN})
    out.must(not strange, f"{' '.join(strange)} is not used in such a number")
    if not strange and not any(letter in number for letter in MISTAKEN):
        _digits(x, out, number)


def _digits(x: Any, out: Outcome, number: str) -> None:
    digit = out.value("check_digit", calc.check_digit(number))
    obligatory = number[0] in NORTH_AMERICA
    right = number[calc.CHECK_POSITION] == calc.written(digit)
    out.must(right, f"the ninth character should be {calc.written(digit)}", "fail" if obligatory else "caution", of="check_digit")
    if not right and not obligatory:
        out.remark("Outside North America the check digit is not obligatory.")
    year = _year(number, x.year, obligatory)
    if year is None:
        out.must(not obligatory, f"{number[calc.YEAR_POSITION]} is not used in position 10", "caution", of="year_from_code")
        return
    out.value("year_from_code", year)
    differs = f"its year code says {year} and the record {x.year}: model year against titled year, another body, or a slip of the pen"
    out.must(year == x.year, differs, "caution", of="year_from_code")


def _year(number: str, recorded: int, obligatory: bool) -> int | None:
    """Year by the code. Position 7 tells the two cycles apart in North America only; elsewhere the cycle that fits the record is taken."""
    year = calc.year(number)
    if year is not None and not obligatory and abs(recorded - year) == calc.CYCLE:
        return recorded
    return year


def say(s: Any) -> str:
    """The finding in words."""
    reasons = [limit.why for limit in s.limits if limit.violated and limit.of != "check_digit"]
    tail = "".join(f" {reason[:1].upper()}{reason[1:]}." for reason in reasons)
    if "check_digit" in s.v:
        digit, there = calc.written(s.v["check_digit"]), calc.cleaned(given(s.x))[calc.CHECK_POSITION]
        start = f"Check digit {there}: " + ("agrees, which one wrong number in eleven does too." if there == digit else f"should be {digit}.")
        return start + tail
    if reasons:
        return tail.strip()
    return "The number is recorded; numbers of this kind carry no check digit."


CHECK = Check(
    title="Is the identification number consistent?",
    system="identity",
    safety=False,
    applies=always,
    inputs=[
        need("car.year"),
        option("car.number_kind", default=lambda x: "vin_17" if modern(x) else "serial", why="by the model year"),
        option("car.serial"),
        need("car.vin", when=lambda x: modern(x) and not _own_serial(x)),
    ],
    values={"check_digit": Shown("check digit as computed", "dimensionless"), "year_from_code": Shown("year by its code", "dimensionless")},
    judge=judge,
    say=say,
    formula="check digit = Σ value·weight mod 11, weights 8 7 6 5 4 3 2 10 0 9 8 7 6 5 4 3 2; year by position 10, cycle by position 7",
    basis=[published("49 CFR 565.13 to 565.15 and their tables (sample: 411 mod 11 = 4)"), published("ISO 3779, ISO 3780 for other regions")],
)
