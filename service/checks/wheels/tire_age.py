"""Age from the date code.

Rubber hardens and its plies let go whether the tire runs or stands; deep tread on a ten-year-old tire means nothing.
The code's last four figures are week and year; three figures mean that it was made before 2000. Watch for: the code
stands on one sidewall only, often the inner one; a spare as old as the car.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from service.checks.brakes.shared import reference_date
from service.checks.core import Check, Outcome, Shown, Unknown, common_practice, need, published
from service.notation import date_code

YEAR = 365.25 * 86400
#: Age, s: caution above the first, fail above the second. Common practice.
CAUTION_AGE, FAIL_AGE = 6 * YEAR, 10 * YEAR
LAST_WEEK = 53
#: Codes of three figures ended with this year. Source: 64 FR 36807, July 8, 1999.
LAST_OLD_CODE = 2000


def judge(x: Any, out: Outcome) -> None:
    """Days from the Monday of the code's week to the day the car is judged for."""
    code = date_code(x.date_code)
    if not 1 <= code.week <= LAST_WEEK:
        raise Unknown(f"a year has no week {code.week}; read the last four figures of the long code again")
    if code.year is None:
        out.must(False, "a code of three figures was made before 2000", of="age")
        return
    today = reference_date(x.build)
    if today is None:
        raise Unknown("the build has no date to count to: give the day it was delivered, promised or opened")
    made = date.fromisocalendar(code.year, 1, 1) + timedelta(weeks=code.week - 1)
    if made > today:
        raise Unknown(f"week {code.week} of {code.year} lies after {today.isoformat()}; read the code again")
    out.value("age", (today - made).days * 86400.0)
    out.at_most("age", FAIL_AGE, CAUTION_AGE, why="six years, ten at the most")


def say(s: Any) -> str:
    """The finding in words."""
    code = date_code(s.x.date_code)
    if code.year is None:
        today = reference_date(s.x.build)
        least = f", so it is at least {today.year - LAST_OLD_CODE} years old" if today is not None else ""
        return f"The {s.position} tire was made before 2000 (a code of three figures){least}. It is not fit for the road, whatever its tread: replace it."
    years = s.v["age"] / YEAR
    text = f"Made in week {code.week} of {code.year}, {years:.1f} years old"
    if s.verdict == "fail":
        return text + ". Ten years is the end, whatever its tread: replace it."
    if s.verdict == "caution":
        return text + ". From six years on have it looked at every year, and plan its replacement."
    return text + "."


CHECK = Check(
    title="Age from the date code",
    system="wheels",
    safety=True,
    at="corners",
    reads=("build",),
    inputs=[need("tire.date_code@here")],
    values={"age": Shown("age of the tire", "time", "day")},
    judge=judge,
    say=say,
    remedies=["newer tires"],
    formula="age = day delivered (else promised, else opened) − Monday of week WW of year 20YY",
    basis=[published("date code of four figures, three before 2000: 49 CFR 574.5; 64 FR 36807, July 8, 1999 (compared with the public text)"),
           common_practice("six years, ten at the most")],
)
