"""Do the starter cables lose too much?

Cranking draws hundreds of amperes; a battery moved to the trunk adds meters of cable to every one of them. Counted is the
way out and the way back. Where the frame is the way back, its cable at each end is summed and the frame taken as nothing.
"""

from __future__ import annotations

from typing import Any

from service.calc import electrical as calc
from service.checks.core import Check, Fix, Outcome, Shown, any_of, common_practice, need, on_car, option, published
from service.checks.electrical.shared import found
from service.quantities import gauge_area, show
from service.quantities.wire_size import METRIC_SIZES

#: Usual cranking current and its spread, A. Common practice.
CRANKING, CRANKING_SPREAD = 250.0, 75.0
#: Conductor while cranking, K; joints of each cable, ohm. Common practice.
CONDUCTOR, JOINTS = 313.15, 0.5e-3
#: Highest drop, V (fail, caution): 12 V and above, 6 V. Common practice.
LIMITS, LIMITS_6V = (0.8, 0.5), (0.5, 0.3)
#: AWG sizes that battery cable is sold in, 6 AWG to 4/0 AWG. Common practice.
CABLE_GAUGES = (6, 4, 2, 1, 0, -1, -2, -3)
#: Systems up to this voltage take the limits of 6 V, V. Common practice.
SIX_VOLT_UP_TO = 8.0


def judge(x: Any, out: Outcome) -> None:
    """Drop of both cables while cranking; one that is already too much alone needs no other."""
    fail, caution = LIMITS_6V if x.system_voltage <= SIX_VOLT_UP_TO else LIMITS
    with out.part():
        _cable(out, "drop_positive", x.current * (calc.wire_resistance(x.positive_length, x.positive_size, CONDUCTOR) + JOINTS), fail)
    with out.part():
        _cable(out, "drop_negative", x.current * (calc.wire_resistance(x.negative_length, x.negative_size, CONDUCTOR) + JOINTS), fail)
    if out.missing:
        return
    out.value("drop_total", out.values["drop_positive"] + out.values["drop_negative"])
    out.at_most("drop_total", fail, caution, why="cranking")
    if out.values["drop_total"] > caution and (size := _size_for_both(x, caution)):
        out.advise(f"both cables of {size}")


def _cable(out: Outcome, name: str, drop: float, most: float) -> None:
    if out.value(name, drop) > most:
        out.at_most(name, most, why="one cable alone")


def _size_for_both(x: Any, most: float) -> str | None:
    """The smallest size sold of which both cables lose no more than `most` V, as it is called; None beyond 4/0."""
    metric = any(abs(x.positive_size - size) < 1e-3 * size for size in METRIC_SIZES)
    for area in METRIC_SIZES if metric else (gauge_area(number) for number in CABLE_GAUGES):
        drop = x.current * (calc.wire_resistance(x.positive_length + x.negative_length, area, CONDUCTOR) + 2 * JOINTS)
        if area > min(x.positive_size, x.negative_size) and drop <= most:
            return show(area, "wire_size", "mm2" if metric else "AWG").replace("mm2", "mm²")
    return None


def say(s: Any) -> str:
    """The finding in words."""
    if "drop_total" not in s.v:
        alone, lost = ("positive", s.drop_positive) if "drop_positive" in s.v else ("negative", s.drop_negative)
        return f"Cranking at {s.current} the {alone} cable alone loses {lost}, more than both may: a larger or shorter one."
    text = f"Cranking at {s.current} the cables lose {s.drop_total}, {s.drop_positive} out and {s.drop_negative} back"
    if found(s) == "pass":
        return text + "."
    worse = "positive" if s.v["drop_positive"] >= s.v["drop_negative"] else "negative"
    fails = s.verdict == "fail"
    limit = s.limit("drop_total", "fail" if fails else "caution")
    return f"{text}; {limit} is {'the most it may be' if fails else 'wanted at most'}: begin with the {worse} cable, larger or shorter."


CHECK = Check(
    title="Do the starter cables lose too much?",
    system="electrical",
    safety=False,
    applies=any_of(on_car("starter"), on_car("battery")),
    inputs=[
        need("starter.positive_length"),
        need("starter.positive_size"),
        need("starter.negative_length"),
        need("starter.negative_size"),
        option("starter.current", default=CRANKING, tolerance=CRANKING_SPREAD, why="usual engine"),
        option("electrical.system_voltage", default=12.0),
    ],
    values={
        "drop_positive": Shown("lost in the positive cable", "voltage", "V"),
        "drop_negative": Shown("lost in the negative cable", "voltage", "V"),
        "drop_total": Shown("lost in both", "voltage", "V"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("starter.positive_size"), Fix("starter.negative_size"), Fix("starter.positive_length"), Fix("starter.negative_length")],
    formula="drop = I·(ρL/A + 0.5 mΩ) for each cable, ρ at 40 °C",
    basis=[
        published("resistivity of copper: IEC 60028; wire sizes: ASTM B258"),
        common_practice("0.5 and 0.8 V (6 V: 0.3 and 0.5 V); 1 mΩ of joints; 250 ± 75 A"),
    ],
)
