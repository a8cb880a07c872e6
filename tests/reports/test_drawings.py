"""Drawings: well formed, titled, harmless, and true to scale."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

from reports import charts, units
from reports.answer import Answer
from reports.charts.limit_strip import Bound, strip

SVG = "{http://www.w3.org/2000/svg}"
SAMPLES: dict[str, dict[str, Any]] = json.loads((Path(__file__).parent / "series.json").read_text(encoding="utf-8"))


def drawn(kind: str, **changes: Any) -> charts.Drawing:
    found = list(charts.drawings({"kind": kind, **SAMPLES[kind], **changes}, "test", "us"))
    assert len(found) == 1
    return found[0]


def parse(svg: object) -> ElementTree.Element:
    return ElementTree.fromstring(str(svg))  # noqa: S314 (our own drawing)


def tree(drawing: charts.Drawing) -> ElementTree.Element:
    return parse(drawing.svg)


def named(root: ElementTree.Element, name: str) -> ElementTree.Element:
    return next(element for element in root.iter() if element.get("data-name") == name)


def length(line: ElementTree.Element) -> float:
    x1, y1, x2, y2 = (float(line.get(key, "nan")) for key in ("x1", "y1", "x2", "y2"))
    return float(((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5)


def scale(root: ElementTree.Element) -> float:
    """Paper millimeters per meter, read from the scale bar and its own words."""
    bar = float(named(root, "scale bar").get("width", "nan"))
    words = next(text for text in ("".join(element.itertext()) for element in root.iter(f"{SVG}text")) if ", scale " in text)
    found = re.match(r"(\d+)\s(in|cm)", words)
    assert found
    return bar / (int(found[1]) * {"in": 0.0254, "cm": 0.01}[found[2]])


def test_there_is_a_sample_of_every_drawing() -> None:
    assert set(SAMPLES) == charts.kinds()


@pytest.mark.parametrize("kind", sorted(SAMPLES))
@pytest.mark.parametrize("system", ["us", "metric"])
def test_drawings_are_well_formed_and_say_what_they_show(kind: str, system: str) -> None:
    (drawing,) = charts.drawings({"kind": kind, **SAMPLES[kind]}, "test", system)
    root = tree(drawing)
    assert root.find(f"{SVG}title") is not None
    assert (root.findtext(f"{SVG}desc") or "").strip()
    assert drawing.numbers
    assert drawing.caption
    assert root.get("role") == "img"


@pytest.mark.parametrize("kind", sorted(SAMPLES))
def test_nothing_is_drawn_outside_the_sheet(kind: str) -> None:
    root = tree(drawn(kind))
    width, height = (float(size) for size in root.get("viewBox", "").split()[2:])
    for element in root.iter():
        for key, limit in (("x", width), ("x1", width), ("x2", width), ("cx", width), ("y", height), ("y1", height), ("y2", height), ("cy", height)):
            if element.get(key):
                assert -2 <= float(element.get(key, "nan")) <= limit + 2, ElementTree.tostring(element)


def test_texts_stay_on_the_sheet() -> None:
    for kind in SAMPLES:
        root = tree(drawn(kind))
        width = float(root.get("viewBox", "").split()[2])
        for text in root.iter(f"{SVG}text"):
            x, size = float(text.get("x", "nan")), float(text.get("font-size", "nan"))
            wide = len("".join(text.itertext())) * size * 0.47
            left = {"start": x, "middle": x - wide / 2, "end": x - wide}[text.get("text-anchor", "start")]
            assert left >= -1, (kind, "".join(text.itertext()))
            assert left + wide <= width + 1, (kind, "".join(text.itertext()))


def test_the_converter_gap_is_to_scale() -> None:
    root = tree(drawn("converter_stack"))
    assert length(named(root, "gap")) / scale(root) == pytest.approx(SAMPLES["converter_stack"]["gap"], abs=5e-5)
    assert length(named(root, "pads")) / scale(root) == pytest.approx(SAMPLES["converter_stack"]["pads"], abs=5e-5)


def test_the_driveshaft_is_to_scale_and_at_its_slope() -> None:
    root = tree(drawn("driveline_side_view"))
    shaft = named(root, "axis 2")
    assert length(shaft) / scale(root) == pytest.approx(SAMPLES["driveline_side_view"]["lengths"][0], rel=1e-3)
    rise = (float(shaft.get("y2", "nan")) - float(shaft.get("y1", "nan"))) / length(shaft)
    assert rise == pytest.approx(SAMPLES["driveline_side_view"]["slopes"][1], abs=2e-3)


@pytest.mark.parametrize("gap", ["inner_clearance", "outer_clearance", "radial_clearance"])
def test_the_gaps_around_the_wheel_are_to_scale(gap: str) -> None:
    root = tree(drawn("wheel_in_arch"))
    assert length(named(root, gap)) / scale(root) == pytest.approx(SAMPLES["wheel_in_arch"][gap]["after"], abs=2e-4)


def test_the_bars_are_to_scale() -> None:
    root = tree(drawn("bar_comparison"))
    for name in ("diameter", "original_diameter"):
        assert length(named(root, name)) / scale(root) == pytest.approx(SAMPLES["bar_comparison"][name], abs=2e-5)


def test_the_radiator_is_to_scale() -> None:
    root = tree(drawn("radiator_slots"))
    sample = SAMPLES["radiator_slots"]
    tall = float(named(root, "radiator").get("height", "nan")) / scale(root)
    assert tall == pytest.approx(sample["top_above_mount"] + sample["bottom_below_mount"], abs=5e-4)
    gap = sample["hood_height"] - sample["mount_height"] - sample["top_above_mount"]
    assert length(named(root, "gap to hood")) / scale(root) == pytest.approx(gap, abs=5e-4)


def test_the_arms_are_to_scale() -> None:
    root = tree(drawn("front_view"))
    state = SAMPLES["front_view"]["after"]
    span = ((state["upper_ball_joint"][0] - state["upper_pivot"][0]) ** 2 + (state["upper_ball_joint"][1] - state["upper_pivot"][1]) ** 2) ** 0.5
    assert length(named(root, "upper arm")) / scale(root) == pytest.approx(span, rel=5e-3)


def test_voltage_pieces_are_in_proportion() -> None:
    root = tree(drawn("voltage_path"))
    out, joints = (float(named(root, name).get("width", "nan")) for name in ("wire out", "joints"))
    assert out / joints == pytest.approx(0.375 / 0.045, rel=2e-3)


def test_the_strip_is_in_proportion_and_shades_what_is_allowed() -> None:
    svg = strip("speed", 5.0, 4.5, 5.5, [Bound(4.0, "at_least", "fail", "4"), Bound(8.0, "at_most", "fail", "8")], "5", "k")
    assert svg
    root = parse(svg)
    allowed, tolerance = named(root, "allowed"), named(root, "tolerance")
    per_unit = float(allowed.get("width", "nan")) / 4.0
    assert float(tolerance.get("width", "nan")) / per_unit == pytest.approx(1.0, abs=1e-3)
    assert (float(named(root, "value").get("x1", "nan")) - float(allowed.get("x", "nan"))) / per_unit == pytest.approx(1.0, abs=1e-3)


def test_a_strip_needs_a_bound() -> None:
    assert strip("speed", 5.0, None, None, [], "5", "k") is None


@pytest.mark.parametrize("series", [None, {}, {"kind": "no such drawing"}, {"kind": "sheet"}, {"kind": "gear_speeds"}, "text", [None, 3],
                                    {"kind": "gear_speeds", **SAMPLES["gear_speeds"], "axle_ratio": float("nan")}])
def test_unfit_series_give_no_drawing(series: Any) -> None:
    assert list(charts.drawings(series, "test", "us")) == []


def test_hostile_labels_are_escaped() -> None:
    drawing = drawn("wiring_loads", circuits=[{"name": "<script>x</script>&\x00", "current": 3.0}])
    assert "<script" not in str(drawing.svg)
    assert "<script>x</script>&" in "".join(tree(drawing).itertext())


@pytest.mark.parametrize(("printed", "expected"), [
    (units.length(0.0254, "us"), "1.00\u202fin (25.4\u202fmm)"), (units.length(0.0254, "metric"), "25.4\u202fmm (1.00\u202fin)"),
    (units.speed(44.704, "us"), "100\u202fmph (161\u202fkm/h)"), (units.temperature(373.15, "us"), "212\u202f°F (100\u202f°C)"),
    (units.mass(453.59237, "us"), "1,000\u202flb (454\u202fkg)"),
    (units.angle(-0.0349066), "\u22122.0°"), (units.power(745.69987, "us"), "1.00\u202fhp (0.75\u202fkW)"),
    (units.rotation(104.719755), "1,000\u202frpm"),
])
def test_units_of_the_drawings(printed: str, expected: str) -> None:
    """Factors exact by NIST SP 811, appendix B.8."""
    assert printed == expected


def test_a_result_with_several_drawings_shows_them_all() -> None:
    series = [{"kind": kind, **SAMPLES[kind]} for kind in ("brake_distribution", "adhesion")]
    result = Answer.of({"results": [{"check": "brakes.balance", "title": "Balance", "verdict": "pass", "series": series}]}).results[0]
    drawn = [drawing.title for drawing in charts.drawings(result.series, "test", "us")]
    assert drawn == ["Brake force, front and rear", "Grip asked of each axle"]


@pytest.mark.parametrize(("kind", "rows"), [("schedule_as_run", "tasks"), ("schedule", "tasks"), ("wiring_loads", "circuits")])
def test_many_rows_go_on_in_further_sheets_of_the_same_scale(kind: str, rows: str) -> None:
    def row(index: int) -> dict[str, Any]:
        first = next(row for row in SAMPLES[kind][rows] if not row.get("done_at"))
        return {**first, "id": f"r-{index}", "title": f"Step {index}", "name": f"circuit {index}", **({"current": index / 10} if "current" in first else {})}

    many = {"kind": kind, **SAMPLES[kind], rows: [row(index) for index in range(1, 101)]}
    found = list(charts.drawings(many, "test", "us"))
    assert [drawing.title.rpartition(", ")[2] for drawing in found] == ["sheet 1 of 3", "sheet 2 of 3", "sheet 3 of 3"]
    assert sum(len(drawing.numbers) for drawing in found) == 100
    assert len({drawing.anchor for drawing in found}) == 3
    ticks = ["".join(text.itertext()) for drawing in found for text in tree(drawing).iter(f"{SVG}text") if text.get("text-anchor") == "middle"]
    assert len(ticks) == 3 * len(set(ticks))


def test_the_work_as_it_ran_is_to_scale() -> None:
    """Half way between the first day and the last stands half way along the axis; eight hours of estimate are a day."""
    task = {"id": "t-2", "title": "Half way", "begun": 739300, "done": 739350, "estimate": 20 * 8 * 3600.0, "deciding": True}
    root = tree(drawn("schedule_as_run", tasks=[task, {**task, "id": "t-3", "done": 739400, "estimate": 0.0}], promised=None, delivered=739400))
    bar, last = named(root, "t-2"), float(named(root, "delivered").get("x1", "nan"))
    right = float(bar.get("x", "nan")) + float(bar.get("width", "nan"))
    first = 2 * right - last
    assert float(bar.get("width", "nan")) / (last - first) == pytest.approx(0.2, abs=1e-3)
    assert first == pytest.approx(42.0, abs=1e-2)


def test_the_rim_of_the_wheel_fitted_stands_for_one_not_recorded() -> None:
    sample = SAMPLES["wheel_in_arch"]
    nearly = {**sample["after"], "diameter": sample["after"]["diameter"] + 1e-4}
    nearly.pop("rim_diameter", None)
    one, two = drawn("wheel_in_arch", before=nearly, after=nearly), drawn("wheel_in_arch", before=nearly, after={**nearly, "offset": nearly["offset"] + 0.01})
    assert str(two.svg).count("stroke-dasharray") > str(one.svg).count("stroke-dasharray")
