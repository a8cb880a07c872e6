"""Written forms of the trade that are not quantities: threads, tire sizes, date codes, speed symbols, dates.

Each reader takes text and returns what it means in SI (or a date), or raises NotationError with an example of what
would be right. Imports nothing of the project.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

INCH = 0.0254
MM = 0.001


class NotationError(ValueError):
    """Text that is not in the written form wanted; the message shows the form."""


@dataclass(frozen=True, slots=True)
class Thread:
    """A screw thread: major diameter and pitch in m, whether it is an inch thread, whether the pitch is the fine one."""

    diameter: float
    pitch: float
    inch: bool
    fine: bool


#: Coarse pitches in mm by diameter in mm. Source: ISO 261 (compared with a handbook page and an open table).
COARSE_PITCH: Mapping[float, float] = {
    3: 0.5,
    4: 0.7,
    5: 0.8,
    6: 1,
    7: 1,
    8: 1.25,
    10: 1.5,
    11: 1.5,
    12: 1.75,
    14: 2,
    16: 2,
    18: 2.5,
    20: 2.5,
    22: 2.5,
    24: 3,
    27: 3,
    30: 3.5,
}
#: Coarse threads per inch by major diameter in inches. Source: ASME B1.1, UNC series (4-40 to 1-8 compared with an open table; above from memory).
COARSE_THREADS_PER_INCH: Mapping[float, int] = {
    0.112: 40,
    0.125: 40,
    0.138: 32,
    0.164: 32,
    0.19: 24,
    0.216: 24,
    0.25: 20,
    0.3125: 18,
    0.375: 16,
    0.4375: 14,
    0.5: 13,
    0.5625: 12,
    0.625: 11,
    0.75: 10,
    0.875: 9,
    1.0: 8,
    1.125: 7,
    1.25: 7,
    1.375: 6,
    1.5: 6,
}

_SUFFIX = r"(?:\s*(?:UNC|UNF|UNEF|UN|UNS))?(?:\s*-?\s*[123][AB])?(?:\s*-?\s*LH)?\s*\Z"
_METRIC = re.compile(r"\s*M\s*(\d{1,3}(?:\.\d{1,3})?)(?:\s*[xX×*-]\s*(\d(?:\.\d{1,3})?))?(?:\s*-?\s*[4-8][gGhH](?:[4-8][gGhH])?)?(?:\s*-?\s*LH)?\s*\Z")
_INCH = re.compile(r"\s*(?:#(\d{1,2})|(?:(\d{1,2})[ -])?(\d{1,2})/(\d{1,2})|(\d{0,2}\.\d{1,4}|\d{1,2}))\"?\s*-\s*(\d{1,2}(?:\.5)?)" + _SUFFIX, re.IGNORECASE)
_THREAD_FORM = "write a thread as M10x1.5, M10, 3/8-16, 7/16-20 or #10-24"


@lru_cache(maxsize=4096)
def thread(text: str) -> Thread:
    """Read a thread. `M10` alone is the coarse pitch; `UNF`, `-2A` and `LH` after it are accepted.

    >>> round(thread("7/16-20").diameter * 1000, 4), round(thread("M10").pitch * 1000, 2)
    (11.1125, 1.5)
    """
    if match := _METRIC.match(text):
        return _metric_thread(text, float(match[1]), match[2])
    if match := _INCH.match(text):
        return _inch_thread(text, match)
    raise NotationError(f"no thread is written {text[:40]!r}; {_THREAD_FORM}")


def _metric_thread(text: str, diameter: float, pitch_text: str | None) -> Thread:
    coarse = COARSE_PITCH.get(diameter)
    if pitch_text is None and coarse is None:
        raise NotationError(f"{text!r} needs its pitch: M{diameter:g} has no coarse pitch in the table; {_THREAD_FORM}")
    pitch = float(pitch_text) if pitch_text is not None else float(coarse or 0)
    if not 0.2 <= pitch <= 6 or pitch > diameter / 2:
        raise NotationError(f"a pitch of {pitch:g} mm does not belong to M{diameter:g}; {_THREAD_FORM}")
    return Thread(diameter * MM, pitch * MM, False, coarse is not None and pitch < coarse)


def _inch_thread(text: str, match: re.Match[str]) -> Thread:
    number, whole, numerator, denominator, decimal, per_inch = match.groups()
    if number is not None:
        diameter = 0.060 + 0.013 * int(number)
    elif numerator is not None:
        if int(denominator) not in (2, 4, 8, 16, 32, 64):
            raise NotationError(f"{text!r}: {numerator}/{denominator} is no inch size; {_THREAD_FORM}")
        diameter = int(whole or 0) + int(numerator) / int(denominator)
    else:
        diameter = float(decimal)
    threads = float(per_inch)
    if not 0.05 <= diameter <= 4 or not 4 <= threads <= 80 or threads * diameter < 3:
        raise NotationError(f"{text[:40]!r} is no thread that exists; {_THREAD_FORM}")
    coarse = COARSE_THREADS_PER_INCH.get(round(diameter, 4))
    return Thread(diameter * INCH, INCH / threads, True, coarse is not None and threads > coarse)


@dataclass(frozen=True, slots=True)
class TireSize:
    """A decoded tire size: section and rim diameter in m, aspect as a fraction, overall diameter in m where decodable."""

    text: str
    service: str  # "P", "LT" or ""
    section: float | None
    aspect: float | None
    rim_diameter: float | None
    diameter: float | None
    radial: bool
    load_index: int | None = None
    speed_symbol: str | None = None


_METRIC_TIRE = re.compile(
    r"\s*(P|LT)?\s*(\d{3})\s*/\s*(\d{2,3})\s*(ZR|R|D|B|-)\s*(\d{2}(?:\.\d)?)(?:\s*LT)?(?:\s+(\d{2,3})(?:/\d{2,3})?\s*([A-Z]\d?)?|\s+\(?(\d{2,3})\s*([A-Z])\)?)?\s*\Z",
    re.IGNORECASE,
)
_FLOTATION_TIRE = re.compile(r"\s*(\d{2}(?:\.\d{1,2})?)\s*[xX×]\s*(\d{1,2}(?:\.\d{1,2})?)\s*(R|-)\s*(\d{2}(?:\.\d)?)\s*(LT)?\s*\Z", re.IGNORECASE)
_NUMERIC_TIRE = re.compile(r"\s*(\d{1,2}\.\d{1,2})\s*(R|-)\s*(\d{2}(?:\.\d)?)\s*(LT)?\s*\Z", re.IGNORECASE)
_LETTER_TIRE = re.compile(r"\s*([A-N])(R)?(\d{2})\s*(R|-)\s*(\d{2})\s*\Z", re.IGNORECASE)
_TIRE_FORM = "write a tire size as P235/60R15, LT245/75R16, 26x9.00-15, 7.75-14 or F70-14"


@lru_cache(maxsize=4096)
def tire_size(text: str) -> TireSize:
    """Read a tire size. Metric sizes give D = rim + 2·section·aspect (ISO 4000-1 designation, from memory).

    >>> round(tire_size("P235/60R15").diameter * 1000, 1)
    663.0
    """
    if match := _METRIC_TIRE.match(text):
        return _metric_tire(text, match)
    if match := _FLOTATION_TIRE.match(text):
        diameter, section, rim = float(match[1]), float(match[2]), float(match[4])
        if not rim < diameter <= 60:
            raise NotationError(f"{text!r}: the tire must be larger than its rim; {_TIRE_FORM}")
        return TireSize(text, (match[5] or "").upper(), section * INCH, None, rim * INCH, diameter * INCH, match[3].upper() == "R")
    if match := _NUMERIC_TIRE.match(text):
        return TireSize(text, (match[4] or "").upper(), float(match[1]) * INCH, None, float(match[3]) * INCH, None, match[2].upper() == "R")
    if match := _LETTER_TIRE.match(text):
        radial = bool(match[2]) or match[4].upper() == "R"
        return TireSize(text, "", None, int(match[3]) / 100, float(match[5]) * INCH, None, radial)
    raise NotationError(f"no tire size is written {text[:40]!r}; {_TIRE_FORM}")


def _metric_tire(text: str, match: re.Match[str]) -> TireSize:
    section, aspect, rim = int(match[2]) * MM, int(match[3]) / 100, float(match[5]) * INCH
    if not (0.1 <= section <= 0.5 and 0.2 <= aspect <= 1.05 and 0.2 <= rim <= 0.8):
        raise NotationError(f"{text!r} is no tire that exists; {_TIRE_FORM}")
    load, speed = match[6] or match[8], match[7] or match[9]
    return TireSize(
        text,
        (match[1] or ("LT" if re.search(r"LT\b", text, re.IGNORECASE) else "")).upper(),
        section,
        aspect,
        rim,
        rim + 2 * section * aspect,
        "R" in match[4].upper(),
        int(load) if load else None,
        speed.upper() if speed else None,
    )


@dataclass(frozen=True, slots=True)
class DateCode:
    """A tire's date code: Monday of its ISO week; `monday` is None for three figures (made before 2000)."""

    week: int
    year: int | None
    monday: dt.date | None


def date_code(text: str) -> DateCode:
    """Read the last four figures WWYY of a tire's code (49 CFR 574.5); three figures mean before 2000 (64 FR 36807).

    >>> date_code("2221").monday.isoformat()
    '2021-05-31'
    """
    figures = re.search(r"(?<!\d)(\d{3,4})\s*\Z", text)
    if figures is None:
        raise NotationError(f"no date code ends {text[-20:]!r}; write the last four figures, week and year: 2221 is week 22 of 2021")
    week = int(figures[1][:2])
    if len(figures[1]) == 3:
        return DateCode(week, None, None)
    year = 2000 + int(figures[1][2:])
    try:
        return DateCode(week, year, dt.date.fromisocalendar(year, week, 1))
    except ValueError:
        return DateCode(week, year, None)


#: km/h by speed symbol. Source: ISO 4000-1 speed categories; compared with public tables.
SPEED_SYMBOLS: Mapping[str, int] = {
    "L": 120,
    "M": 130,
    "N": 140,
    "P": 150,
    "Q": 160,
    "R": 170,
    "S": 180,
    "T": 190,
    "U": 200,
    "H": 210,
    "V": 240,
    "W": 270,
    "Y": 300,
}


def speed_symbol(text: str) -> str:
    """Read a speed symbol: one letter of the table, or Z (above 240 km/h, open ended)."""
    symbol = text.strip().strip("()").upper()
    if symbol not in SPEED_SYMBOLS and symbol not in ("Z", "ZR"):
        raise NotationError(f"no speed symbol is {text!r}; the symbols are {' '.join(SPEED_SYMBOLS)} and Z")
    return symbol


def date(text: str) -> dt.date:
    """Read an ISO 8601 calendar date (`2026-03-02`); of a time stamp, its date."""
    try:
        return dt.date.fromisoformat(text.strip()[:10])
    except ValueError as error:
        raise NotationError(f"no date is written {text[:40]!r}; write year-month-day, for example 2026-03-02") from error


READERS: Mapping[str, Callable[[str], Any]] = {
    "thread": thread,
    "tire_size": tire_size,
    "date_code": date_code,
    "speed_symbol": speed_symbol,
    "date": date,
}
EXAMPLES: Mapping[str, str] = {
    "thread": "M10x1.5",
    "tire_size": "P235/60R15",
    "date_code": "2221",
    "speed_symbol": "T",
    "date": "2026-03-02",
}
