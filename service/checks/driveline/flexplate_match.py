"""Flexplate against crank, converter and starter.

Every pair that has to match is compared when both sides are known; one pair that differs fails the check whatever else
is missing. Watch for two bolt circles drilled in one plate: record the one used. Never judge tooth size by the outside
diameter of a small pinion.
"""

from __future__ import annotations

from typing import Any

from service.checks.core import Check, Fix, Outcome, Shown, common_practice, derived, need, on_car, option
from service.checks.driveline.shared import DUST

#: Difference of bolt circles that clearance holes take up, m. Common practice.
CIRCLE_FAIL, CIRCLE_CAUTION = 0.0010, 0.0005
#: Difference of tooth sizes beyond measuring error. Common practice.
MODULE_DIFFERENCE = 0.03


def judge(x: Any, out: Outcome) -> None:
    """Pair by pair."""
    with out.part():
        _circle(out, "converter_bolt_circle_difference", x.converter_bolt_circle - x.bolt_circle, "converter")
    if x.has("crank_bolt_circle", "flange_bolt_circle"):
        _circle(out, "crank_bolt_circle_difference", x.crank_bolt_circle - x.flange_bolt_circle, "crank")
    with out.part():
        teeth = out.value("tooth_difference", x.ring_gear_teeth - x.starter_teeth)
        out.must(teeth == 0, f"the ring gear has {x.ring_gear_teeth} teeth and the starter is made for {x.starter_teeth}", of="tooth_difference")
    _counts(x, out)
    if x.has("ring_gear_module", "pinion_module"):
        close = abs(x.pinion_module / x.ring_gear_module - 1) <= MODULE_DIFFERENCE + DUST
        out.must(close, "ring gear and pinion have teeth of different size", "caution")
    if x.has("balance", "engine_balance"):
        out.must(x.balance == x.engine_balance, f"the engine is balanced {x.engine_balance}ly and the flexplate {x.balance}ly")


def _circle(out: Outcome, name: str, difference: float, which: str) -> None:
    out.value(name, difference)
    out.at_most(name, CIRCLE_FAIL, CIRCLE_CAUTION, value=abs(difference), why=f"the {which} bolt circles differ by no more than the holes give")


def _counts(x: Any, out: Outcome) -> None:
    if x.has("converter_bolt_count", "bolt_count"):
        fits = x.converter_bolt_count % x.bolt_count == 0
        out.must(fits, f"the flexplate has {x.converter_bolt_count} converter holes and the converter {x.bolt_count} pads")
    if x.has("crank_bolt_count", "flange_bolt_count"):
        same = x.crank_bolt_count == x.flange_bolt_count
        out.must(same, f"the flexplate has {x.crank_bolt_count} crank holes and the crank {x.flange_bolt_count}")


def say(s: Any) -> str:
    """The finding in words."""
    text = list(dict.fromkeys(_sentence(s, limit) for limit in s.limits if limit.violated))
    if not text:
        return "The flexplate matches the crank, the converter and the starter in everything recorded."
    ending = "Do not fit it: get the plate, converter or starter that matches." if s.verdict == "fail" else "Measure again before ordering."
    return " ".join([*text, ending])


def _sentence(s: Any, limit: Any) -> str:
    if limit.kind != "must":
        which = "converter" if limit.of.startswith("converter") else "crank"
        sides = (s.converter_bolt_circle, s.bolt_circle) if which == "converter" else (s.crank_bolt_circle, s.flange_bolt_circle)
        difference = s.show(abs(s.v[limit.of]), "length", "mm")
        return f"The {which} bolt circles are {difference} apart: the plate has {sides[0]}, the {which} {sides[1]}."
    return f"{limit.why[:1].upper()}{limit.why[1:]}."


CHECK = Check(
    title="Flexplate against crank, converter and starter",
    system="driveline",
    safety=False,
    applies=on_car("flexplate"),
    inputs=[
        need("flexplate.converter_bolt_circle"),
        need("torque_converter.bolt_circle"),
        need("flexplate.ring_gear_teeth"),
        need("starter.ring_gear_teeth", "starter_teeth"),
        option("flexplate.crank_bolt_circle"),
        option("engine.flange_bolt_circle"),
        option("flexplate.crank_bolt_count"),
        option("engine.flange_bolt_count"),
        option("flexplate.converter_bolt_count"),
        option("torque_converter.bolt_count"),
        option("flexplate.ring_gear_module"),
        option("starter.pinion_module"),
        option("flexplate.balance"),
        option("engine.balance", "engine_balance"),
    ],
    values={
        "converter_bolt_circle_difference": Shown("converter bolt circle, plate less converter", "length", "mm"),
        "crank_bolt_circle_difference": Shown("crank bolt circle, plate less crank", "length", "mm"),
        "tooth_difference": Shown("ring gear teeth less the starter's", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("flexplate.converter_bolt_circle", "another flexplate"),
        Fix("flexplate.ring_gear_teeth", "another flexplate or starter"),
        Fix("flexplate.balance", "another flexplate"),
        Fix("flexplate.crank_bolt_circle", "another flexplate"),
    ],
    formula="differences flexplate − counterpart; converter holes a multiple of the converter's bolts; equal crank holes, teeth and balance",
    basis=[
        derived("parts that are bolted or meshed together have to agree"),
        common_practice("0.5 and 1.0 mm of bolt circle, from clearance holes; 3 % of tooth size"),
    ],
)
