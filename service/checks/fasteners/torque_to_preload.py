"""Does this torque give a sound clamp load?

Most of a torque goes into friction, so the same wrench setting puts very different loads on a dry, an oiled and a greased
thread. A figure meant for dry threads overloads greased ones; a bolt loaded too little works loose and breaks in bending.
The maker's torque for a part outranks what is computed here. Where a torque is followed by an angle, the angle decides.
"""

from __future__ import annotations

from typing import Any

from service import notation
from service.calc import fasteners as calc
from service.calc import threads
from service.checks.core import Check, Fix, Missing, Outcome, Shown, Unknown, any_recorded, common_practice, derived, need, option, published
from service.checks.fasteners.shared import READS, SAFETY_INPUTS, STAINLESS, THREADS_IN_WORDS, bolt, capital, found, marked, safety, stronger_classes

#: Shares of the proof load: fail, caution above, caution below (a loose joint works loose). Common practice.
OVERLOADED, NEARLY, LOOSE = 1.0, 0.90, 0.40
#: Shares of the proof load to aim for. Common practice.
AIM = (0.50, 0.75)


def judge(x: Any, out: Outcome) -> None:
    """Clamp load by torque against the proof load."""
    if x.extra_angle:
        raise Unknown("torque plus angle: the angle sets the clamp load; follow the maker and renew the bolts")
    thread = bolt(x, out, x.grade)
    area = out.value("stress_area", threads.stress_area(thread.diameter, thread.pitch, thread.inch))
    force = out.value("preload", calc.preload(torque(x), calc.NUT_FACTORS[x.lubricant], thread.diameter))
    out.value("preload_low", force * (1 - calc.SCATTER))
    out.value("preload_high", force * (1 + calc.SCATTER))
    out.value("preload_long_form", calc.preload_long_form(torque(x), calc.FRICTION[x.lubricant], thread.diameter, thread.pitch))
    proof = out.value("proof_load", area * calc.strength(marked(x.grade), thread.diameter)[0])
    out.value("proof_fraction", force / proof)
    out.at_most("proof_fraction", OVERLOADED, NEARLY, why="share of the proof load")
    out.at_most("preload_high", caution=proof, why="the proof load, with the scatter of a torque wrench")
    out.at_least("proof_fraction", caution=LOOSE, why="below this a joint works loose")
    if x.grade in STAINLESS:
        out.remark("Stainless has no proof load; its 0.2 % stress is used.")


def torque(x: Any) -> float:
    """The specified torque, else the applied one."""
    if x.has("specified_torque"):
        return float(x.specified_torque)
    if x.has("applied_torque"):
        return float(x.applied_torque)
    raise Missing("specified_torque")


def _aim(x: Any) -> tuple[float, float]:
    """Torques, N·m, that load the bolt to the shares of its proof load to aim for."""
    thread = notation.thread(x.thread)
    proof = calc.strength(marked(x.grade), thread.diameter)[0] * threads.stress_area(thread.diameter, thread.pitch, thread.inch)
    low, high = (share * proof * calc.NUT_FACTORS[x.lubricant] * thread.diameter for share in AIM)
    return low, high


def say(s: Any) -> str:
    """The finding in words."""
    typed = s.specified_torque or s.applied_torque
    text = (f"{capital(s.position)}: {typed} on {THREADS_IN_WORDS[s.x.lubricant]} puts about {s.preload} on the bolt, {s.percent(s.v['proof_fraction'])} "
            f"of what it can hold; it may be {s.preload_low} to {s.preload_high}")
    if found(s) == "pass":
        return text + (". Grease or oil would raise it: keep the threads dry." if s.x.lubricant in ("dry", "zinc_plated_dry") else ".")
    arm = torque(s.x) / s.v["proof_fraction"]
    aim = f"{s.show(AIM[0] * arm, 'torque')} to {s.show(AIM[1] * arm, 'torque')} is half to three quarters of it"
    share = s.v["proof_fraction"]
    fault = ("too little to stay tight" if share < LOOSE else "it yields" if share > OVERLOADED
             else "near yielding" if share > NEARLY else "with a wrench's scatter it may yield")
    return f"{text}: {fault}. {capital(aim)}; the maker's own figure outranks this."


CHECK = Check(
    title="Does this torque give a sound clamp load?",
    system="fasteners",
    safety=safety,
    at=("label", "fastener"),
    applies=any_recorded("fastener.specified_torque@here", "fastener.applied_torque@here"),
    reads=READS,
    inputs=[
        need("fastener.thread@here"),
        need("fastener.class@here", "grade"),
        option("fastener.specified_torque@here"),
        option("fastener.applied_torque@here"),
        option("fastener.lubricant@here", default="dry"),
        option("fastener.extra_angle@here"),
        *SAFETY_INPUTS,
    ],
    either=[(("specified_torque",), ("applied_torque",))],
    values={
        "stress_area": Shown("stress area", "area", "mm2"),
        "preload": Shown("clamp load", "force", "kN"),
        "preload_low": Shown("clamp load, least", "force", "kN"),
        "preload_high": Shown("clamp load, most", "force", "kN"),
        "preload_long_form": Shown("clamp load by the long formula", "force", "kN"),
        "proof_load": Shown("proof load", "force", "kN"),
        "proof_fraction": Shown("share of the proof load", "dimensionless", "%"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("fastener.specified_torque@here", "half to three quarters of the proof load is the aim", within=_aim),
        Fix("fastener.class@here", candidates=stronger_classes),
        Fix("fastener.lubricant@here", "only with the torque made for it"),
    ],
    formula="F = T/(K·d), A_s = π/4·(d − 0.938194 P)² (inch: d − 0.9743/n), F_proof = S_p·A_s; long form F = T/(P/2π + μ·d₂/(2 cos 30°) + μ·D_km/2)",
    basis=[
        published("stress area: ISO 898-1; ASME B1.1"),
        published("strength: ISO 898-1; SAE J429"),
        published("T = K·F·d: Shigley, Mechanical Engineering Design, bolted joints"),
        published("long form: VDI 2230"),
        derived("D_km = 1.3 d: hexagon head on a clearance hole"),
        common_practice("K, μ, their scatter of ±25 %; 0.4 to 0.9 of the proof load"),
    ],
)
