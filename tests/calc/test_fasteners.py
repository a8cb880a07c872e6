"""Bolts, judged by published tables of proof loads, stress areas, thread limits and stripping areas."""

from __future__ import annotations

from math import pi, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service import notation
from service.calc import bolt_lengths, threads
from service.calc import fasteners as calc

INCH, MM, KSI = 0.0254, 1e-3, 6.894757e6
#: Proof loads in N, coarse threads: ISO 898-1, as a fastener supplier's public page prints its table (4.6 4.8 5.8 8.8 9.8 10.9 12.9).
PROOF_LOADS = """
M5 3200 4400 5400 8230 9230 11800 13800
M6 4520 6230 7640 11600 13100 16700 19500
M8 8240 11400 13900 21200 23800 30400 35500
M10 13000 18000 22000 33700 37700 48100 56300
M12 19000 26100 32000 48900 54800 70000 81800
M14 25900 35600 43700 66700 74800 95500 112000
M16 35300 48700 59700 91000 102000 130000 152000
M18 43200 59500 73000 115000 - 159000 186000
M20 55100 76000 93100 147000 - 203000 238000
M22 68200 93900 115000 182000 - 252000 294000
M24 79400 109000 134000 212000 - 293000 342000
"""
CLASSES = ("4.6", "4.8", "5.8", "8.8", "9.8", "10.9", "12.9")
ROWS = [row.split() for row in PROOF_LOADS.strip().split("\n")]
ISO_898_1 = [(row[0], grade, float(load)) for row in ROWS for grade, load in zip(CLASSES, row[1:], strict=True) if load != "-"]
#: Ultimate loads in N of class 8.8 and 10.9, coarse: ISO 898-1, as a second public page prints them.
ULTIMATE = {"M6": (16100, 20900), "M8": (29200, 38100), "M10": (46400, 60300), "M12": (67400, 87700), "M16": (125000, 163000), "M20": (203000, 255000)}
#: Stress areas in square inches: ASME B1.1, UNC from one public page, UNF from another.
STRESS_AREAS = {
    "1/4-20": 0.0318, "5/16-18": 0.0524, "3/8-16": 0.0775, "7/16-14": 0.1063, "1/2-13": 0.1419, "5/8-11": 0.226, "3/4-10": 0.334, "7/8-9": 0.462,
    "1/4-28": 0.0364, "5/16-24": 0.0580, "3/8-24": 0.0878, "7/16-20": 0.1187, "1/2-20": 0.1599, "9/16-18": 0.203, "5/8-18": 0.256, "3/4-16": 0.373,
    "#10-24": 0.0175,
}
#: Stripping areas in square inches at one diameter of engagement, bolt and nut thread, classes 2A/2B: FED-STD-H28 as a public page prints it.
STRIPPING = {
    "1/4-20": (0.092, 0.135), "5/16-18": (0.147, 0.213), "3/8-16": (0.216, 0.310), "3/8-24": (0.217, 0.299), "7/16-14": (0.296, 0.428),
    "1/2-13": (0.389, 0.562),
    "1/2-20": (0.400, 0.541), "9/16-12": (0.503, 0.717), "5/8-11": (0.624, 0.891), "5/8-18": (0.624, 0.853), "3/4-10": (0.910, 1.29),
}
#: Limits of M10 6g in mm (d min, d2 min) as a public thread calculator prints them, and of M5 and M6 from a maker's table after ISO 965.
LIMITS_6G = {"M10": (9.732, 8.862), "M5": (4.826, 4.361), "M6": (5.794, 5.212)}
#: Proof and tensile in ksi by grade and diameter in inches: SAE J429, as a university's public page and a bolt maker's page print it.
SAE_J429 = [
    ("2", 0.5, 55, 74), ("2", 0.75, 55, 74), ("2", 0.875, 33, 60), ("5", 0.25, 85, 120), ("5", 1.0, 85, 120), ("5", 1.125, 74, 105),
    ("8", 0.5, 120, 150), ("8", 1.5, 120, 150),
]


#: Stress at 0.2 % and tensile strength in MPa of stainless bolts: ISO 3506-1, as a bolt maker's page and a second one print it.
ISO_3506_1 = {"A2-70": (450, 700), "A2-80": (600, 800)}
#: Lengths in mm of ISO 4017 screws, which are those of ISO 888, from an open parts library's table.
ISO_4017 = "2 3 4 5 6 8 10 12 16 20 25 30 35 40 45 50 55 60 65 70 80 90 100 110 120 130 140 150 160 180 200"
#: Coarse pitches in mm (ISO 261), from a handbook's page of nuts and bolts; M14, M18 and M22 from an open table of tapping drills.
ISO_261 = "M3 0.5 M4 0.7 M5 0.8 M6 1 M8 1.25 M10 1.5 M12 1.75 M14 2 M16 2 M18 2.5 M20 2.5 M22 2.5 M24 3 M30 3.5"
#: UNC sizes, from the same table of tapping drills.
UNC = "#4-40 #5-40 #6-32 #8-32 #10-24 #12-24 1/4-20 5/16-18 3/8-16 7/16-14 1/2-13 9/16-12 5/8-11 3/4-10 7/8-9 1-8"
#: Least tensile strengths: irons by their designations (EN 1561, EN 1563), 356-T6 sand cast by ASTM B26 as a foundry prints it (30 ksi).
TAPPED = {"gray_cast_iron": 200e6, "ductile_iron": 400e6, "cast_aluminum": 30 * KSI}


@pytest.mark.parametrize("grade", ISO_3506_1)
def test_stainless_strengths_agree_with_iso_3506_1(grade: str) -> None:
    assert calc.strength(grade, 10 * MM) == tuple(value * 1e6 for value in ISO_3506_1[grade])


def test_metric_lengths_are_those_of_iso_4017() -> None:
    made = [round(length / MM) for length in bolt_lengths.METRIC_MADE]
    assert made == [int(length) for length in ISO_4017.split() if int(length) >= made[0]]


def test_coarse_pitches_agree_with_iso_261() -> None:
    sizes = ISO_261.split()
    for size, pitch in zip(sizes[::2], sizes[1::2], strict=True):
        thread = notation.thread(size)
        assert (thread.pitch / MM, thread.fine) == (pytest.approx(float(pitch)), False)


@pytest.mark.parametrize("size", UNC.split())
def test_coarse_inch_threads_are_unc(size: str) -> None:
    assert not notation.thread(size).fine


@pytest.mark.parametrize("material", TAPPED)
def test_tapped_materials_hold_their_standards_strength(material: str) -> None:
    assert calc.TAPPED_MATERIALS[material][0] == pytest.approx(TAPPED[material], rel=0.01)


@pytest.mark.parametrize(("size", "grade", "load"), ISO_898_1)
def test_proof_loads_agree_with_iso_898_1(size: str, grade: str, load: float) -> None:
    thread = notation.thread(size)
    ours = calc.strength(grade, thread.diameter)[0] * threads.stress_area(thread.diameter, thread.pitch, False)
    assert ours == pytest.approx(load, rel=0.007)


@pytest.mark.parametrize("size", ULTIMATE)
def test_ultimate_loads_agree_with_iso_898_1(size: str) -> None:
    thread = notation.thread(size)
    area = threads.stress_area(thread.diameter, thread.pitch, False)
    ours = [calc.strength(grade, thread.diameter)[1] * area for grade in ("8.8", "10.9")]
    assert ours == pytest.approx(list(ULTIMATE[size]), rel=0.006)


@pytest.mark.parametrize(("grade", "inches", "proof", "tensile"), SAE_J429)
def test_inch_grades_agree_with_sae_j429(grade: str, inches: float, proof: float, tensile: float) -> None:
    assert [stress / KSI for stress in calc.strength(grade, inches * INCH)] == pytest.approx([proof, tensile], rel=1e-6)


@pytest.mark.parametrize("size", STRESS_AREAS)
def test_stress_areas_agree_with_asme_b1_1(size: str) -> None:
    thread = notation.thread(size)
    assert threads.stress_area(thread.diameter, thread.pitch, True) / INCH**2 == pytest.approx(STRESS_AREAS[size], rel=2.5e-3)


def test_the_metric_constant_is_wrong_for_inch_threads() -> None:
    """Used for 3/8-16 it would be off by more than the printed table's rounding."""
    thread = notation.thread("3/8-16")
    assert threads.stress_area(thread.diameter, thread.pitch, False) / INCH**2 != pytest.approx(0.0775, rel=0.01)


@pytest.mark.parametrize("size", STRIPPING)
def test_stripping_areas_agree_with_h28(size: str) -> None:
    """Printed for 2A/2B limits; ISO tolerance formulas stand in for them here."""
    thread = notation.thread(size)
    internal, external = (area * thread.diameter / INCH**2 for area in threads.shear_areas(thread.diameter, thread.pitch))
    assert external == pytest.approx(STRIPPING[size][0], rel=0.05)
    assert internal == pytest.approx(STRIPPING[size][1], rel=0.03)


@pytest.mark.parametrize("size", LIMITS_6G)
def test_thread_limits_agree_with_printed_ones(size: str) -> None:
    thread = notation.thread(size)
    major, pitch, _, _ = threads.loose_diameters(thread.diameter, thread.pitch)
    assert [major / MM, pitch / MM] == pytest.approx(list(LIMITS_6G[size]), abs=0.006)


@given(st.floats(min_value=1, max_value=1000), st.sampled_from(sorted(calc.FRICTION)), st.sampled_from(["M6", "M8", "M10", "M12", "M16", "M20"]))
def test_long_form_agrees_with_vdi_2230_as_printed(torque: float, lubricant: str, size: str) -> None:
    """M = F (0.16 P + 0.58 d2 μ + D_km μ/2), constants rounded as in VDI 2230."""
    thread, friction = notation.thread(size), calc.FRICTION[lubricant]
    printed = 0.16 * thread.pitch + 0.58 * threads.pitch_diameter(thread.diameter, thread.pitch) * friction + 1.3 * thread.diameter * friction / 2
    assert calc.preload_long_form(torque, friction, thread.diameter, thread.pitch) == pytest.approx(torque / printed, rel=0.005)


def test_long_form_without_friction_is_an_inclined_plane() -> None:
    """F = T/(P/2π): energy of a turn, 2πT = F·P."""
    assert 2 * pi * 10.0 == pytest.approx(calc.preload_long_form(10.0, 0.0, 0.010, 0.0015) * 0.0015, rel=1e-12)


def test_power_screw_of_a_textbook_form() -> None:
    """Shigley's screw: T = F d2/2·tan(λ + ρ'), tan ρ' = μ/cos 30°, plus the head's friction; small angles differ little."""
    friction, d, p, force = 0.15, 0.010, 0.0015, 30000.0
    d2 = threads.pitch_diameter(d, p)
    lead, rho = p / (pi * d2), friction / 0.8660254
    torque = force * d2 / 2 * (lead + rho) / (1 - lead * rho) + force * friction * 1.3 * d / 2
    assert tan(lead) == pytest.approx(lead, rel=2e-3)
    assert calc.preload_long_form(torque, friction, d, p) == pytest.approx(force, rel=0.01)


@pytest.mark.parametrize("size", ["M6", "M8", "M10", "M12", "3/8-16", "1/2-13"])
def test_engagement_in_steel_follows_the_trade_rule(size: str) -> None:
    """Common practice: one diameter in steel, two in soft cast aluminum, hold a class 8.8 bolt within a fifth of a diameter."""
    thread = notation.thread(size)
    tensile = 800e6
    load = tensile * threads.stress_area(thread.diameter, thread.pitch, thread.inch)
    steel = load / calc.stripping(thread.diameter, thread.pitch, tensile, *calc.TAPPED_MATERIALS["mild_steel"]) + thread.pitch
    aluminum = load / calc.stripping(thread.diameter, thread.pitch, tensile, *calc.TAPPED_MATERIALS["cast_aluminum"]) + thread.pitch
    assert 0.7 < steel / thread.diameter < 1.2
    assert 1.5 < aluminum / thread.diameter < 2.2


def test_a_pitch_that_does_not_belong_to_the_diameter() -> None:
    with pytest.raises(ValueError, match="does not belong"):
        threads.stress_area(0.001, 0.002, False)


def test_an_unknown_class_has_no_strength() -> None:
    with pytest.raises(ValueError, match="marked 7"):
        calc.strength("7", 0.010)


def test_tolerances_outside_the_standard() -> None:
    with pytest.raises(ValueError, match="355 mm"):
        threads.loose_diameters(0.0005, 0.0001)


@given(st.floats(min_value=2, max_value=150), st.floats(min_value=0, max_value=6), st.floats(min_value=3, max_value=20),
       st.sampled_from([1.0, 1.25, 1.5, 1.75]), st.booleans())
def test_the_length_to_buy_fits(grip: float, washers: float, nut: float, pitch: float, inch: bool) -> None:
    shortest, longest = calc.through_lengths(grip * MM, washers * MM, nut * MM, pitch * MM)
    found = calc.order_length(shortest, longest, inch)
    if found is not None:
        assert shortest - 1e-9 <= found <= longest + 1e-9
        protruding = found - (grip + washers + nut) * MM
        assert 2 * pitch * MM - 1e-9 <= protruding <= 10 * pitch * MM + 1e-9


#: Bolt diameter in inches, threads per inch, largest major diameter of the tap for its steel coil: a designer's public table of hole data.
COIL_TAPS = ((0.086, 56, 0.1117), (0.099, 48, 0.1289), (0.112, 40, 0.1473), (0.125, 40, 0.1603), (0.138, 32, 0.1817))


@pytest.mark.parametrize(("diameter", "threads_per_inch", "largest"), COIL_TAPS)
def test_the_thread_for_a_coil_agrees_with_printed_taps(diameter: float, threads_per_inch: int, largest: float) -> None:
    """The tap is as large as the thread at least, and at most 0.0035 in larger."""
    ours = threads.coil_diameter(diameter * INCH, INCH / threads_per_inch) / INCH
    assert 0 < largest - ours < 0.0035


def test_a_coil_in_aluminum_holds_more_than_the_bolts_own_thread() -> None:
    bare = calc.stripping(0.010, 0.0015, 800e6, 205e6, 0.60)
    coil = calc.stripping(0.010, 0.0015, 800e6, 205e6, 0.60, (threads.coil_diameter(0.010, 0.0015), 0.0015))
    assert 1.15 < coil / bare < 1.25
    assert calc.stripping(0.010, 0.0015, 400e6, 510e6, 0.60, (0.030, 0.0015)) == pytest.approx(threads.shear_areas(0.010, 0.0015)[1] * 0.6 * 400e6)
