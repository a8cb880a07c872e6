"""Fuel formulas against pipe-flow libraries and published trade examples."""

import math

import pytest
from fluids.friction import friction_factor as library_friction_factor
from hypothesis import given
from hypothesis import strategies as st

from service.calc import fuel

HORSEPOWER = 745.69987158227
POUND_PER_HOUR = 0.45359237 / 3600.0
CFM = 0.3048**3 / 60.0
CUBIC_INCH = 0.0254**3


# Public trade formula sheet: 200 hp at a BSFC of 0.5 burns 100 lb of gasoline an hour.
def test_fuel_flow_by_a_published_example():
    assert fuel.fuel_mass_flow(200 * HORSEPOWER, 0.5 * fuel.POUND_PER_HORSEPOWER_HOUR) == pytest.approx(100 * POUND_PER_HOUR, rel=1e-9)


# Public injector article: 8 injectors of 36 lb/h at 0.5 lb/(hp·h) support about 575 hp fully open.
def test_injectors_carry_the_published_power():
    power = 8 * 36 * POUND_PER_HOUR / (fuel.FUELS["gasoline"].consumption * fuel.POUND_PER_HORSEPOWER_HOUR)
    assert power / HORSEPOWER == pytest.approx(575, rel=0.003)


# Public calculator's text: raising the pressure by half adds about 22.5 % flow, lowering it by 30 % takes roughly 16 %.
@pytest.mark.parametrize(("ratio", "flow"), [(1.5, 1.225), (0.7, 0.84), (2.0, 1.414)])
def test_injector_flow_follows_the_root_of_pressure(ratio, flow):
    assert fuel.injector_flow(1.0, ratio * 300e3, 300e3) == pytest.approx(flow, abs=0.005)


# Public calculator's table of consumption in lb/(hp·h): gasoline 0.50 and 0.60 boosted, E85 0.70 and 0.84; methanol 1.00 and 1.20.
@pytest.mark.parametrize(("name", "plain", "boosted"), [("gasoline", 0.50, 0.60), ("e85", 0.70, 0.84), ("methanol", 1.00, 1.20)])
def test_consumption_by_a_published_table(name, plain, boosted):
    assert fuel.FUELS[name].consumption == pytest.approx(plain, rel=0.1001)
    assert fuel.FUELS[name].boosted_consumption == pytest.approx(boosted, rel=0.1001)


# Public formula sheet: gasoline weighs 1.586 lb a liter (719 kg/m³) at 15 °C, denser with aromatics; ours is pump gasoline.
# EN 228 allows 720 to 775 kg/m³ (from memory).
def test_gasoline_density_lies_within_the_standard():
    assert 720.0 <= fuel.FUELS["gasoline"].density <= 775.0


@pytest.mark.parametrize("wrong", [(0.0, 3e5, 3e5), (1e-3, 0.0, 3e5), (1e-3, 3e5, 0.0)])
def test_injector_flow_refuses_nothing_flowing(wrong):
    with pytest.raises(ValueError, match="positive"):
        fuel.injector_flow(*wrong)


@given(st.floats(0.0, 1.0), st.floats(1e5, 5e5), st.floats(1e4, 3e5), st.floats(1e-5, 1e-4), st.floats(0.1, 0.9))
def test_curve_passes_through_its_points_and_between(along, pressure, step, flow, share):
    first, second = (pressure, flow), (pressure + step, flow * share)
    assert fuel.curve_flow(pressure, first, second) == pytest.approx(flow)
    assert fuel.curve_flow(pressure + step, first, second) == pytest.approx(flow * share)
    between = fuel.curve_flow(pressure + along * step, first, second)
    assert flow * share * (1 - 1e-9) <= between <= flow * (1 + 1e-9)


def test_a_curve_of_one_pressure_is_refused():
    with pytest.raises(ValueError, match="one pressure"):
        fuel.curve_flow(3e5, (3e5, 1e-4), (3e5, 9e-5))


# A motor model apart from the formula: torque constant, winding resistance and constant load, flow taken as proportional to speed.
@pytest.mark.parametrize("voltage", [10.5, 12.0, 13.5, 14.2])
def test_voltage_factor_by_a_motor_model(voltage):
    resistance, constant, torque, rated = 0.54, 0.012, 0.12, 13.5
    speed = (voltage - resistance * torque / constant) / constant
    rated_speed = (rated - resistance * torque / constant) / constant
    share = resistance * torque / constant / rated
    assert fuel.voltage_factor(voltage, rated, share) == pytest.approx(speed / rated_speed)


# Judge: the `fluids` library (Colebrook's equation solved, Hagen–Poiseuille below 2040), lines as in a car.
@pytest.mark.parametrize("reynolds", [500.0, 1500.0, 5000.0, 18664.0, 6.0e4, 2.0e5])
@pytest.mark.parametrize("roughness", [2e-5, 1.9e-4, 6e-4])
def test_friction_factor_by_the_fluids_library(reynolds, roughness):
    judged = library_friction_factor(Re=reynolds, eD=roughness)
    assert fuel.friction_factor(reynolds, roughness) == pytest.approx(judged, rel=0.03)


def test_turbulent_line_is_the_safe_side_in_the_doubtful_range():
    for reynolds in (2300.0, 3000.0, 3999.0):
        assert fuel.friction_factor(reynolds, 1e-4) > 64.0 / reynolds


# Judge: the `fluids` library's friction factor in Darcy–Weisbach, written out here.
@pytest.mark.parametrize(("liters_per_hour", "diameter", "length"), [(255.0, 0.008, 4.0), (120.0, 0.0095, 0.6), (400.0, 0.0127, 5.0), (60.0, 0.006, 2.0)])
def test_line_drop_by_the_fluids_library(liters_per_hour, diameter, length):
    flow = liters_per_hour / 3.6e6
    _, reynolds, drop = fuel.line_flow(flow, diameter, length, 1.5e-6, 745.0, 0.45e-3)
    speed = flow / (math.pi * diameter**2 / 4.0)
    judged = (library_friction_factor(Re=reynolds, eD=1.5e-6 / diameter) * length / diameter + 3.0) * 745.0 * speed**2 / 2.0
    assert drop == pytest.approx(judged, rel=0.01)


def test_a_line_at_rest_loses_nothing():
    assert fuel.line_flow(0.0, 0.008, 4.0, 1.5e-6, 745.0, 0.45e-3) == (0.0, 0.0, 0.0)


# Public trade table, cfm = cubic inches × rpm × efficiency / 3456.
@pytest.mark.parametrize(("cubic_inches", "rpm", "efficiency", "cfm"), [(302, 5500, 0.85, 408), (302, 5500, 1.0, 481), (350, 6000, 0.85, 516),
                                                                        (454, 6000, 1.0, 788), (572, 6500, 0.85, 913), (440, 6000, 0.90, 687.5)])
def test_air_demand_by_a_published_table(cubic_inches, rpm, efficiency, cfm):
    assert fuel.air_demand(cubic_inches * CUBIC_INCH, rpm * math.pi / 30.0, efficiency) / CFM == pytest.approx(cfm, abs=1.5)


# Common trade conversion between two-barrel (3.0 inHg) and four-barrel (1.5 inHg) ratings: divide by 1.414.
def test_two_barrel_rating_becomes_a_four_barrel_rating():
    assert fuel.airflow_at_drop(500.0, 2.0 * fuel.FOUR_BARREL_DROP) == pytest.approx(500.0 / 1.414, rel=2e-4)


@pytest.mark.parametrize("call", [lambda: fuel.air_demand(0.0, 500.0, 0.85), lambda: fuel.airflow_at_drop(0.3, 0.0),
                                  lambda: fuel.line_flow(1e-5, 0.0, 1.0, 1e-6, 745.0, 1e-3), lambda: fuel.fuel_mass_flow(-1.0, 1e-7),
                                  lambda: fuel.friction_factor(0.0, 1e-4), lambda: fuel.voltage_factor(12.0, 0.0),
                                  lambda: fuel.required_pump_flow(0.02, 0.0)])
def test_meaningless_input_is_refused(call):
    with pytest.raises(ValueError, match=r"positive|diameter"):
        call()
