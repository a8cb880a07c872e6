"""Static compression ratio and piston-to-head clearance.

Watch for dish and dome signs, a gasket bore smaller than the cylinder bore, and a decked block that makes the deck
clearance negative. Crevice volumes left out lower the real ratio by 0.1 to 0.2; cam timing lowers the dynamic ratio. A
maker's fuel requirement outranks the limits here; direct injection stands about 1.5 more.
"""

from __future__ import annotations

from typing import Any

from service.calc import engine as calc
from service.checks.core import Check, Fix, Outcome, Shown, Unknown, common_practice, derived, need, on_car, option, published
from service.checks.driveline.shared import edge

#: Piston-to-head clearance (fail, caution) by rod material, m; one right on the inch figure is inside too. Common practice.
CLEARANCE = {"steel": (0.00064, 0.00089), "titanium": (0.00064, 0.00089), "aluminum": (0.00127, 0.00152)}
#: The inch figures of the same: 0.025 and 0.035 in, aluminum 0.050 and 0.060 in.
CLEARANCE_INCH = {"steel": (0.000635, 0.000889), "titanium": (0.000635, 0.000889), "aluminum": (0.00127, 0.00152)}
#: Ratio above the fuel's figure at which it fails, and pressure-equivalent ratio above it that asks for care. Common practice.
FAIL_ABOVE, BOOSTED_ABOVE = 3.0, 2.0
#: Natural diesel. Common practice.
DIESEL = (14.0, 23.0)
#: Difference from the claimed ratio worth a second look. Common practice.
CLAIM_DIFFERENCE = 0.3
BOOSTED = ("supercharged", "turbocharged")


def judge(x: Any, out: Outcome) -> None:
    """Clearance first, it needs least; then the ratio, the fuel, the claim."""
    with out.part():
        clearance = out.value("piston_to_head_clearance", x.gasket_thickness + x.deck_clearance)
        fail, caution = (edge(clearance, *pair) for pair in zip(CLEARANCE[x.rod_material], CLEARANCE_INCH[x.rod_material], strict=True))
        out.at_least("piston_to_head_clearance", fail, caution, why=f"{x.rod_material} rods stretch", value=clearance)
    with out.part():
        out.value("cylinder_displacement", calc.cylinder_displacement(x.bore, x.stroke))
    volume = out.value("clearance_volume", calc.clearance_volume(
        x.bore, x.chamber_volume, x.piston_volume, x.gasket_bore, x.gasket_thickness, x.deck_clearance))
    ratio = out.value("compression_ratio", calc.compression_ratio(calc.cylinder_displacement(x.bore, x.stroke), volume))
    _fuel(x, out, ratio)
    if x.has("claim"):
        close = abs(ratio - x.claim) <= CLAIM_DIFFERENCE + 1e-9
        out.must(close, f"the engine sheet says {x.claim:g} : 1", "caution", of="compression_ratio")


def _fuel(x: Any, out: Outcome, ratio: float) -> None:
    boosted = x.aspiration in BOOSTED
    if boosted and x.has("boost_pressure"):
        out.value("pressure_equivalent_ratio", calc.pressure_equivalent_ratio(ratio, x.boost_pressure))
    if (x.fuel == "diesel") != (x.recorded_fuel == "diesel"):
        raise Unknown("a diesel and a gasoline engine do not change fuels")
    if x.fuel == "diesel":
        if not boosted:
            out.within("compression_ratio", DIESEL, worst="caution", why="usual for a diesel without boost")
        return
    if boosted and not x.has("boost_pressure"):
        out.must(False, "the boost is not recorded, so the fuel cannot be judged", "caution", of="compression_ratio")
    elif x.has("fuel"):
        care = calc.COMPRESSION_NEEDING_CARE[x.fuel]
        if boosted:
            out.at_most("pressure_equivalent_ratio", caution=care + BOOSTED_ABOVE, why="charge cooling, timing and calibration decide above this")
        else:
            out.at_most("compression_ratio", care + FAIL_ABOVE, care, why="what this fuel stands without knocking")


def say(s: Any) -> str:
    """The finding in words."""
    clearance = f"the piston comes within {s.piston_to_head_clearance} of the head" if s.v.get("piston_to_head_clearance", 1) >= 0 else (
        "the piston would strike the head")
    if "compression_ratio" not in s.v:
        return f"{clearance[:1].upper()}{clearance[1:]}."
    fuel = f" on {s.fuel.replace('gasoline ', '')}{' gasoline' if 'gasoline' in s.fuel else ''}" if s.x.fuel else ""
    text = f"Compression is {s.v['compression_ratio']:.2f} : 1{fuel}; {clearance}."
    if "pressure_equivalent_ratio" in s.v:
        text += f" With the boost it ends at the pressure of {s.v['pressure_equivalent_ratio']:.1f} : 1."
    broken = {(limit.of, limit.kind): limit for limit in s.limits if limit.violated}
    return " ".join([text, *(_sentence(s, limit) for limit in broken.values())])


def _sentence(s: Any, limit: Any) -> str:
    if limit.of == "piston_to_head_clearance":
        return f"With {s.rod_material} rods at least {s.show(CLEARANCE[s.x.rod_material][1], 'length', 'mm')} is wanted."
    if limit.kind == "must":
        return f"{limit.why[:1].upper()}{limit.why[1:]}."
    if s.x.fuel == "diesel":
        return f"A diesel without boost is usual from {DIESEL[0]:g} to {DIESEL[1]:g} : 1."
    ways = "more volume, better fuel or less boost" if s.x.aspiration in BOOSTED else "more volume or better fuel"
    return f"Above {limit.high:.1f} : 1 this fuel knocks unless chamber, timing and cooling are made for it: {ways}."


CHECK = Check(
    title="Compression ratio and piston-to-head clearance",
    system="engine",
    safety=False,
    applies=on_car("engine"),
    inputs=[
        need("engine.bore"), need("engine.stroke"), need("engine.chamber_volume"), need("engine.piston_volume"),
        need("engine.gasket_bore"), need("engine.gasket_thickness"), need("engine.deck_clearance"),
        option("engine.fuel"),
        option("engine.fuel", "recorded_fuel"),
        option("engine.aspiration", default="natural", why="natural unless recorded"),
        option("engine.boost_pressure"),
        option("engine.compression_ratio", "claim"),
        option("engine.rod_material", default="steel", why="steel unless recorded"),
    ],
    values={
        "compression_ratio": Shown("compression ratio", "dimensionless"),
        "clearance_volume": Shown("volume above the piston", "volume", "cc"),
        "cylinder_displacement": Shown("displacement of one cylinder", "volume", "cu in"),
        "piston_to_head_clearance": Shown("piston-to-head clearance", "length", "mm"),
        "pressure_equivalent_ratio": Shown("ratio of the same pressure without boost", "dimensionless"),
    },
    judge=judge,
    say=say,
    remedies=[
        Fix("engine.chamber_volume"), Fix("engine.piston_volume"), Fix("engine.gasket_thickness"), Fix("engine.gasket_bore"),
        Fix("engine.deck_clearance"), Fix("engine.fuel"), Fix("engine.boost_pressure"),
    ],
    formula="CR = (V_d + V_c)/V_c; V_c = chamber + piston + gasket + deck; clearance = gasket + deck; CR_p = CR (1 + p_b/101325 Pa)^(1/1.3)",
    basis=[
        published("compression ratio: Heywood, Internal Combustion Engine Fundamentals, chapter 2"),
        derived("volumes; ratio of the same end-of-compression pressure, polytropic exponent 1.3"),
        common_practice("what each fuel stands; clearances by rod material; 0.3 of the claimed ratio"),
    ],
)
