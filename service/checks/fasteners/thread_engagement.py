"""Will the bolt break before the thread strips?

A bolt that breaks is seen and replaced; a thread that strips lets go without warning and ruins the part. Counted is the
full thread engaged, with the loosest fit that the tolerances allow. An inserted steel coil or bushing is another case: its
outer thread is the larger one that holds in the part. The figures are then reckoned with that thread, and no verdict is
given: how much of an insert carries is for its maker to say.
"""

from __future__ import annotations

from typing import Any

from service import notation
from service.calc import fasteners as calc
from service.calc import threads
from service.checks.core import Check, Fix, Outcome, Shown, Unknown, any_recorded, common_practice, from_memory, need, option, published
from service.checks.fasteners.shared import READS, SAFETY_INPUTS, bolt, capital, found, marked, safety

#: Pitches of engagement lost at the ends. Common practice, in the spirit of VDI 2230.
ENDS_LOST = 1.0
#: Engagement in diameters that the trade uses. Common practice.
TRADE_RULE = {"mild_steel": 1.0, "medium_steel": 1.0, "gray_cast_iron": 1.5, "ductile_iron": 1.5, "cast_aluminum": 2.0, "aluminum_6061_t6": 2.0,
              "aluminum_7075_t6": 2.0}
INSERTED = {"coil": "an inserted steel coil", "bushing": "an inserted steel bushing"}
RULE_WORDS = {1.0: "one diameter", 1.5: "one and a half diameters", 2.0: "two diameters"}
WORDS = {"aluminum_6061_t6": "6061-T6 aluminum", "aluminum_7075_t6": "7075-T6 aluminum"}


def judge(x: Any, out: Outcome) -> None:
    """Stripping load against breaking and proof load."""
    thread = bolt(x, out, x.grade)
    inserted = x.insert in INSERTED
    outer = outer_thread(x, thread) if inserted else None
    proof, tensile = calc.strength(marked(x.grade), thread.diameter)
    area = threads.stress_area(thread.diameter, thread.pitch, thread.inch)
    tapped, shear = calc.TAPPED_MATERIALS[x.tapped_material]
    per_length = calc.stripping(thread.diameter, thread.pitch, tensile, tapped, shear, outer)
    lost = ENDS_LOST * thread.pitch
    out.value("break_load", tensile * area)
    out.value("strip_load", per_length * max(x.engagement - lost, 0.0))
    out.value("engagement_required", tensile * area / per_length + lost)
    out.value("engagement_ratio", x.engagement / out.values["engagement_required"])
    if inserted:
        raise Unknown(f"{INSERTED[x.insert]} stands between bolt and {material_words(x.tapped_material)}. The figures are reckoned with its outer thread, "
                      "which is what holds; its maker says how long it has to be")
    out.at_least("strip_load", proof * area, tensile * area, why="the bolt's proof load, caution below the load that breaks it")


def outer_thread(x: Any, thread: notation.Thread) -> tuple[float, float]:
    """Diameter and pitch in m of an insert's outer thread: as recorded, else a coil's by the bolt. Unknown for a bushing not measured."""
    if x.has("insert_thread"):
        outer = notation.thread(x.insert_thread)
        return outer.diameter, outer.pitch
    if x.insert == "coil":
        return threads.coil_diameter(thread.diameter, thread.pitch), thread.pitch
    raise Unknown(f"{INSERTED[x.insert]} stands between bolt and part, and its outer thread, which is what holds, is not recorded")


def say(s: Any) -> str:
    """The finding in words."""
    material = material_words(s.x.tapped_material)
    rule = TRADE_RULE[s.x.tapped_material]
    text = (f"{capital(s.position)}: {s.engagement} of thread in {material}; {s.engagement_required} makes the bolt the weak link "
            f"(the trade's rule there: about {RULE_WORDS[rule]})")
    if found(s) == "pass":
        return text + "."
    what = "the thread strips before the bolt is fully loaded" if s.verdict == "fail" else "the thread strips before the bolt breaks"
    return f"{text}. Here {what}: a longer bolt where the hole is deep enough, or a threaded insert."


def material_words(material: str) -> str:
    """A tapped material in words."""
    return WORDS.get(material, material.replace("_", " "))


CHECK = Check(
    title="Will the bolt break before the thread strips?",
    system="fasteners",
    safety=safety,
    at=("label", "fastener", "joint"),
    applies=any_recorded("joint.tapped_material@here"),
    reads=READS,
    inputs=[
        need("fastener.thread@here"),
        need("fastener.class@here", "grade"),
        need("joint.engagement@here"),
        need("joint.tapped_material@here"),
        option("joint.insert@here"),
        option("joint.insert_thread@here"),
        *SAFETY_INPUTS,
    ],
    values={
        "break_load": Shown("load that breaks the bolt", "force", "kN"),
        "strip_load": Shown("load that strips the thread", "force", "kN"),
        "engagement_required": Shown("engagement that makes the bolt the weak link", "length", "mm"),
        "engagement_ratio": Shown("engagement over that", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[Fix("joint.engagement@here", "a longer bolt, if the hole is deep enough")],
    formula="q = min(a_n·k·R_m,tapped, a_s·0.6·R_m,bolt), strip_load = q·(L_e − P), engagement_required = R_m,bolt·A_s/q + P; a_n, a_s at the loosest fit",
    basis=[
        published("shear areas: FED-STD-H28/2; ASME B1.1 appendix"),
        published("tolerances: ISO 965-1 formulas, compared with published limits of M5 to M24 and of inch threads"),
        published("gray iron EN-GJL-200 (EN 1561), ductile iron EN-GJS-400 (EN 1563), cast aluminum 356-T6 (ASTM B26: 30 ksi, as a foundry prints it)"),
        from_memory("strengths of tapped steel and wrought aluminum, and shear shares: minimum handbook values"),
        from_memory("thread tapped for a steel coil: DIN 8140, ASME B18.29; compared with printed tap diameters"),
        common_practice("one pitch lost at the ends; 1, 1.5 and 2 diameters"),
    ],
)
