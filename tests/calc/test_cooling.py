"""Cooling formulas against handbooks, property libraries and a numerical heat exchanger."""

import math

import pytest
from CoolProp.CoolProp import PropsSI
from ht.hx import effectiveness_from_NTU
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from service.calc import cooling
from service.calc.cooling import coolant, radiator

CELSIUS = 273.15
PSI = 6894.757


# U.S. Standard Atmosphere 1976 as tabulated in the ASHRAE Handbook of Fundamentals: altitude in ft, pressure in psia.
@pytest.mark.parametrize(("feet", "psia"), [(-1000, 15.236), (0, 14.696), (1000, 14.175), (3000, 13.173), (5000, 12.230), (7000, 11.341),
                                            (10000, 10.108), (15000, 8.296)])
def test_air_pressure_by_the_standard_atmosphere(feet, psia):
    assert cooling.air_pressure(feet * 0.3048) == pytest.approx(psia * PSI, rel=4e-4)


# Judge: CoolProp, reference equation of state of air.
@pytest.mark.parametrize(("pressure", "temperature"), [(101325.0, 311.15), (101325.0, 288.15), (84556.0, 308.15), (70109.0, 293.15)])
def test_air_density_by_coolprop(pressure, temperature):
    assert cooling.air_density(pressure, temperature) == pytest.approx(PropsSI("D", "P", pressure, "T", temperature, "Air"), rel=5e-4)


# Judge: CoolProp.
def test_heat_capacity_of_air_by_coolprop():
    assert pytest.approx(PropsSI("C", "P", 101325.0, "T", 311.15, "Air"), rel=1e-3) == cooling.AIR_HEAT_CAPACITY


@pytest.mark.parametrize("altitude", [-2000.0, 12000.0])
def test_air_pressure_refuses_what_the_law_does_not_cover(altitude):
    with pytest.raises(ValueError, match="11 km"):
        cooling.air_pressure(altitude)


# Judge: the `ht` library's exact cross-flow integral; the relation reads up to 3 % low, the safe side, where both streams are alike.
@pytest.mark.parametrize("transfer_units", [0.6, 1.0, 2.0, 3.0, 5.0])
@pytest.mark.parametrize("capacity_ratio", [0.1, 0.25, 0.5, 0.75, 1.0])
def test_effectiveness_by_the_ht_library(transfer_units, capacity_ratio):
    judged = effectiveness_from_NTU(NTU=transfer_units, Cr=capacity_ratio, subtype="crossflow")
    assert 0.969 * judged < cooling.cross_flow_effectiveness(transfer_units, capacity_ratio) < 1.0125 * judged
    if transfer_units >= 1.0 and capacity_ratio <= 0.75:
        assert cooling.cross_flow_effectiveness(transfer_units, capacity_ratio) == pytest.approx(judged, rel=0.0125)


# Worked example of a public heat-transfer library's manual (after Nellis & Klein, Heat Transfer): UA 75 W/K, 50 and 30 W/K.
def test_effectiveness_by_a_published_example():
    assert cooling.cross_flow_effectiveness(75.0 / 30.0, 30.0 / 50.0) == pytest.approx(0.7632, abs=1e-4)


@given(st.floats(0.01, 10.0), st.floats(0.0, 1.0))
def test_effectiveness_lies_between_nothing_and_the_limit_of_one_boiling_fluid(transfer_units, capacity_ratio):
    effectiveness = cooling.cross_flow_effectiveness(transfer_units, capacity_ratio)
    assert 0.0 < effectiveness <= -math.expm1(-transfer_units) + 0.013


@pytest.mark.parametrize(("transfer_units", "capacity_ratio"), [(-0.1, 0.5), (1.0, 1.1), (1.0, -0.1)])
def test_effectiveness_refuses_what_is_no_exchanger(transfer_units, capacity_ratio):
    with pytest.raises(ValueError, match="capacity ratio"):
        cooling.cross_flow_effectiveness(transfer_units, capacity_ratio)


def _marched_rise(heat, face_velocity, area, conductance, density, cells=160):
    """Coolant inlet over air, K, by marching a grid of cells in both directions: the energy balance without any formula."""
    air_rate = density * face_velocity * area * cooling.AIR_HEAT_CAPACITY / cells
    coolant_rate = heat / radiator.COOLANT_DROP / cells
    cell = cooling.conductance_at(conductance, face_velocity) / cells**2
    # The midpoint form of a cell keeps the grid second order.
    share = cell / (1.0 + 0.5 * cell * (1.0 / air_rate + 1.0 / coolant_rate))
    air = [0.0] * cells
    rejected = 0.0
    for _ in range(cells):
        coolant_temperature = 1.0
        for column in range(cells):
            flow = share * (coolant_temperature - air[column])
            air[column] += flow / air_rate
            coolant_temperature -= flow / coolant_rate
            rejected += flow
    return heat / rejected


# Judge: a two-dimensional march of the energy balance through the core, cell by cell.
@pytest.mark.parametrize(("heat", "velocity", "conductance"), [(63750.0, 5.0, 3178.56), (10652.0, 4.9894, 3178.56), (120000.0, 9.0, 4500.0),
                                                               (30000.0, 2.0, 1500.0)])
def test_settled_coolant_by_a_march_through_the_core(heat, velocity, conductance):
    _, temperature = cooling.settled_coolant(heat, velocity, 0.2838, conductance, 1.13446, 311.15)
    assert temperature - 311.15 == pytest.approx(_marched_rise(heat, velocity, 0.2838, conductance, 1.13446), rel=0.0225)


def test_a_condenser_ahead_warms_the_air_by_its_heat():
    plain = cooling.settled_coolant(40000.0, 5.0, 0.28, 3000.0, 1.13, 310.0)[1]
    behind = cooling.settled_coolant(40000.0, 5.0, 0.28, 3000.0, 1.13, 310.0, 7000.0)[1]
    assert behind - plain == pytest.approx(7000.0 / (1.13 * 5.0 * 0.28 * 1006.0))


@given(st.floats(1.0, 15.0), st.floats(1.001, 1.5))
def test_more_air_never_warms_the_coolant(velocity, more):
    slow = cooling.settled_coolant(60000.0, velocity, 0.28, 3000.0, 1.13, 310.0)[1]
    fast = cooling.settled_coolant(60000.0, velocity * more, 0.28, 3000.0, 1.13, 310.0)[1]
    assert fast <= slow + 0.02


@pytest.mark.parametrize("wrong", [(0.0, 5.0, 0.28, 3000.0), (5e4, 0.0, 0.28, 3000.0), (5e4, 5.0, 0.0, 3000.0), (5e4, 5.0, 0.28, 0.0)])
def test_settled_coolant_refuses_an_exchanger_without_heat_air_or_core(wrong):
    with pytest.raises(ValueError, match="positive"):
        cooling.settled_coolant(*wrong, 1.13, 310.0)


# Published span of a gasoline engine's heat balance: 21 to 28 % to the crank, 12 to 27 % to the coolant (public teaching text);
# Heywood's narrower span at maximum power is from memory.
def test_heat_ratio_lies_within_the_published_heat_balance():
    assert radiator.HEAT_RATIO - radiator.HEAT_RATIO_SPREAD > 12.0 / 28.0
    assert radiator.HEAT_RATIO + radiator.HEAT_RATIO_SPREAD < 27.0 / 21.0


# Judge: CoolProp, reference equation of state of water.
@pytest.mark.parametrize("celsius", [85.0, 90.0, 100.0, 110.0, 120.0, 140.0, 160.0, 180.0])
def test_water_boils_where_coolprop_says(celsius):
    pressure = PropsSI("P", "T", celsius + CELSIUS, "Q", 0, "Water")
    assert cooling.boiling_temperature(pressure, 0.0) == pytest.approx(celsius + CELSIUS, abs=0.45)


# Public maintenance figures for a 50 % ethylene mix: 226 °F at 0 gauge and 265 °F under a 15 psi cap.
@pytest.mark.parametrize(("cap", "fahrenheit"), [(0.0, 226.0), (15.0, 265.0)])
def test_half_ethylene_boils_where_the_manuals_say(cap, fahrenheit):
    boiling = cooling.boiling_temperature(101325.0 + cap * PSI, 0.5)
    assert boiling == pytest.approx((fahrenheit - 32.0) / 1.8 + CELSIUS, abs=1.0)


# Perry's Chemical Engineers' Handbook, 8th edition, as an open library prints its coefficients: ln(p/Pa) = C1 + C2/T + C3 ln T + C4 T^C5,
# and density in mol/m3 = C1/C2^(1 + (1 - T/C3)^C4).
PERRY_VAPOR = {
    "water": (73.649, -7258.2, -7.3037, 4.1653e-06, 2.0),
    "ethylene": (84.09, -10411.0, -8.1976, 1.6536e-18, 6.0),
    "propylene": (212.8, -15420.0, -28.109, 2.1564e-05, 2.0),
}
PERRY_DENSITY = {"ethylene": (1315.0, 0.25125, 720.0, 0.21868, 62.068), "propylene": (1092.3, 0.26106, 626.0, 0.20459, 76.094)}


def perry_vapor(name, kelvin):
    a, b, c, d, e = PERRY_VAPOR[name]
    return math.exp(a + b / kelvin + c * math.log(kelvin) + d * kelvin**e)


@pytest.mark.parametrize("pressure", [101325.0, 150e3, 188e3, 250e3])
@pytest.mark.parametrize("fraction", [0.3, 0.5, 0.6, 0.7])
@pytest.mark.parametrize(("glycol", "within"), [("ethylene", 0.2), ("propylene", 0.8)])
def test_a_mix_boils_where_perrys_vapor_pressures_say(pressure, fraction, glycol, within):
    water = cooling.water_mole_fraction(fraction, glycol)
    balance = brentq(lambda kelvin: water * perry_vapor("water", kelvin) + (1.0 - water) * perry_vapor(glycol, kelvin) - pressure, 330.0, 460.0)
    assert cooling.boiling_temperature(pressure, fraction, glycol) == pytest.approx(balance, abs=within)


@pytest.mark.parametrize("glycol", ["ethylene", "propylene"])
def test_densities_and_molar_masses_are_perrys(glycol):
    c1, c2, c3, c4, molar_mass = PERRY_DENSITY[glycol]
    density = c1 / c2 ** (1.0 + (1.0 - 293.15 / c3) ** c4) * molar_mass / 1000.0
    assert coolant.GLYCOLS[glycol] == pytest.approx((density, molar_mass), rel=1e-3)


@given(st.floats(0.0, 0.70), st.floats(0.0, 250e3), st.floats(0.0, 4500.0), st.sampled_from(["ethylene", "propylene"]))
def test_raoult_balance_closes(fraction, cap, altitude, glycol):
    pressure = cooling.air_pressure(altitude) + cap
    boiling = cooling.boiling_temperature(pressure, fraction, glycol) + (0.5 if glycol == "propylene" and fraction else 0.0)
    water = cooling.water_mole_fraction(fraction, glycol)
    own = cooling.vapor_pressure(boiling - CELSIUS, coolant.ETHYLENE_ANTOINE) if glycol == "ethylene" else 0.0
    total = water * cooling.vapor_pressure(boiling - CELSIUS, coolant.WATER_ANTOINE) + (1.0 - water) * own
    assert total == pytest.approx(pressure, rel=1e-6)


def test_boiling_refuses_pressures_beyond_the_vapor_tables():
    with pytest.raises(ValueError, match="60 to 200"):
        cooling.boiling_temperature(3.0e6, 0.5)


# Judge: CoolProp's volume-based fits (AEG, APG); the table is rounded to the warmer side by at most 0.5 K.
@pytest.mark.parametrize("glycol", ["ethylene", "propylene"])
@pytest.mark.parametrize("share", coolant.FREEZE_SHARES[1:])
def test_freeze_points_by_coolprop(glycol, share):
    judged = PropsSI("T_freeze", "T", 280.0, "P", 101325.0, f"INCOMP::A{glycol[0].upper()}G[{share}]")
    assert 0.0 <= cooling.freeze_temperature(share, glycol) - judged <= 0.5


# Dean, Lange's Handbook of Chemistry, 15th edition, table 5.13: propylene glycol by volume, °C.
@pytest.mark.parametrize(("share", "celsius"), [(0.20, -6.7), (0.25, -8.9), (0.30, -12.8), (0.35, -16.1), (0.40, -20.6), (0.45, -26.7), (0.50, -33.3)])
def test_propylene_freeze_points_by_the_handbook(share, celsius):
    assert cooling.freeze_temperature(share, "propylene") - CELSIUS == pytest.approx(celsius, abs=1.5)


# A tractor maker's operator manual, protection limits of inhibited mixes, °C.
@pytest.mark.parametrize(("share", "celsius"), [(0.40, -24.0), (0.50, -37.0), (0.60, -52.0)])
def test_ethylene_freeze_points_by_an_operator_manual(share, celsius):
    assert cooling.freeze_temperature(share) - CELSIUS == pytest.approx(celsius, abs=0.6)


@pytest.mark.parametrize(("share", "glycol"), [(0.65, "ethylene"), (-0.1, "ethylene"), (0.5, "methanol")])
def test_freeze_point_refuses_what_the_table_does_not_hold(share, glycol):
    with pytest.raises(ValueError, match="ethylene and propylene"):
        cooling.freeze_temperature(share, glycol)


@given(st.floats(-0.5, 2.0), st.floats(0.0, 0.3), st.floats(0.0, 2.0), st.floats(-0.5, 0.5), st.floats(0.05, 0.5), st.floats(0.0, 0.6))
def test_every_height_in_the_window_clears_hood_and_obstruction(slot_low, slot, hood, obstruction, top, bottom):
    low, high = cooling.height_window(slot_low, slot_low + slot, hood, obstruction, top, bottom, 0.019, 0.013)
    for height in (low, 0.5 * (low + high), high) if low <= high else ():
        assert height + top + 0.019 <= hood + 1e-12
        assert height - bottom - 0.013 >= obstruction - 1e-12
        assert slot_low - 1e-12 <= height <= slot_low + slot + 1e-12


def test_swapped_slot_ends_are_refused():
    with pytest.raises(ValueError, match="swapped"):
        cooling.height_window(0.2, 0.1, 0.6, 0.0, 0.4, 0.1, 0.019, 0.013)


@given(st.floats(0.005, 0.02), st.floats(0.0, 0.003), st.floats(0.0, 0.03), st.floats(-1.2, 1.2))
def test_a_bolt_goes_through_exactly_when_the_miss_is_allowed(bolt, play, longer, share):
    hole, slot = bolt + play, bolt + play + longer
    allowed = cooling.allowed_misalignment(slot, hole, bolt)
    miss = share * allowed
    # The bolt's center must lie where both the slot and the hole let it.
    slot_from, slot_to = -(slot - bolt) / 2.0, (slot - bolt) / 2.0
    hole_from, hole_to = miss - (hole - bolt) / 2.0, miss + (hole - bolt) / 2.0
    fits = max(slot_from, hole_from) <= min(slot_to, hole_to) + 1e-12
    assert fits == (abs(miss) <= allowed + 1e-12)


def test_a_bolt_larger_than_its_hole_is_refused():
    with pytest.raises(ValueError, match="go through"):
        cooling.allowed_misalignment(0.012, 0.0079, 0.008)


def test_unshrouded_fans_sweep_at_most_the_whole_core():
    assert cooling.swept_share(2, 0.6, 0.28) == 1.0
    assert cooling.swept_share(1, None, 0.28) == 0.5
