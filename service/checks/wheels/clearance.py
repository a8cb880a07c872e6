"""Will the new wheel clear.

The gaps are measured with a wheel that is on the car; what another wheel leaves of them is arithmetic: half the change
of section and the change of offset. Note the smallest gap lock to lock, and the tire's section as mounted, since tires
of one size differ by up to about 4 %. Watch for: gaps at full lock and full bump are smaller, so sweep the wheel before
the car is driven; a spacer takes from the offset; backspacing changes with rim width where offset does not.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.calc.wheels import fit
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need, option
from service.checks.wheels.shared import gap, mounted_section, stock_rim_widths, stock_spacers
from service.notation import tire_size

#: Least gaps, m: fail below the first, caution below the second. Common practice.
INNER, OUTER, RADIAL = (0.004, 0.008), (0.005, 0.010), (0.010, 0.020)
#: A front wheel's offset moved by more than this, m, is felt in the steering. Common practice.
FELT_OFFSET = 0.005


def judge(x: Any, out: Outcome) -> None:
    """Gaps inboard, outboard and over the tread."""
    with out.part():
        _judge_radial(x, out)
    offset = x.offset - x.spacer_thickness
    with out.part():
        out.value("track_change", fit.track_change(offset, x.reference_offset))
    inner, outer = fit.gap_changes(mounted_section(x), offset, x.reference_section_width, x.reference_offset)
    with out.part():
        out.value("inner_clearance", x.inner_gap + inner)
        out.at_least("inner_clearance", *INNER, why="to arm, tie rod, spring, frame")
    with out.part():
        out.value("outer_clearance", x.outer_gap + outer)
        out.at_least("outer_clearance", *OUTER, why="to the fender")


def _judge_radial(x: Any, out: Outcome) -> None:
    diameter = tire_size(x.size).diameter
    if diameter is not None and x.has("reference_diameter", "radial_gap"):
        out.value("radial_clearance", x.radial_gap - (diameter - x.reference_diameter) / 2)
        out.at_least("radial_clearance", *RADIAL, why="over the tread")


def say(s: Any) -> str:
    """The finding in words."""
    inner, outer = s.v.get("inner_clearance"), s.v.get("outer_clearance")
    parts = []
    if inner is not None:
        parts.append(f"{gap(s, inner)} inside" if inner > 0 else f"touching inside by {gap(s, -inner)}")
    if outer is not None:
        parts.append(f"{gap(s, outer)} outside" if outer > 0 else f"touching outside by {gap(s, -outer)}")
    if "radial_clearance" in s.v:
        parts.append(f"{gap(s, s.v['radial_clearance'])} over the tread")
    text = f"Gaps at the {s.position}: {', '.join(parts)}"
    if inner is None or outer is None:
        return f"{text}. {_wanted(s)}" if s.worst is not None and s.worst.violated else text + "."
    return f"{text}. {_even(s, inner, outer)}{_change(s)}"


def _even(s: Any, inner: float, outer: float) -> str:
    shift = (inner - outer) / 2
    text = "both sides are even" if abs(shift) < 0.0005 else \
        f"{gap(s, abs(shift))} {'more' if shift > 0 else 'less'} offset would even them"
    if s.worst is None or not s.worst.violated:
        return f"{text[:1].upper()}{text[1:]}."
    return _wanted(s) if s.worst.of == "radial_clearance" else f"{_wanted(s).rstrip('.')}; {text}."


def _wanted(s: Any) -> str:
    """The gap that is wanted at the tightest place."""
    limits, where = {"inner_clearance": (INNER, "inside"), "outer_clearance": (OUTER, "outside"),
                     "radial_clearance": (RADIAL, "over the tread: a lower tire or more room")}[s.worst.of]
    return f"{gap(s, limits[1])} is wanted {where}."


def _change(s: Any) -> str:
    if not s.position.startswith("front") or abs(s.v.get("track_change", 0.0)) <= 2 * FELT_OFFSET:
        return ""
    return " The offset of a steered wheel changes its scrub radius too."


def extras(x: Any, values: Mapping[str, Any]) -> Mapping[str, Any]:
    """The wheel in its arch, before and after."""
    size = tire_size(x.size)
    after = {"section_width": mounted_section(x), "offset": x.offset - x.spacer_thickness, "diameter": size.diameter, "rim_width": x.rim_width,
             "rim_diameter": size.rim_diameter}
    drawing: dict[str, Any] = {
        "kind": "wheel_in_arch", "position": x.position, "after": after,
        "before": {"section_width": x.reference_section_width, "offset": x.reference_offset, "diameter": x.reference_diameter},
        "inner_clearance": _gap(x.inner_gap, values["inner_clearance"], INNER), "outer_clearance": _gap(x.outer_gap, values["outer_clearance"], OUTER),
    }
    if "radial_clearance" in values:
        drawing["radial_clearance"] = _gap(x.radial_gap, values["radial_clearance"], RADIAL)
    return {"series": drawing}


def _gap(before: float, after: float, limits: tuple[float, float]) -> dict[str, float]:
    return {"before": before, "after": after, "fail": limits[0], "caution": limits[1]}


CHECK = Check(
    title="Will the new wheel clear",
    system="wheels",
    safety=True,
    at="corners",
    inputs=[need("wheel.rim_width@here"), need("wheel.offset@here"), need("tire.size@here"), need("wheel_fit.reference_offset@here"),
            need("wheel_fit.reference_section_width@here"), need("wheel_fit.inner_clearance@here", "inner_gap"),
            need("wheel_fit.outer_clearance@here", "outer_gap"), option("wheel.spacer_thickness@here", default=0.0),
            option("wheel_fit.reference_diameter@here"), option("wheel_fit.radial_clearance@here", "radial_gap"), option("tire.section_width@here")],
    values={
        "inner_clearance": Shown("gap inboard of the wheel", "length", "mm"),
        "outer_clearance": Shown("gap outboard of the wheel", "length", "mm"),
        "radial_clearance": Shown("gap over the tread", "length", "mm"),
        "track_change": Shown("change of track", "length", "mm"),
    },
    judge=judge,
    say=say,
    extras=extras,
    remedies=[Fix("wheel.offset@here"), Fix("wheel.rim_width@here", stock=stock_rim_widths),
              Fix("wheel.spacer_thickness@here", stock=stock_spacers)],
    formula="inner = c_in − [(S/2 + ET) − (S₀/2 + ET₀)]; outer = c_out − [(S/2 − ET) − (S₀/2 − ET₀)]; radial = c_rad − (D − D₀)/2; ET less spacer",
    basis=[derived("geometry of the section and the offset"),
           common_practice("least gaps of 8 and 4 mm inside, 10 and 5 mm outside, 20 and 10 mm over the tread")],
)
