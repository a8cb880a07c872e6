"""American wire gauge areas against a published table, the spellings of sizes, and steps through the stock."""

import math

import pytest
from fluids.piping import AWG_SI, AWG_gauges

from service.quantities import (
    QuantityError,
    exact,
    gauge_area,
    in_unit,
    next_wire_size,
    read,
    round_wire_size,
    show,
)
from service.quantities.wire_size import AWG_SIZES, METRIC_SIZES, gauge_of

MM2 = 1e-6

# Diameters by gauge as the fluids library tabulates them (it cites Perry's Chemical Engineers' Handbook); it writes
# 1/0 as 0.0 and 2/0, 3/0, 4/0 as 1/2, 1/3, 1/4 to two places.
_OVER = {0.25: -3, 0.33: -2, 0.5: -1}
TABLE = {_OVER.get(gauge, round(gauge)): diameter for gauge, diameter in zip(AWG_gauges, AWG_SI, strict=True) if gauge in _OVER or gauge in range(41)}

# ASTM B258-02 as commonly reprinted, to the three figures printed; from memory.
PUBLISHED_MM2 = [
    (-3, 107), (-2, 85.0), (-1, 67.4), (0, 53.5), (2, 33.6), (4, 21.2), (8, 8.37), (10, 5.26), (12, 3.31), (14, 2.08),
    (18, 0.823), (22, 0.326),
]  # fmt: skip


@pytest.mark.parametrize(("gauge", "diameter"), TABLE.items())
def test_area_agrees_with_fluids(gauge: int, diameter: float) -> None:
    # The table is rounded to 0.0001 in and, for thin wire, to three figures.
    slack = max(2 * 0.00005 * 0.0254 / diameter, 2.5e-3)
    assert gauge_area(gauge) == pytest.approx(math.pi / 4 * diameter**2, rel=slack)


def test_table_covers_every_size() -> None:
    assert sorted(TABLE) == list(range(-3, 41))
    assert len(AWG_SIZES) == 44


@pytest.mark.parametrize(("gauge", "area"), PUBLISHED_MM2)
def test_area_agrees_with_print(gauge: int, area: float) -> None:
    assert gauge_area(gauge) / MM2 == pytest.approx(area, rel=5e-3)


def test_anchors_of_the_scale() -> None:
    """ASTM B258 fixes 36 AWG at 0.005 in and 4/0 at 0.46 in; the rest is a geometric series between them."""
    assert gauge_area(36) == pytest.approx(math.pi / 4 * (0.005 * 0.0254) ** 2, rel=1e-14)
    assert gauge_area(-3) == pytest.approx(math.pi / 4 * (0.46 * 0.0254) ** 2, rel=1e-14)


@pytest.mark.parametrize("gauge", range(-3, 41))
def test_every_size_prints_and_reads(gauge: int) -> None:
    area = gauge_area(gauge)
    printed = show(area, "wire_size", "AWG")
    assert read(printed, "wire_size").si == area
    assert exact(area, "wire_size", "AWG") == printed
    assert printed == (f"{gauge} AWG" if gauge > 0 else f"{1 - gauge}/0 AWG")
    assert in_unit(area, "wire_size", "AWG") == pytest.approx(gauge, abs=1e-9)


@pytest.mark.parametrize("size", METRIC_SIZES)
def test_metric_size_is_no_gauge(size: float) -> None:
    assert gauge_of(size) is None
    assert show(size, "wire_size", "AWG") == show(size, "wire_size", "mm2")
    assert read(exact(size, "wire_size", "AWG"), "wire_size").si == size


@pytest.mark.parametrize(("off", "printed"), [(1.0009, "14 AWG"), (0.9991, "14 AWG"), (1.002, "2.085 mm2"), (0.998, "2.077 mm2")])
def test_gauge_is_printed_within_a_thousandth(off: float, printed: str) -> None:
    assert show(gauge_area(14) * off, "wire_size", "AWG") == printed


NO_SIZES = [
    "14", "0", "41 AWG", "99 AWG", "5/0", "5/0 AWG", "00000", "-1 AWG", "14.5 AWG", "1/2 AWG", "14 in", "2.5 mm", "AWG",
    "#", "\u0661\u0664 AWG",
]  # fmt: skip


@pytest.mark.parametrize("text", NO_SIZES)
def test_not_a_wire_size(text: str) -> None:
    with pytest.raises(QuantityError):
        read(text, "wire_size")


@pytest.mark.parametrize("text", ["41 AWG", "14.5 AWG", "-1 AWG"])
def test_gauge_out_of_range_says_the_range(text: str) -> None:
    with pytest.raises(QuantityError, match="40 AWG to 4/0 AWG"):
        read(text, "wire_size")


STEPS = [
    # from (mm2 or gauge text), larger, stock, next, rounded
    ("14 AWG", True, None, "13 AWG", "14 AWG"),
    ("14 AWG", False, None, "15 AWG", "14 AWG"),
    ("1 AWG", True, None, "1/0 AWG", "1 AWG"),
    ("4/0 AWG", True, None, None, "4/0 AWG"),
    ("40 AWG", False, None, None, "40 AWG"),
    ("2.5 mm2", True, None, "4 mm2", "2.5 mm2"),
    ("2.5 mm2", False, None, "1.5 mm2", "2.5 mm2"),
    ("3.1 mm2", True, None, "4 mm2", "4 mm2"),
    ("3.1 mm2", False, None, "2.5 mm2", "2.5 mm2"),
    ("3.1 mm2", True, "AWG", "12 AWG", "12 AWG"),
    ("3.1 mm2", False, "AWG", "13 AWG", "13 AWG"),
    ("14 AWG", True, "mm2", "2.5 mm2", "2.5 mm2"),
    ("14 AWG", False, "mm2", "1.5 mm2", "1.5 mm2"),
    ("96 mm2", True, None, None, None),
    ("0.3 mm2", False, None, None, None),
]


@pytest.mark.parametrize(("start", "larger", "stock", "following", "rounded"), STEPS)
def test_steps_through_the_stock(start: str, larger: bool, stock: str | None, following: str | None, rounded: str | None) -> None:
    area = read(start, "wire_size").si
    expected = [None if text is None else pytest.approx(read(text, "wire_size").si) for text in (following, rounded)]
    assert [next_wire_size(area, larger, stock), round_wire_size(area, larger, stock)] == expected  # type: ignore[arg-type]
