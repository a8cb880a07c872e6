"""Bolts through the flexplate: what converter bolts and crank bolts have in common."""

from __future__ import annotations

from typing import Any

from service.calc import bolt_lengths
from service.calc import driveline as calc
from service.checks.core import Outcome, Shown
from service.notation import thread
from service.quantities import show_fraction

#: Room below a tip that is only the dust of adding up the stack, m.
DUST = 1e-12
#: Engagement in diameters below which a thread in steel strips, and the usual one. Common practice.
ENGAGEMENT_FAIL, ENGAGEMENT_CAUTION = 0.8, 1.0

VALUES = {
    "grip": Shown("grip", "length", "mm"),
    "shortest_length": Shown("shortest bolt", "length", "mm"),
    "longest_length": Shown("longest bolt", "length", "mm"),
    "stock_length": Shown("stock length that fits", "length", "mm"),
    "engagement": Shown("thread engaged", "length", "mm"),
    "tip_clearance": Shown("room below the bolt's tip", "length", "mm"),
}


def lengths(out: Outcome, grip: float, thread_text: str, thread_depth: float) -> None:
    """Give grip, shortest, longest and stock length."""
    screw = thread(thread_text)
    found = calc.bolt_lengths(grip, screw.diameter, screw.pitch, thread_depth)
    out.value("grip", found.grip)
    out.value("shortest_length", found.shortest)
    out.value("longest_length", found.longest)
    stock = bolt_lengths.smallest_between(bolt_lengths.made(screw.inch), found.shortest, found.longest)
    if stock is not None:
        out.value("stock_length", stock)
    if found.shortest > found.longest:
        out.remark("The thread is too shallow for a full diameter of engagement and a pitch of room: take bolts that engage 0.8 to 1 diameter, "
                   "and measure every hole.")


def judge_length(out: Outcome, length: float, thread_text: str, thread_depth: float) -> None:
    """Engagement and tip clearance of a bolt of this length."""
    screw, grip = thread(thread_text), out.values["grip"]
    out.value("engagement", calc.thread_engaged(length, grip, thread_depth))
    room = calc.tip_clearance(length, grip, thread_depth)
    out.value("tip_clearance", 0.0 if abs(room) < DUST else room)
    out.at_least("engagement", ENGAGEMENT_FAIL * screw.diameter, ENGAGEMENT_CAUTION * screw.diameter, why="one diameter of thread, 0.8 at the least")
    out.at_least("tip_clearance", 0.0, screw.pitch, why="the tip must not bottom; a pitch of room is wanted")


def as_sold(s: Any, length: float) -> str:
    """A length in the unit that bolts of this thread are sold by."""
    return f"{length / 0.0254:.4g} in" if thread(s.x.thread).inch else f"{length * 1000:.4g} mm"


def stock_size(s: Any) -> str:
    """The stock length as it is sold: a fraction of an inch, or millimeters."""
    return size_text(s.v["stock_length"], thread(s.x.thread).inch)


def size_text(length: float, inch: bool) -> str:
    """A stock length as text: `25 mm`, `1 1/4 in`."""
    return str(show_fraction(length)) if inch else f"{length * 1000:g} mm"


def sold(grip: float, x: Any, thread_depth: float) -> dict[float, str]:
    """The smallest stock length that suits this grip, m, with its text; nothing when none does."""
    screw = thread(x.thread)
    found = calc.bolt_lengths(grip, screw.diameter, screw.pitch, thread_depth)
    size = bolt_lengths.smallest_between(bolt_lengths.made(screw.inch), found.shortest, found.longest)
    return {} if size is None else {size: size_text(size, screw.inch)}


def through(spacer: float, washer: float, washer_name: str) -> str:
    """What the bolts pass through, in words: `plate, spacer and washer`."""
    names = ["plate", *(["spacer"] if spacer else []), *([washer_name] if washer else [])]
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)


def sentence(s: Any, bolts: str, stack: str) -> str:
    """What the bolts have to be and what these do; `stack` is what they pass through."""
    grip, shortest, longest = (as_sold(s, s.v[name]) for name in ("grip", "shortest_length", "longest_length"))
    if s.v["shortest_length"] > s.v["longest_length"]:
        return f"Through {grip} of {stack} the {bolts} should be {shortest} long, but bottom beyond {longest}. {_present(s)}"
    text = f"Through {grip} of {stack} the {bolts} must be {shortest} to {longest} long"
    if "stock_length" in s.v:
        text += f": use {stock_size(s)}"
    else:
        text += "; no stock length lies between, so cut a longer bolt or change the washer"
    return f"{text}. {_present(s)}"


def _present(s: Any) -> str:
    screw, engaged, room = thread(s.x.thread), s.v["engagement"], s.v["tip_clearance"]
    if room < 0:
        return f"These are {as_sold(s, -room)} too long and bottom before they clamp."
    if engaged < ENGAGEMENT_CAUTION * screw.diameter:
        return f"These engage only {as_sold(s, engaged)}, {engaged / screw.diameter:.1f} of a diameter."
    if room < screw.pitch:
        return f"These have only {as_sold(s, room)} left below the tip: measure every hole."
    return f"These engage {as_sold(s, engaged)} and have {as_sold(s, room)} left below the tip."
