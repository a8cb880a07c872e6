"""Does enough voltage arrive?

Pumps starve, lamps dim and relays chatter long before a wire gets warm. The drop is measured, or worked out from the
wire's resistance when it is warm and that of the joints on the way. A chassis return is taken as no resistance: its
ground has to be good, and has a check of its own.
"""

from __future__ import annotations

from typing import Any

from service.calc import electrical as calc
from service.checks.core import Check, Fix, Missing, Outcome, Shown, Unknown, common_practice, option, published
from service.checks.electrical.shared import CONDUCTORS, circuits, found, named

#: Working voltage by nominal system voltage. Common practice.
WORKING_VOLTAGE = {6.0: 6.9, 12.0: 13.5, 24.0: 27.0}
#: Shares lost: critical circuits, others (fail, caution). 3 % and 10 %: ABYC E-11 as quoted publicly; 5 %: common practice.
CRITICAL, OTHERS = (0.05, 0.03), (0.10, 0.05)
#: Wire from this area on has bolted lugs: 8 AWG or 8 mm2. Common practice.
BOLTED = 8e-6
PUSHED_JOINTS, PUSHED_SPREAD, BOLTED_JOINTS, BOLTED_SPREAD = 5e-3, 3e-3, 1e-3, 0.5e-3


def judge(x: Any, out: Outcome) -> None:
    """Voltage lost on the way as a share of what there is."""
    working = working_voltage(x.system_voltage)
    if x.has("measured_drop"):
        drop = x.measured_drop
    else:
        if not x.has("current", "length", "wire_size"):
            raise Missing("measured_drop")
        if x.conductor != "copper":
            raise Unknown(f"the wire is {CONDUCTORS[x.conductor]}, sold as wire in kits; its resistance is not that of copper. Measure the drop under load")
        back = 1.0 if x.return_path == "wire" else 0.0
        drop = x.current * out.value("resistance", calc.wire_resistance(x.length, x.wire_size, x.temperature, back) + x.joints)
    out.value("voltage_drop", drop)
    out.value("drop_fraction", drop / working)
    fail, caution = CRITICAL if x.critical else OTHERS
    out.at_most("drop_fraction", fail, caution, why="critical circuit" if x.critical else "ordinary circuit")


def working_voltage(system: float) -> float:
    """Voltage with the engine running: 13.5 V for a 12 V system, in proportion for others than 6, 12 and 24 V."""
    return WORKING_VOLTAGE.get(round(system, 6), system * 13.5 / 12)


def _joints(x: Any) -> float:
    return BOLTED_JOINTS if x.has("wire_size") and x.wire_size >= BOLTED else PUSHED_JOINTS


def _spread(x: Any) -> float:
    return BOLTED_SPREAD if x.has("wire_size") and x.wire_size >= BOLTED else PUSHED_SPREAD


def say(s: Any) -> str:
    """The finding in words."""
    working = s.show(working_voltage(s.x.system_voltage), "voltage")
    share, limit = s.percent(s.v["drop_fraction"]), s.limit("drop_fraction", "fail" if s.verdict == "fail" else "caution")
    if share == limit:
        share = s.drop_fraction  # so near the limit that only the next figure tells them apart
    text = f"{named(s)}: {s.voltage_drop} of {working} ({share}) is lost on the way"
    if found(s) != "pass":
        whom = "a circuit that must not starve" if s.x.critical else "this one"
        text += f"; {limit} is the most for {whom}: a larger wire, a shorter way or better joints"
    chassis = not s.x.has("measured_drop") and s.x.return_path != "wire"
    return text + ". " + ("It returns through the chassis, so its ground must be good." if chassis else "")


def _extras(x: Any, values: Any) -> dict[str, Any]:
    working = working_voltage(x.system_voltage)
    fail, caution = CRITICAL if x.critical else OTHERS
    pieces = [{"name": "measured", "drop": values["voltage_drop"]}]
    if not x.has("measured_drop"):
        wire = x.current * calc.wire_resistance(x.length, x.wire_size, x.temperature)
        pieces = [{"name": "wire out", "drop": wire}, {"name": "joints", "drop": x.current * x.joints}]
        pieces.append({"name": "wire back", "drop": wire} if x.return_path == "wire" else {"name": "chassis", "drop": 0.0})
    return {"series": {"kind": "voltage_path", "circuit": x.position, "supply": working, "delivered": working - values["voltage_drop"], "parts": pieces,
                       "voltage_drop": values["voltage_drop"], "caution": caution * working, "fail": fail * working}}


CHECK = Check(
    title="Does enough voltage arrive?",
    system="electrical",
    safety=lambda x: bool(x.critical),
    at=("label", "circuit"),
    applies=circuits(),
    inputs=[
        option("circuit.measured_drop@here"),
        option("circuit.current@here"),
        option("circuit.length@here"),
        option("circuit.wire_size@here"),
        option("circuit.return_path@here", default="chassis"),
        option("circuit.temperature@here", default=323.15, why="warm wire"),
        option("circuit.joints_resistance@here", "joints", default=_joints, tolerance=_spread, why="usual joints"),
        option("electrical.system_voltage", default=12.0),
        option("circuit.critical@here", default=False),
        option("circuit.conductor@here", default="copper"),
    ],
    either=[(("measured_drop",), ("current", "length", "wire_size"))],
    values={
        "resistance": Shown("resistance", "resistance", "mohm"),
        "voltage_drop": Shown("voltage lost", "voltage", "V"),
        "drop_fraction": Shown("share lost", "dimensionless", "%"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("circuit.wire_size@here", "next larger size"), Fix("circuit.length@here")],
    extras=_extras,
    formula="V = I·R, R = ρ·L(1 + k)/A + R_j, ρ = ρ₂₀(1 + 3.93·10⁻³(T − 293.15 K)), ρ₂₀ = 1/58 Ω·mm²/m; k = 1 for a return wire, 0 for chassis",
    basis=[
        published("wire sizes: ASTM B258"),
        published("resistivity of copper: IEC 60028"),
        published("3 % and 10 %: ABYC E-11 as quoted on a public page"),
        common_practice("its classes carried over to cars; 5 %; resistance of joints"),
    ],
)
