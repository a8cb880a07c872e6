"""Bolts: strength by class, clamp load from torque, stripping against breaking, lengths that fit.

SI in and out: lengths m, areas m2, forces N, stresses Pa, torques N·m.
"""

from __future__ import annotations

from math import cos, pi, radians

from service.calc import bolt_lengths, threads

_MPA = 1e6
#: One thousand pounds-force per square inch, in Pa.
KSI = 6.894757293168361e6
_MM = 1e-3

#: Proof stress and tensile strength in Pa by metric property class. Source: ISO 898-1; stainless (0.2 % stress): ISO 3506-1, compared.
METRIC_CLASSES: dict[str, tuple[float, float]] = {name: (proof * _MPA, tensile * _MPA) for name, proof, tensile in (
    ("4.6", 225, 400), ("4.8", 310, 420), ("5.8", 380, 520), ("8.8", 580, 800), ("9.8", 650, 900), ("10.9", 830, 1040), ("12.9", 970, 1220),
    ("A2-70", 450, 700), ("A2-80", 600, 800))}
#: Class 8.8 above M16. Source: ISO 898-1.
LARGE_8_8, LARGE_8_8_FROM = (600 * _MPA, 830 * _MPA), 16 * _MM
#: Proof stress and tensile strength in Pa by inch grade, the diameter up to which they hold in m, and those above it.
#: Source: SAE J429, compared with public copies of its table.
INCH_GRADES: dict[str, tuple[tuple[float, float], float, tuple[float, float]]] = {
    "2": ((55 * KSI, 74 * KSI), 0.75 * 0.0254, (33 * KSI, 60 * KSI)),
    "5": ((85 * KSI, 120 * KSI), 1.0 * 0.0254, (74 * KSI, 105 * KSI)),
    "8": ((120 * KSI, 150 * KSI), 1.5 * 0.0254, (120 * KSI, 150 * KSI)),
}
#: Nut factor K and friction μ by thread condition. Common practice, scatter ±25 %.
NUT_FACTORS = {"dry": 0.20, "zinc_plated_dry": 0.20, "oiled": 0.17, "thread_locker": 0.18, "anti_seize": 0.14, "molybdenum_paste": 0.12, "wax": 0.13}
FRICTION = {"dry": 0.15, "zinc_plated_dry": 0.15, "oiled": 0.125, "thread_locker": 0.135, "anti_seize": 0.10, "molybdenum_paste": 0.085, "wax": 0.09}
#: Spread of the clamp load at one torque. Common practice.
SCATTER = 0.25
#: Mean diameter under a hexagon head over the thread's. Derived: hexagon head on a clearance hole.
HEAD_DIAMETER = 1.3
#: Tensile strength in Pa and shear over tensile of tapped materials. Irons by the least strength in their designations (EN 1561
#: GJL-200, EN 1563 GJS-400); cast aluminum 356-T6 sand cast by ASTM B26, 30 ksi, as a foundry prints it; the others from memory.
TAPPED_MATERIALS: dict[str, tuple[float, float]] = {name: (tensile * _MPA, shear) for name, tensile, shear in (
    ("mild_steel", 400, 0.60), ("medium_steel", 600, 0.60), ("gray_cast_iron", 200, 0.90), ("ductile_iron", 400, 0.80),
    ("cast_aluminum", 205, 0.60), ("aluminum_6061_t6", 290, 0.60), ("aluminum_7075_t6", 510, 0.60))}
#: Shear over tensile strength of the bolt itself. Source: ISO 898-2 reasoning; VDI 2230.
BOLT_SHEAR = 0.6
#: Threads out of a nut, run-out left in a blind hole, and what a bolt may stand out beyond that, in pitches. Common practice.
OUT_OF_NUT, RUN_OUT, STAND_OUT = 2, 2, 8


def is_inch_grade(grade: str) -> bool:
    """Whether a class is an inch grade (2, 5, 8), not a metric property class.

    >>> is_inch_grade("8"), is_inch_grade("8.8")
    (True, False)
    """
    return grade in INCH_GRADES


def strength(grade: str, diameter: float) -> tuple[float, float]:
    """Proof stress and tensile strength in Pa of a class or grade at a diameter in m. ValueError for an unknown one.

    Sources: ISO 898-1; SAE J429; ISO 3506-1.

    >>> [round(value / 1e6) for value in strength("5", 0.0127)], [round(value / 1e6) for value in strength("8.8", 0.020)]
    ([586, 827], [600, 830])
    """
    if grade == "8.8" and diameter > LARGE_8_8_FROM * (1 + 1e-9):
        return LARGE_8_8
    if grade in METRIC_CLASSES:
        return METRIC_CLASSES[grade]
    if grade in INCH_GRADES:
        small, edge, large = INCH_GRADES[grade]
        return small if diameter <= edge * (1 + 1e-9) else large
    raise ValueError(f"no strength is known for a bolt marked {grade}")


def preload(torque: float, nut_factor: float, diameter: float) -> float:
    """Clamp load F = T/(K d) in N: torque T N·m, nut factor K, major diameter d m. Source: Shigley, bolted joints.

    >>> round(preload(60, 0.20, 0.010))
    30000
    """
    if nut_factor <= 0 or diameter <= 0:
        raise ValueError("a thread needs a diameter and friction")
    return torque / (nut_factor * diameter)


def preload_long_form(torque: float, friction: float, diameter: float, pitch: float) -> float:
    """Clamp load F = T/(P/2π + μ d₂/(2 cos 30°) + μ D_km/2) in N, D_km = 1.3 d; T N·m, lengths m. Source: VDI 2230.

    >>> round(preload_long_form(60, 0.15, 0.010, 0.0015))
    30069
    """
    arm = pitch / (2 * pi) + friction * threads.pitch_diameter(diameter, pitch) / (2 * cos(radians(30))) + friction * HEAD_DIAMETER * diameter / 2
    return torque / arm


def stripping(diameter: float, pitch: float, bolt_tensile: float, tapped_tensile: float, tapped_shear: float,
              tapped: tuple[float, float] | None = None) -> float:
    """Load per length of engagement at which a thread strips, in N/m: the weaker of the tapped thread and the bolt's.

    q = min(a_n k R_m,tapped, a_s 0.6 R_m,bolt): strengths Pa, k shear over tensile. `tapped` is diameter and pitch in m of
    the thread cut into the part where an insert stands between it and the bolt. Source: FED-STD-H28/2 shear areas.

    >>> round(stripping(0.010, 0.0015, 800e6, 205e6, 0.60) / 1000)
    2659
    """
    external = threads.shear_areas(diameter, pitch)[1]
    internal = threads.shear_areas(*(tapped or (diameter, pitch)))[0]
    return min(internal * tapped_shear * tapped_tensile, external * BOLT_SHEAR * bolt_tensile)


def through_lengths(grip: float, washers: float, nut_height: float, pitch: float) -> tuple[float, float]:
    """Shortest and longest bolt under the head for a nut: two threads out of it, at most eight more. All m. Derived.

    >>> [round(value * 1000, 2) for value in through_lengths(0.028575, 0.003302, 0.0083312, 0.0254 / 16)]
    [43.38, 56.08]
    """
    shortest = grip + washers + nut_height + OUT_OF_NUT * pitch
    return shortest, shortest + STAND_OUT * pitch


def tapped_lengths(grip: float, washers: float, engagement: float, hole_depth: float, pitch: float) -> tuple[float, float]:
    """Shortest and longest bolt under the head for a blind hole: the engagement wanted, two pitches above the bottom. All m. Derived.

    >>> [round(value * 1000, 2) for value in tapped_lengths(0.010, 0.002, 0.015, 0.022, 0.0015)]
    [27.0, 31.0]
    """
    return grip + washers + engagement, grip + washers + hole_depth - RUN_OUT * pitch


def order_length(shortest: float, longest: float, inch: bool) -> float | None:
    """The smallest shelf length that fits, else the smallest length made that fits, else None. All m.

    >>> round(order_length(0.04338, 0.05608, True) / 0.0254, 3)
    1.75
    """
    shelf = bolt_lengths.smallest_between(bolt_lengths.on_shelf(inch), shortest, longest)
    return shelf if shelf is not None else bolt_lengths.smallest_between(bolt_lengths.made(inch), shortest, longest)


def on_shelf(length: float, inch: bool) -> bool:
    """Whether a length in m commonly stands on a hardware shelf.

    >>> on_shelf(0.065, False), on_shelf(0.060, False)
    (False, True)
    """
    return any(abs(length - size) < 1e-6 for size in bolt_lengths.on_shelf(inch))
