"""Rim width.

A tire pinched on a narrow rim rolls over its beads; stretched on a wide one it can let go of them, and the rim has
nothing left before it. The tire maker's range overrides the rule used here. Watch for: a rim measured over its flanges,
which is an inch more than its width.
"""

from __future__ import annotations

from typing import Any

from service.calc.wheels import tire
from service.checks.core import Check, Fix, Missing, Outcome, Shown, common_practice, need, option, published
from service.checks.wheels.shared import INCH, mounted_section, rim, stock_rim_widths
from service.notation import tire_size

#: So much outside the rule's range is a caution, m; more is a fail. Common practice.
MARGIN = 0.5 * INCH


def judge(x: Any, out: Outcome) -> None:
    """The rim against the tire's range, and the section that it gives."""
    size = tire_size(x.size)
    by_rule = None
    if size.section is not None and size.aspect is not None:
        out.value("measuring_rim_width", tire.measuring_rim_width(size.section, size.aspect))
        by_rule = tire.rim_width_range(size.section, size.aspect)
    elif not x.has("rim_width_min", "rim_width_max"):
        out.remark(f"The size {x.size} does not tell which rim it belongs on; the maker's narrowest and widest rim do.")
        out.missing.extend(name for name in ("rim_width_min", "rim_width_max") if not x.has(name))
        raise Missing("rim_width_min" if not x.has("rim_width_min") else "rim_width_max")
    _judge_range(x, out, by_rule)
    if by_rule is not None:
        out.value("section_width_on_rim", mounted_section(x))


def _judge_range(x: Any, out: Outcome, by_rule: tuple[float, float] | None) -> None:
    low_rule, high_rule = by_rule or (None, None)
    low = out.value("rim_width_low", x.rim_width_min if x.has("rim_width_min") else low_rule)
    high = out.value("rim_width_high", x.rim_width_max if x.has("rim_width_max") else high_rule)
    outer = (low - (0 if x.has("rim_width_min") else MARGIN), high + (0 if x.has("rim_width_max") else MARGIN))
    out.within("rim_width", (low, high), None if outer == (low, high) else outer, value=x.rim_width, why="narrowest to widest rim for this tire")


def say(s: Any) -> str:
    """The finding in words."""
    text = f"{s.x.size} belongs on rims of {rim(s.v['rim_width_low'])} to {rim(s.v['rim_width_high'])}; "
    text += f"on {rim(s.x.rim_width)} it is {s.section_width_on_rim} wide" if "section_width_on_rim" in s.v else f"this rim is {rim(s.x.rim_width)}"
    if s.verdict == "pass" or s.worst is None or not s.worst.violated:
        return text + "."
    narrow = s.x.rim_width < s.v["rim_width_low"]
    return f"{text}. The rim is too {'narrow' if narrow else 'wide'} for it: another rim or another tire."


CHECK = Check(
    title="Rim width",
    system="wheels",
    safety=True,
    at="corners",
    inputs=[need("tire.size@here"), need("wheel.rim_width@here"), option("tire.rim_width_min@here"), option("tire.rim_width_max@here"),
            option("tire.section_width@here")],
    values={
        "measuring_rim_width": Shown("measuring rim of this size", "length", "in"),
        "rim_width_low": Shown("narrowest rim", "length", "in"),
        "rim_width_high": Shown("widest rim", "length", "in"),
        "section_width_on_rim": Shown("section width on this rim", "length", "mm"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("wheel.rim_width@here", stock=stock_rim_widths)],
    formula="W_m = K·S to the half inch, K by aspect ratio; range W_m − 1/2 in to W_m + 1 1/2 in; section = S + 0.4 (W − W_m)",
    basis=[
        published("measuring rims and section change: a tire retailer's technical page, whose twelve entries K reproduces; "
                  "5 mm for each half inch by a second page"),
        common_practice("range of rims and the half inch beyond it; the tire maker's table overrides both"),
    ],
)
