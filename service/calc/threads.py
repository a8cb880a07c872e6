"""Thread geometry: stress area, pitch diameter, and the diameters at the loose end of their tolerances.

SI in and out (m, m2). Sources: ISO 724 and ISO 898-1 (metric), ASME B1.1 (inch), ISO 965-1 (tolerances).
"""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from math import pi, sqrt

#: Factors of the pitch: pitch diameter d - 0.649519 P, internal minor diameter d - 1.082532 P. Source: ISO 724.
PITCH_DIAMETER_FACTOR, MINOR_DIAMETER_FACTOR = 0.649519, 1.082532
#: Stress area from d - c P. Metric: ISO 898-1 (9.1.6.1); inch: ASME B1.1, D - 0.9743/n.
METRIC_STRESS_FACTOR, INCH_STRESS_FACTOR = 0.938194, 0.9743
#: Ends of the diameter steps by whose geometric mean tolerances are computed, mm. Source: ISO 965-1.
DIAMETER_STEPS = (0.99, 1.4, 2.8, 5.6, 11.2, 22.4, 45.0, 90.0, 180.0, 355.0)
_MM = 1e-3


def stress_area(diameter: float, pitch: float, inch: bool) -> float:
    """Stress area A_s = π/4 (d − c P)² in m2: major diameter d and pitch P in m, c = 0.938194 metric, 0.9743 inch.

    ValueError when the pitch does not belong to the diameter. Sources: ISO 898-1; ASME B1.1.

    >>> round(stress_area(0.010, 0.0015, False) * 1e6, 2), round(stress_area(0.009525, 0.0254 / 16, True) * 1550.0031, 4)
    (57.99, 0.0775)
    """
    core = diameter - (INCH_STRESS_FACTOR if inch else METRIC_STRESS_FACTOR) * pitch
    if pitch <= 0 or core <= 0:
        raise ValueError("this pitch does not belong to this diameter")
    return pi / 4 * core * core


def pitch_diameter(diameter: float, pitch: float) -> float:
    """d₂ = d − 0.649519 P in m. Source: ISO 724.

    >>> round(pitch_diameter(0.010, 0.0015) * 1000, 3)
    9.026
    """
    return diameter - PITCH_DIAMETER_FACTOR * pitch


def coil_diameter(diameter: float, pitch: float) -> float:
    """Major diameter in m of the thread tapped for a steel coil that takes a bolt of this diameter and pitch: d + 1.299038 P.

    Source: DIN 8140 and ASME B18.29 (twice the offset of the pitch diameter), from memory.

    >>> round(coil_diameter(0.010, 0.0015) * 1000, 3)
    11.949
    """
    return diameter + 2 * PITCH_DIAMETER_FACTOR * pitch


@lru_cache(maxsize=1024)
def loose_diameters(diameter: float, pitch: float) -> tuple[float, float, float, float]:
    """The loosest fit of classes 6g and 6H: (d_min, d2_min, D1_max, D2_max) in m, from d and P in m.

    In mm and μm: es = −(15 + 11 P), T_d = 180 P^(2/3) − 3.15/√P, T_d2 = 90 P^0.4 D̄^0.1, T_D2 = 1.32 T_d2,
    T_D1 = 230 P^0.7 for P ≥ 1, else 433 P − 190 P^1.22; D̄ the geometric mean of the diameter step.
    ValueError outside 0.99 to 355 mm. Source: ISO 965-1, formulas.

    >>> [round(value * 1000, 3) for value in loose_diameters(0.010, 0.0015)]
    [9.735, 8.864, 8.682, 9.198]
    """
    d, p = diameter / _MM, pitch / _MM
    mean = _step_mean(d)
    es = -(15 + 11 * p)
    major = 180 * p ** (2 / 3) - 3.15 / sqrt(p)
    flank = 90 * p**0.4 * mean**0.1
    inner = 230 * p**0.7 if p >= 1 else 433 * p - 190 * p**1.22
    micrometers = ((0.0, es - major), (PITCH_DIAMETER_FACTOR, es - flank), (MINOR_DIAMETER_FACTOR, inner), (PITCH_DIAMETER_FACTOR, 1.32 * flank))
    smallest, pitch_min, minor_max, pitch_max = ((d - factor * p + deviation / 1000) * _MM for factor, deviation in micrometers)
    return smallest, pitch_min, minor_max, pitch_max


def _step_mean(diameter: float) -> float:
    for low, high in pairwise(DIAMETER_STEPS):
        if low <= diameter <= high:
            return sqrt(low * high)
    raise ValueError("thread tolerances are tabled from 1 to 355 mm")


@lru_cache(maxsize=1024)
def shear_areas(diameter: float, pitch: float) -> tuple[float, float]:
    """Sheared area per length of engagement in m: of the internal thread, of the external thread, loosest fit.

    a_n = π d_min/P·(P/2 + (d_min − D2_max)/√3), a_s = π D1_max/P·(P/2 + (d2_min − D1_max)/√3).
    Sources: FED-STD-H28/2; ASME B1.1 appendix.

    >>> [round(value * 1000, 2) for value in shear_areas(0.010, 0.0015)]
    [21.62, 15.55]
    """
    major, pitch_min, minor, pitch_max = loose_diameters(diameter, pitch)
    internal = pi * major / pitch * (pitch / 2 + (major - pitch_max) / sqrt(3))
    external = pi * minor / pitch * (pitch / 2 + (pitch_min - minor) / sqrt(3))
    return internal, external
