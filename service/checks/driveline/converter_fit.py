"""Gap between converter and flexplate.

With the converter pushed home into the pump, its pads stand a little off the flexplate and are drawn up to it by the
bolts. Too little gap holds the converter against the pump: pump and crank thrust bearing are lost. Too much and the hub
may leave the pump drive. Flexplates of one engine family exist flat and offset; offset ones commonly come from trucks,
the difference is about half an inch, and a spacer makes it up and needs longer bolts. Watch for a flange depth measured
to the register, a crank pushed forward while measuring, and a converter one notch out of the pump (then there is no gap
at all): never draw the case up with the bolts. The transmission maker's figure outranks this page.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from service.calc import driveline as calc
from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, on_car, option
from service.checks.driveline.shared import DUST, broken, edge, printed, wanted

#: Gap wanted, 3.2 to 4.8 mm (1/8 to 3/16 in), and gap that can be lived with, 1.6 to 6.4 mm (1/16 to 1/4 in), in m; a gap right on
#: the inch figure is inside too. Common practice; the 1/4 in line is our choice.
GOOD, ALLOWED = (0.0032, 0.0048), (0.0016, 0.0064)
EIGHTH, SIXTEENTH = 0.003175, 0.0015875
#: Measured and computed gap further apart than this: one of the measurements is wrong, m. Common practice.
DISAGREEMENT = 0.0015


def judge(x: Any, out: Outcome) -> None:
    """The gap as measured, else as the stack makes it."""
    stack = _stack_gap(x)
    if stack is not None:
        out.value("stack_gap", stack)
    if stack is None:
        wanted(x, "converter_gap")
    gap = out.value("gap", x.converter_gap if x.has("converter_gap") else stack)
    out.value("spacer_needed", calc.spacer_for_gap(x.spacer_thickness, gap))
    good, allowed = (edge(gap, GOOD[0], EIGHTH), GOOD[1]), (edge(gap, ALLOWED[0], SIXTEENTH), ALLOWED[1])
    out.within("gap", good, allowed, why="1/8 to 3/16 in; caution from 1/16 to 1/4 in")
    if stack is not None and _disagree(gap, stack):
        out.at_best_caution("the measured gap and the stack of parts disagree, so one of the measurements is wrong", "converter_gap")
    if out.verdict != "pass" and gap > GOOD[1] and out.values["spacer_needed"] > 0:
        out.advise("with a spacer the converter or crank bolts have to be longer; measure the gap again with it in place")


def _face(x: Any) -> float | None:
    if x.has("flexplate_face_depth"):
        return float(x.flexplate_face_depth)
    if x.has("crank_flange", "thickness"):
        return calc.flexplate_face(x.crank_flange, x.offset, x.thickness, x.spacer_thickness)
    return None


def _stack_gap(x: Any) -> float | None:
    face = _face(x)
    return None if face is None or not x.has("seated_depth") else calc.pad_position(x.adapter_thickness, x.seated_depth) - face


def _disagree(gap: float, stack: float) -> bool:
    return abs(gap - stack) > DISAGREEMENT + DUST * DISAGREEMENT


def _found(s: Any) -> str:
    gap = s.v["gap"]
    if gap < 0:
        return f"The converter would stand {s.show(-gap, 'length', 'mm')} past the flexplate before it is home; the gap"
    amount = s.gap if gap > 0 else "no gap"
    return f"With the converter pushed home there is {amount} between its pads and the flexplate; it"


def say(s: Any) -> str:
    """The finding in words."""
    gap, wanted = s.v["gap"], "3.2 to 4.8 mm" if s.system == "metric" else "1/8 to 3/16 in"
    text = f"{_found(s)} should be {wanted}."
    if "stack_gap" in s.v and _disagree(gap, s.v["stack_gap"]):
        text += f" The parts add up to {s.stack_gap}: find out why before bolting up, the converter may not be home."
    if gap > GOOD[1]:
        text += f" A spacer with a thickness of {s.spacer_needed} altogether would bring it there; converter or crank bolts then have to be longer."
    elif broken(s) and gap < GOOD[0]:
        text += (" Do not draw it up with the bolts: turn the converter and push until it drops home. If that leaves no gap, a"
                 " thinner spacer or a flatter flexplate is wanted.")
    return text


def extras(x: Any, values: Mapping[str, Any]) -> Mapping[str, Any]:
    """The stack as a table and as positions for the drawing."""
    return {"table": _table(x, values), "series": _series(x, values)}


def _table(x: Any, values: Mapping[str, Any]) -> dict[str, Any]:
    def row(name: str, size: float | None, place: float | None) -> list[str]:
        return [name, printed(x.car, size, "length", "mm"), printed(x.car, place, "length", "mm")]

    flange, face = x.crank_flange, _face(x)
    pads = calc.pad_position(x.adapter_thickness, x.seated_depth) if x.has("seated_depth") else None
    rows = [row("crank flange", None, flange), row("spacer", x.spacer_thickness, None), row("flexplate dish", x.offset, None),
            row("flexplate", x.thickness, face), row("adapter plates", x.adapter_thickness, None), row("converter pads, pushed home", x.seated_depth, pads),
            row("gap", values["gap"], None)]
    return {"title": "From the block face rearward", "columns": ["part", "thickness or depth", "position from the block face"], "rows": rows}


def _series(x: Any, values: Mapping[str, Any]) -> dict[str, Any]:
    pads = calc.pad_position(x.adapter_thickness, x.seated_depth) if x.has("seated_depth") else None
    return {
        "kind": "converter_stack", "crank_flange": x.crank_flange, "spacer_thickness": x.spacer_thickness, "spacer_location": x.location or "crank",
        "flexplate_offset": x.offset, "flexplate_thickness": x.thickness, "flexplate_face": _face(x), "adapter_thickness": x.adapter_thickness,
        "pads": pads, "gap": values["gap"], "gap_wanted": list(GOOD), "gap_allowed": list(ALLOWED),
        "pilot_length": x.car.value("torque_converter.pilot_length"), "pad_to_pilot_shoulder": x.car.value("torque_converter.pad_to_pilot_shoulder"),
        "register_depth": x.car.value("engine.crank_register_depth"), "spacer_needed": values["spacer_needed"],
    }


CHECK = Check(
    title="Gap between converter and flexplate",
    system="driveline",
    safety=True,
    applies=on_car("torque_converter"),
    reads=("car",),
    inputs=[
        option("driveline.converter_gap"),
        option("torque_converter.seated_depth"),
        option("driveline.flexplate_face_depth"),
        option("engine.crank_flange_to_block_face", "crank_flange"),
        option("flexplate.thickness"),
        option("flexplate.offset", default=0.0, why="flat plate unless recorded"),
        option("flexplate_spacer.thickness", "spacer_thickness", default=0.0, why="no spacer recorded"),
        option("flexplate_spacer.location"),
        option("driveline.adapter_thickness", default=0.0, why="no adapter recorded"),
    ],
    either=[(("converter_gap",), ("seated_depth", "flexplate_face_depth"), ("seated_depth", "crank_flange", "thickness"))],
    values={
        "gap": Shown("gap between pads and flexplate", "length", "mm"),
        "stack_gap": Shown("gap that the parts add up to", "length", "mm"),
        "spacer_needed": Shown("spacer for the wanted gap", "length", "mm"),
    },
    judge=judge,
    say=say,
    extras=extras,
    remedies=[
        Fix("flexplate_spacer.thickness", "with longer bolts"),
        Fix("flexplate.offset", "another flexplate"),
        Fix("flexplate.thickness"),
        Fix("driveline.adapter_thickness"),
    ],
    formula="gap = (adapter + seated depth) − (flange + offset + plate + spacer); spacer = spacer + gap − 4.0 mm",
    basis=[
        derived("sum of the stack"),
        common_practice("1/8 to 3/16 in (compared with a public trade-magazine note on converter spacing); the 1/4 in fail line is our choice;"
                        " the transmission maker's figure outranks both"),
    ],
)
