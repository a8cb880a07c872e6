"""Anti-roll bar rates, judged by 3-D frame finite elements and by published moduli."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from Pynite import FEModel3D

from service.calc.suspension import bar_rate, bar_roll_stiffness, inner_diameter, stiffness_ratio
from service.calc.suspension.bar import SPRING_STEEL_ELASTIC_MODULUS, SPRING_STEEL_SHEAR_MODULUS

INCH = 0.0254
#: The bar of the examples: 1 1/8 in, straight 36 in, lever 9 in, arm 10.5 in, bushings 30 in apart.
EXAMPLE = (1.125 * INCH, 0.0, 36 * INCH, 9 * INCH, 10.5 * INCH, 30 * INCH)
BARS = {
    "solid": EXAMPLE,
    "hollow": (1.25 * INCH, (1.25 - 2 * 0.188) * INCH, 36 * INCH, 9 * INCH, 10.5 * INCH, 30 * INCH),
    "square arms, bushings at the bends": (0.025, 0.0, 0.9, 0.25, 0.25, 0.9),
    "short bushing span": (0.030, 0.020, 1.0, 0.20, 0.35, 0.40),
}


def _finite_element_rate(
    diameter: float, inner: float, straight: float, lever: float, arm: float, span: float, *, one_end_held: bool = False
) -> float:
    """N/m of the left end under 1 N, from a frame of beam elements without shear flexibility (PyNite).

    The right end takes the opposite load, or is held by its link. A bushing lets the bar turn; one keeps it from sliding.
    """
    model = FEModel3D()
    second_moment = math.pi * (diameter**4 - inner**4) / 64
    model.add_material("steel", SPRING_STEEL_ELASTIC_MODULUS, SPRING_STEEL_SHEAR_MODULUS, 0.3, 7850)
    model.add_section("bar", math.pi * (diameter**2 - inner**2) / 4, second_moment, second_moment, 2 * second_moment)
    end = straight / 2 + math.sqrt(arm**2 - lever**2) + (1e-9 if arm == lever else 0)
    stations = sorted({-end, -straight / 2, -span / 2, 0.0, span / 2, straight / 2, end})
    names = [model.add_node(f"n{index}", x, 0, lever if abs(x) == end else 0) for index, x in enumerate(stations)]
    for first, second in pairwise(names):
        model.add_member(f"{first}{second}", first, second, "steel", "bar")
    model.def_support(names[stations.index(-span / 2)], True, True, True)
    model.def_support(names[stations.index(span / 2)], False, True, True)
    model.add_node_load(names[0], "FY", 1.0)
    if one_end_held:
        model.def_support(names[-1], False, True, False)
    else:
        model.add_node_load(names[-1], "FY", -1.0)
        # Equal and opposite loads leave the turning of the whole bar free: by symmetry its middle does not turn.
        model.def_support(names[stations.index(0.0)], support_RX=True)
    model.analyze_linear()
    return 1 / abs(next(iter(model.nodes[names[0]].DY.values())))


@pytest.mark.parametrize("bar", BARS.values(), ids=BARS)
def test_rate_agrees_with_frame_finite_elements(bar: tuple[float, ...]) -> None:
    """Judge: 3-D frame finite elements (PyNite), elastic beams of the same section."""
    assert bar_rate(*bar).rate == pytest.approx(_finite_element_rate(*bar), rel=1e-9)


def test_torsion_share_is_what_is_left_when_bending_is_ruled_out() -> None:
    """Judge: the same finite elements with a bending stiffness a million times higher leave only the twist."""
    share = bar_rate(*EXAMPLE).torsion_share
    twist_only = bar_rate(*EXAMPLE, elastic_modulus=SPRING_STEEL_ELASTIC_MODULUS * 1e9).rate
    assert share == pytest.approx(_finite_element_rate(*EXAMPLE) / twist_only, rel=1e-6)


def test_one_end_held_is_half() -> None:
    """Judge: finite elements with one link held: the other end moves twice as far for the same force."""
    held = _finite_element_rate(*EXAMPLE, one_end_held=True)
    assert held == pytest.approx(bar_rate(*EXAMPLE).rate / 2, rel=1e-9)


def test_moduli_lie_with_the_published_ones() -> None:
    """Judge: published spring-wire tables: ASTM A228/A229 wire 30 and 11.5 million psi (E 207, G 79.3 GPa);
    Machinery's Handbook table of spring materials: oil-tempered and chrome-vanadium 28.5 and 11.2 million psi."""
    million_psi = 6.894757e9
    assert pytest.approx(30 * million_psi, rel=0.005) == SPRING_STEEL_ELASTIC_MODULUS
    assert pytest.approx(11.5 * million_psi, rel=0.001) == SPRING_STEEL_SHEAR_MODULUS
    assert 28.5 * million_psi < SPRING_STEEL_ELASTIC_MODULUS
    assert pytest.approx(11.2 * million_psi, rel=0.03) == SPRING_STEEL_SHEAR_MODULUS


def test_stiffness_ratio_is_the_ratio_of_two_finite_element_rates() -> None:
    """Judge: finite elements of both bars with the same legs."""
    original = (0.9375 * INCH, 0.0, *EXAMPLE[2:])
    ratio = stiffness_ratio(EXAMPLE[0], 0.0, original[0], 0.0)
    assert ratio == pytest.approx(_finite_element_rate(*EXAMPLE) / _finite_element_rate(*original), rel=1e-9)


def test_bar_in_roll_stores_the_work_of_the_roll_moment() -> None:
    """Judge: energy. A body rolled by φ moves each wheel by φ·t/2; two ends at k store 2·½k·(MR·φ·t/2)²."""
    rate, ratio, track, roll = 148100.0, 0.5, 1.52, 0.03
    energy = 2 * 0.5 * rate * (ratio * roll * track / 2) ** 2
    assert 0.5 * bar_roll_stiffness(rate, ratio, track) * roll**2 == pytest.approx(energy, rel=1e-12)


@pytest.mark.parametrize(
    ("bar", "says"),
    [
        ((0.03, 0.0, 0.9, 0.25, 0.20, 0.8), "shorter along its length"),
        ((0.03, 0.0, 0.9, 0.25, 0.25, 0.95), "farther apart"),
        ((0.03, 0.0, 0.14, 0.25, 0.25, 0.10), "five diameters"),
        ((0.03, 0.0, 0.9, 0.08, 0.08, 0.8), "three diameters"),
        ((0.03, 0.03, 0.9, 0.25, 0.25, 0.8), "no section"),
    ],
)
def test_dimensions_that_are_no_bar_are_refused(bar: tuple[float, ...], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        bar_rate(*bar)


def test_a_wall_over_the_radius_is_refused() -> None:
    with pytest.raises(ValueError, match="wall"):
        inner_diameter(0.030, 0.016)
