"""Coolant: where a mix of water and glycol boils under a cap, and where it freezes."""

from __future__ import annotations

import math

#: Pa per mmHg. Source: NIST SP 811, conventional millimeter of mercury.
MMHG = 133.3224
ZERO_CELSIUS = 273.15
#: Antoine constants, log₁₀(p/mmHg) = A − B/(C + t/°C), as public collections print them. Water compared with CoolProp: its
#: boiling point comes out within 0.45 K from 85 °C on and 0.9 K low at 60 °C. Both compared with the vapor pressures of
#: Perry's Chemical Engineers' Handbook, 8th edition: a mix boils within 0.2 K of them from 1 to 2.5 bar.
WATER_ANTOINE = (8.14019, 1810.94, 244.485)
ETHYLENE_ANTOINE = (8.09083, 2088.936, 203.454)
#: Density, kg/m³, and molar mass, g/mol, at 20 °C. Source: Perry's Chemical Engineers' Handbook, 8th edition (compared, 0.1 %).
WATER = (998.0, 18.015)
GLYCOLS = {"ethylene": (1113.0, 62.068), "propylene": (1036.0, 76.095)}
#: What leaving out propylene glycol's own vapor costs, K. Common practice; within 0.6 K of the same handbook up to 60 %.
PROPYLENE_ALLOWANCE = 0.5
#: °C within which the vapor pressures hold. Source: comparison with CoolProp.
BOILING_RANGE = (60.0, 200.0)

#: Volume shares and freeze points, °C. Source: rounded to the warmer side from the volume-based ASHRAE-derived fits of
#: CoolProp (AEG, APG); other sources differ by up to 1.5 K.
FREEZE_SHARES = (0.0, 0.10, 0.20, 0.30, 0.33, 0.40, 0.50, 0.55, 0.60)
FREEZE_POINTS = {
    "ethylene": (0.0, -3.5, -8.5, -15.5, -18.0, -24.5, -36.9, -44.0, -52.0),
    "propylene": (0.0, -3.3, -7.3, -13.0, -15.2, -21.3, -33.5, -41.5, -51.0),
}


def vapor_pressure(celsius: float, antoine: tuple[float, float, float]) -> float:
    """Vapor pressure by Antoine, log₁₀(p/mmHg) = A − B/(C + t).

    celsius: t, °C, 60 to 200; antoine: (A, B, C). Returns Pa. Raises nothing within that range.
    Source: Antoine's equation; constants as at WATER_ANTOINE.

    >>> round(vapor_pressure(100.0, WATER_ANTOINE) / 1000.0, 1)
    101.9
    """
    a, b, c = antoine
    return MMHG * math.pow(10.0, a - b / (c + celsius))


def water_mole_fraction(glycol_fraction: float, glycol_type: str) -> float:
    """Moles of water over all moles, x_w = n_w/(n_w + n_g), n = φ·ρ/M.

    glycol_fraction: volume share φ_g, 0 to 1; glycol_type: ethylene or propylene. Returns a fraction.
    Raises ValueError for a share outside 0 to 1 or another glycol. Source: derived (volumes taken as additive).

    >>> round(water_mole_fraction(0.5, "ethylene"), 4)
    0.7555
    """
    if not 0.0 <= glycol_fraction <= 1.0 or glycol_type not in GLYCOLS:
        raise ValueError("the glycol is ethylene or propylene and its share lies from 0 to 1")
    density, molar_mass = GLYCOLS[glycol_type]
    glycol = glycol_fraction * density / molar_mass
    water = (1.0 - glycol_fraction) * WATER[0] / WATER[1]
    return water / (water + glycol)


def boiling_temperature(pressure: float, glycol_fraction: float, glycol_type: str = "ethylene") -> float:
    """Temperature at which the mix boils: x_w·p_w(T) + (1 − x_w)·p_g(T) = p (Raoult's law), solved by bisection.

    pressure: absolute pressure p, Pa; glycol_fraction: volume share, 0 to 0.70; glycol_type: ethylene or propylene
    (p_g = 0 and 0.5 K off for propylene). Returns K, from 60 to 200 °C. Raises ValueError outside that range.
    Source: Raoult's law, derived for an ideal mix; Antoine constants compared with CoolProp water, with Perry's
    handbook and with published figures for a 50 % ethylene mix (see the tests).

    >>> round(boiling_temperature(187977.0, 0.5), 1)
    400.2
    """
    share = water_mole_fraction(glycol_fraction, glycol_type)
    ethylene = glycol_type == "ethylene"

    def excess(celsius: float) -> float:
        glycol = (1.0 - share) * vapor_pressure(celsius, ETHYLENE_ANTOINE) if ethylene else 0.0
        return share * vapor_pressure(celsius, WATER_ANTOINE) + glycol - pressure

    low, high = BOILING_RANGE
    if excess(low) > 0.0 or excess(high) < 0.0:
        raise ValueError("the mix boils outside 60 to 200 °C, where the vapor pressures are not known")
    while high - low > 1e-7:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if excess(middle) > 0.0 else (middle, high)
    return ZERO_CELSIUS + 0.5 * (low + high) - (0.0 if ethylene or glycol_fraction == 0.0 else PROPYLENE_ALLOWANCE)


def freeze_temperature(glycol_fraction: float, glycol_type: str = "ethylene") -> float:
    """Freeze point of the mix by linear interpolation between the volume shares of `FREEZE_SHARES`.

    glycol_fraction: volume share, 0 to 0.60; glycol_type: ethylene or propylene. Returns K, ±1.5 K.
    Raises ValueError outside that range: beyond 0.60 protection turns back. Source: see `FREEZE_SHARES`.

    >>> round(freeze_temperature(0.45), 2)
    242.45
    """
    if glycol_type not in FREEZE_POINTS or not 0.0 <= glycol_fraction <= FREEZE_SHARES[-1]:
        raise ValueError("the freeze points are known for ethylene and propylene glycol from 0 to 60 %")
    points = FREEZE_POINTS[glycol_type]
    for i in range(1, len(FREEZE_SHARES)):
        if glycol_fraction <= FREEZE_SHARES[i]:
            along = (glycol_fraction - FREEZE_SHARES[i - 1]) / (FREEZE_SHARES[i] - FREEZE_SHARES[i - 1])
            return ZERO_CELSIUS + points[i - 1] + along * (points[i] - points[i - 1])
    return ZERO_CELSIUS + points[-1]
