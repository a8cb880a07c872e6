"""What the checks of bolted joints share: the bolt, whether its letting go can hurt someone, words for its thread condition."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service import notation
from service.calc import fasteners as calc
from service.checks.core import Input, Outcome, Unknown, option
from service.document.address import normal

#: Duties of a joint whose letting go can hurt someone. The reference's list.
SAFETY_DUTIES = frozenset({"brake", "steering", "suspension", "driveline", "wheel", "seat_belt", "seat"})
#: Systems whose fasteners are safety fasteners when no duty is recorded. The reference's list.
SAFETY_SYSTEMS = frozenset({"brakes", "steering", "suspension", "driveline", "wheels"})

#: Thread conditions in words.
THREADS_IN_WORDS: Mapping[str, str] = {
    "dry": "dry threads", "zinc_plated_dry": "dry zinc-plated threads", "oiled": "oiled threads", "thread_locker": "threads with thread locker",
    "anti_seize": "threads with anti-seize", "molybdenum_paste": "threads with molybdenum paste", "wax": "waxed threads",
}
STAINLESS = ("A2-70", "A2-80")


def is_safety(said: bool | None, duty: str | None, system: str | None) -> bool:
    """By the joint's own word, else its duty, else the system of its fastener."""
    if said is not None:
        return said
    return duty in SAFETY_DUTIES if duty is not None else system in SAFETY_SYSTEMS


def record_at(x: Any) -> Mapping[str, Any]:
    """The record in `fasteners` of the joint judged; empty when there is none. Needs `fasteners` in reads."""
    return next((record for record in x.fasteners if normal(record.get("joint")) == x.position), {})


def _usual(x: Any) -> bool:
    return is_safety(None, x.duty, record_at(x).get("system"))


#: `x.safety_joint` for checks that do not themselves need the duty.
SAFETY_INPUTS: tuple[Input, ...] = (
    option("joint.duty@here"),
    option("joint.safety@here", "safety_joint", default=_usual, why="by its duty or system"),
)
#: The same where the duty is an input of its own (`x.duty`).
SAFETY_INPUT = SAFETY_INPUTS[1]
READS = ("fasteners",)


def safety(x: Any) -> bool:
    """Whether the check at this joint is a safety check."""
    return bool(x.safety_joint)


def bolt(x: Any, out: Outcome, grade: str | None) -> notation.Thread:
    """The thread; a grade that belongs to the other thread system is remarked on."""
    thread = notation.thread(x.thread)
    if grade is not None and not _suits(grade, thread):
        doubt = f"{grade} is an inch grade and the thread metric" if not thread.inch else f"{grade} is a metric class and the thread an inch one"
        out.remark(f"{doubt}: look at the head once more.")
    return thread


def _suits(grade: str, thread: notation.Thread) -> bool:
    """Whether a bolt of this class is made with such a thread."""
    return grade in ("unmarked", *STAINLESS) or calc.is_inch_grade(grade) == thread.inch


def classes_made(x: Any) -> list[str]:
    """Classes that such a bolt is made in: all of them while its thread is not known. Stainless only in place of stainless."""
    marked_ones = [grade for grade in (*calc.METRIC_CLASSES, *calc.INCH_GRADES) if grade not in STAINLESS or x.grade in STAINLESS]
    return [grade for grade in marked_ones if not x.has("thread") or _suits(grade, notation.thread(x.thread))]


def stronger_classes(x: Any) -> list[str]:
    """Classes made with this thread that hold more than the present one (`x.grade`)."""
    diameter = notation.thread(x.thread).diameter
    present = calc.strength(marked(x.grade), diameter)[0]
    return [grade for grade in classes_made(x) if calc.strength(grade, diameter)[0] > present]


def marked(grade: str) -> str:
    """The class. Unknown for a head without marking."""
    if grade == "unmarked":
        raise Unknown("the head carries no marking, so nobody knows what the bolt can hold; fit one that is marked")
    return grade


def class_words(grade: str) -> str:
    """A class in words: `class 10.9`, `grade 5`, `stainless A2-70`, `an unmarked bolt`."""
    if grade == "unmarked":
        return "an unmarked bolt"
    return f"stainless {grade}" if grade in STAINLESS else f"grade {grade}" if calc.is_inch_grade(grade) else f"class {grade}"


def found(s: Any) -> str:
    """The verdict of the figures as recorded: a caution that only comes from their tolerances finds nothing wrong."""
    return str(s.verdict) if any(limit.violated for limit in s.limits) else "pass"


def capital(text: str) -> str:
    """With a capital first letter."""
    return text[:1].upper() + text[1:]
