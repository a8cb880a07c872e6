"""Driveline formulas judged from outside: integrals, statics, energy, brute force over positions, published rules."""

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from service.calc import bolt_lengths, driveline

GRAVITY = 9.80665


# --- clutch: friction integrated over the ring -------------------------------------------------------------------

RING = {"friction": 0.3, "clamp_load": 12232.6, "faces": 2, "outer_diameter": 0.2794, "inner_diameter": 0.1651}


def friction_torque(pressure, ring) -> float:
    """Torque of a pressure distribution p(r) over the ring, scaled to the clamp load."""
    inner, outer = ring["inner_diameter"] / 2, ring["outer_diameter"] / 2
    load, _ = quad(lambda r: pressure(r) * 2 * np.pi * r, inner, outer)
    moment, _ = quad(lambda r: pressure(r) * 2 * np.pi * r * r, inner, outer)
    return ring["friction"] * ring["faces"] * ring["clamp_load"] * moment / load


def test_worn_clutch_is_pressure_falling_with_radius() -> None:
    """Uniform wear: pressure times sliding speed the same everywhere, p ~ 1/r (Shigley, clutches)."""
    assert driveline.clutch_torque_worn(**RING) == pytest.approx(friction_torque(lambda r: 1 / r, RING), rel=1e-9)


def test_new_clutch_is_uniform_pressure() -> None:
    assert driveline.clutch_torque_new(**RING) == pytest.approx(friction_torque(lambda r: 1.0, RING), rel=1e-9)


# --- gearing: turns counted, motion integrated -------------------------------------------------------------------

def test_a_mile_rolled_turn_by_turn() -> None:
    """1,609.344 m, exact (NIST SP 811), rolled off in turns of 2 pi r."""
    radius = driveline.rolling_radius(745)
    assert 745 * 2 * np.pi * radius == pytest.approx(1609.344, rel=1e-12)
    assert driveline.revs_per_mile(radius) == pytest.approx(745, rel=1e-12)


def test_power_is_the_same_on_both_sides_of_the_gears() -> None:
    """P = T omega before and after, no losses: force times road speed is torque times engine speed."""
    torque, overall, radius, engine = 500.0, 8.8, 0.343, 400.0
    force = driveline.tractive_force(torque, 1.0, 1.0, overall, radius) / 0.85
    assert force * driveline.road_speed(engine, overall, radius) == pytest.approx(torque * engine, rel=1e-12)


def test_engine_and_road_speed_undo_each_other() -> None:
    engine = driveline.engine_speed(31.3, 2.66, 0.343, 0.0)
    assert driveline.road_speed(engine, 2.66, 0.343) == pytest.approx(31.3, rel=1e-12)


@pytest.mark.parametrize("share", [0.02, 0.1, 0.3, 0.6])
def test_start_grade_balances_the_block_on_the_slope(share: float) -> None:
    """The slope at which weight down the slope and rolling resistance just use up the force, found by bisection."""
    mass = 5080.0
    force = share * mass * GRAVITY

    def left_over(angle: float) -> float:
        return force - mass * GRAVITY * (np.sin(angle) + 0.015 * np.cos(angle))

    assert driveline.start_grade(force, mass) == pytest.approx(np.tan(brentq(left_over, -0.1, 1.2)), rel=1e-9)


def test_start_grade_never_exceeds_one() -> None:
    assert driveline.start_grade(1e6, 1000.0) == 1.0


@pytest.mark.parametrize(("kilometers_per_hour", "most"), [(40, 48), (80, 92), (120, 136)])
def test_regulation_band_is_its_tightest_test_speed(kilometers_per_hour: float, most: float) -> None:
    """UN Regulation No. 39, 5.3: 0 <= V1 - V2 <= 0.1 V2 + 4 km/h; one fraction for all three test speeds."""
    from service.checks.driveline.speedometer import REGULATION
    assert REGULATION[0] == 0
    assert kilometers_per_hour * (1 + REGULATION[1]) <= most + 1e-9


def test_regulation_band_touches_at_the_fastest_test() -> None:
    """At 120 km/h the whole of 16 km/h is used."""
    from service.checks.driveline.speedometer import REGULATION
    assert 120 * REGULATION[1] == pytest.approx(16)


# --- clutch release: work in is work out --------------------------------------------------------------------------

def test_pedal_work_is_bearing_work() -> None:
    levers = {"pedal_ratio": 6.0, "fork_ratio": 1.6, "master_bore": 0.01905, "slave_bore": 0.022225}
    moved = driveline.bearing_travel(0.140, 0.012, bearing_gap=0.0, **levers)
    assert driveline.pedal_force(1500.0, **levers) * 0.128 == pytest.approx(1500.0 * moved, rel=1e-12)


def test_release_hydraulics_keep_their_volume() -> None:
    stroke = (0.140 - 0.012) / 6
    slave = driveline.bearing_travel(0.140, 0.012, 6.0, 0.01905, 0.022225, 1.0, 0.0)
    assert np.pi / 4 * 0.01905**2 * stroke == pytest.approx(np.pi / 4 * 0.022225**2 * slave, rel=1e-12)


# --- engine position, converter stack: every position tried --------------------------------------------------------

def test_window_by_trying_every_position() -> None:
    ahead, behind = {"mounts": 0.0381, "fan": -0.00635}, {"mounts": 0.0381, "firewall": 0.0445, "slip": 0.0254}
    trial = np.arange(-0.05, 0.05, 1e-5)
    free = [x for x in trial if all(-x <= room for room in ahead.values()) and all(x <= room for room in behind.values())]
    assert driveline.forward_limit(ahead)[0] == pytest.approx(min(free), abs=2e-5)
    assert driveline.rearward_limit(behind)[0] == pytest.approx(max(free), abs=2e-5)


@pytest.mark.parametrize(("pads", "shoulder", "pilot", "mouth", "depth"), [
    (0.0092, 0.002, 0.016, 0.0, 0.020), (0.0212, 0.002, 0.016, 0.012, 0.015), (0.0212, 0.002, 0.016, 0.0, 0.020),
    (0.003, 0.010, 0.012, 0.0, 0.030), (0.0092, 0.002, 0.030, 0.0, 0.020),
])
def test_pilot_engagement_by_counting_slices(pads, shoulder, pilot, mouth, depth) -> None:
    """Slices of the axis that are both pilot and register."""
    step = 1e-6
    axis = np.arange(-0.06, 0.06, step) + step / 2
    in_pilot = (axis < pads - shoulder) & (axis > pads - shoulder - pilot)
    in_register = (axis < mouth) & (axis > mouth - depth)
    fit = driveline.pilot_fit(pads, shoulder, pilot, pilot, mouth, depth)
    assert fit.engagement == pytest.approx(np.count_nonzero(in_pilot & in_register) * step, abs=3e-6)


def test_bolt_at_each_end_of_the_range() -> None:
    lengths = driveline.bolt_lengths(0.0152, 0.008, 0.00125, 0.015)
    assert driveline.thread_engaged(lengths.shortest, lengths.grip, 0.015) == pytest.approx(0.008)
    assert driveline.tip_clearance(lengths.longest, lengths.grip, 0.015) == pytest.approx(0.00125)


def test_stock_lengths_against_a_handbook_row() -> None:
    """Standard bolt lengths 20 to 150 mm of a public mechanical engineer's data handbook (it adds 75, which ISO 888 does not prefer)."""
    handbook = {20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 90, 100, 110, 120, 130, 140, 150}
    ours = {round(length * 1000) for length in bolt_lengths.METRIC_MADE if 0.020 <= length <= 0.150}
    assert handbook - ours == {75}
    assert ours <= handbook


def test_shelf_lengths_are_made() -> None:
    assert {round(x, 6) for x in bolt_lengths.METRIC_SHELF} <= {round(x, 6) for x in bolt_lengths.METRIC_MADE}
    assert {round(x, 6) for x in bolt_lengths.INCH_SHELF} <= {round(x, 6) for x in bolt_lengths.INCH_MADE}


def test_eccentric_bore_read_by_a_dial() -> None:
    """A dial on the crank, swept round a bore whose center lies 0.1 mm off: highest less lowest reading."""
    turn = np.linspace(0, 2 * np.pi, 3601)
    center, radius = np.array([0.0001, 0.0]), 0.09
    along = np.stack([np.cos(turn), np.sin(turn)])
    reach = along.T @ center + np.sqrt((along.T @ center) ** 2 - center @ center + radius**2)
    assert driveline.bore_offset(reach.max() - reach.min()) == pytest.approx(0.0001, rel=1e-6)


@pytest.mark.parametrize("call", [
    lambda: driveline.clutch_torque_worn(0.3, 1e4, 2, 0.15, 0.25),
    lambda: driveline.rolling_radius(0),
    lambda: driveline.revs_per_mile(0),
    lambda: driveline.shaft_speed(30, 3.5, 0),
    lambda: driveline.engine_speed(30, 3.5, 0.34, 1.0),
    lambda: driveline.road_speed(600, 0, 0.34),
    lambda: driveline.tractive_force(500, 0.7, 2, 10, 0),
    lambda: driveline.start_grade(1e4, 0),
    lambda: driveline.reading_error(1000, 0),
    lambda: driveline.driven_teeth_needed(2600, 8, 0),
    lambda: driveline.forward_limit({}),
    lambda: driveline.rearward_limit({}),
    lambda: driveline.bearing_travel(0.14, 0.012, 0, 0.02, 0.02, 1, 0),
    lambda: driveline.pedal_force(1500, 6, 1, 0, 0.02),
    lambda: driveline.pilot_fit(0.01, 0.0, 0.02, 0.01, 0.0, 0.02),
    lambda: driveline.bolt_lengths(0.01, 0.008, 0.0, 0.015),
])
def test_meaningless_input_is_refused(call) -> None:
    with pytest.raises(ValueError, match=r"\w+ \w+"):
        call()
