"""Whether an automatic transmission is cooled for what it is used for.

Heat is what ends an automatic. A cooler in the radiator's tank cannot go below coolant temperature; towing and track
want one in the air as well. Watch for hose not rated for hot fluid, and for lines squeezed by clamps.
"""

from __future__ import annotations

from typing import Any

from service.checks.core import Check, Fix, Outcome, Shown, common_practice, need, option
from service.document.address import normal

#: Fluid temperatures, K: above the first (93 °C, 200 °F) a caution, above the second (121 °C, 250 °F) a fail. Common practice.
WARM, HOT = 366.15, 394.15
#: Smallest line inside, m. Common practice.
SMALLEST_LINE = 0.006
#: Uses for which a cooler in the radiator alone is too little. Common practice.
HARD_USES = ("towing", "track", "autocross")
IN_WORDS = {"street": "street driving", "track": "the track", "drag": "drag racing"}


def _all(x: Any, name: str) -> list[Any]:
    """A cooler field at no position and at every label where the cooler is not still waiting to be fitted."""
    found = {None: getattr(x, name), **(getattr(x, f"labelled_{name}") or {})}
    coolers = [part for part in x.parts if part["kind"] == "transmission_cooler"]
    fitted = {normal(part.get("position")) for part in coolers if part.get("status", "fitted") == "fitted"}
    waiting = {normal(part.get("position")) for part in coolers} - fitted
    return [value for place, value in found.items() if value is not None and place not in waiting]


def judge(x: Any, out: Outcome) -> None:
    """How many coolers are fitted, of which kind, and how warm the fluid gets."""
    coolers = out.value("coolers", sum(1 for part in x.parts if part["kind"] == "transmission_cooler" and part.get("status", "fitted") == "fitted"))
    out.must(coolers > 0, "no transmission cooler is fitted", of="coolers")
    temperatures, lines, kinds = _all(x, "temperature"), _all(x, "line_diameter"), _all(x, "kind")
    if temperatures:
        out.value("temperature", max(temperatures))
        out.at_most("temperature", HOT, WARM, why="automatic transmission fluid ages fast above 93 °C and fails above 121 °C")
    if kinds and x.use in HARD_USES:
        out.must(any(kind != "in_radiator" for kind in kinds), f"for {x.use} a cooler in the radiator alone is too little", "caution", of="kind")
    if lines:
        out.at_least("line_diameter", caution=SMALLEST_LINE, value=min(lines), why="smallest inside diameter of the lines")


def say(s: Any) -> str:
    """The finding in words."""
    count = s.v["coolers"]
    text = f"{count or 'No'} cooler{'s' if count > 1 else ''}{'' if count else ' is fitted'} for an automatic used for {IN_WORDS.get(s.x.use, s.x.use)}"
    text += f"; the fluid was seen at {s.temperature}." if "temperature" in s.v else "; the fluid's temperature is not measured."
    broken = {item.of for item in s.limits if item.violated}
    if "coolers" in broken:
        text += " Fit one in the air or in the radiator's tank, or enter the one that is there."
    if "kind" in broken:
        text += " A cooler in the radiator alone is too little for that: add one in the air."
    if "line_diameter" in broken:
        text += f" The lines are narrow: {s.show(SMALLEST_LINE, 'length', 'mm')} inside at least."
    if "temperature" in broken:
        text += f" Keep it at or below {s.show(WARM, 'temperature', 'degC')}."
    return text


CHECK = Check(
    title="Is the automatic transmission cooled?",
    system="cooling",
    safety=False,
    applies=lambda car, position: car.value("transmission.type") == "automatic",
    inputs=[
        need("transmission.type"),
        need("build.use"),
        option("transmission_cooler.kind"),
        option("transmission_cooler.temperature"),
        option("transmission_cooler.line_diameter"),
        option("transmission_cooler.kind@*", "labelled_kind"),
        option("transmission_cooler.temperature@*", "labelled_temperature"),
        option("transmission_cooler.line_diameter@*", "labelled_line_diameter"),
    ],
    reads=("parts",),
    values={
        "coolers": Shown("coolers fitted", "dimensionless"),
        "temperature": Shown("fluid temperature", "temperature", "degC"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("transmission_cooler.kind"), Fix("transmission_cooler.line_diameter")],
    formula="coolers fitted are counted; the fluid's temperature as measured",
    basis=[common_practice("200 °F to last, 250 °F at most; an air cooler for towing, track and autocross; 6 mm lines")],
)
