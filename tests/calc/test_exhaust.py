"""Exhaust formulas against gas properties and published pipe tables."""

import math

import pytest
from CoolProp.CoolProp import PropsSI

from service.calc import exhaust
from service.calc.fuel import FUELS, POUND_PER_HORSEPOWER_HOUR, fuel_mass_flow

HORSEPOWER = 745.69987158227
GASOLINE = FUELS["gasoline"]


def _mach(horsepower, diameter, temperature=800.0):
    burned = fuel_mass_flow(horsepower * HORSEPOWER, GASOLINE.consumption * POUND_PER_HORSEPOWER_HOUR)
    gas = exhaust.exhaust_mass_flow(burned, GASOLINE.air_to_fuel)
    return exhaust.mach_number(exhaust.gas_velocity(gas, diameter, 1, temperature), temperature)


# Judge: CoolProp, speed of sound of air (exhaust is three quarters nitrogen).
@pytest.mark.parametrize("temperature", [650.0, 800.0, 950.0])
def test_mach_by_coolprop(temperature):
    sound = PropsSI("A", "P", 101325.0, "T", temperature, "Air")
    assert exhaust.mach_number(138.4, temperature) == pytest.approx(138.4 / sound, rel=0.01)


# Judge: CoolProp, density of air at the gas temperature.
def test_velocity_by_coolprop():
    density = PropsSI("D", "P", 101325.0, "T", 800.0, "Air")
    assert exhaust.gas_velocity(0.3478, 0.0602, 2, 800.0) == pytest.approx(0.3478 / (density * 2 * math.pi * 0.0602**2 / 4), rel=1e-3)


# Public trade table (2.2 cfm per hp through 115 cfm per square inch, 16 gauge): outside diameter in inches, most horsepower.
@pytest.mark.parametrize(("outside", "horsepower"), [(1.5, 78), (2.0, 144), (2.25, 185), (2.5, 232), (3.0, 339), (3.5, 468)])
def test_the_trade_table_is_mach_three_tenths(outside, horsepower):
    assert _mach(horsepower, (outside - 2 * exhaust.STOCK_WALL) * 0.0254) == pytest.approx(0.30, rel=0.05)


# A second public table, by an engine builder (1/16 in wall): never fails here, and never looks larger than useful.
@pytest.mark.parametrize(("outside", "horsepower"), [(1.75, 122), (2.0, 162), (2.5, 260), (3.0, 381), (4.0, 692)])
def test_the_other_trade_table_lies_between_useful_and_too_small(outside, horsepower):
    assert 0.10 < _mach(horsepower, (outside - 0.125) * 0.0254) < 0.40


def test_two_pipes_halve_the_velocity():
    assert exhaust.gas_velocity(0.3, 0.06, 2, 800.0) == pytest.approx(exhaust.gas_velocity(0.3, 0.06, 1, 800.0) / 2)


@pytest.mark.parametrize("neighbor", exhaust.CLEARANCES)
def test_a_shield_brings_the_pipe_nearer_by_a_third_at_least(neighbor):
    assert exhaust.clearance_wanted(neighbor, True) <= 0.667 * exhaust.clearance_wanted(neighbor, False)


@pytest.mark.parametrize("material", ["aluminum", "carbon"])
def test_a_soft_driveshaft_wants_more_room(material):
    assert exhaust.clearance_wanted("driveshaft", False, material) > exhaust.clearance_wanted("driveshaft", False, "steel")


@pytest.mark.parametrize("call", [lambda: exhaust.exhaust_mass_flow(0.0, 12.8), lambda: exhaust.gas_velocity(0.3, 0.0, 1, 800.0),
                                  lambda: exhaust.mach_number(100.0, 0.0), lambda: exhaust.clearance_wanted("cat", False)])
def test_meaningless_input_is_refused(call):
    with pytest.raises(ValueError, match=r"positive|no distance"):
        call()
