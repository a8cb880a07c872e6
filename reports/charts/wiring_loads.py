"""Wiring load sheet: each circuit's current as a bar, what its wire carries as a bracket, its fuse as a tick."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reports.charts import Drawing
from reports.charts.plot import ticks
from reports.charts.sheet import SMALL_SIZE, Sheet
from reports.units import rounded

NEEDS = ("circuits",)
WIDTH, LEFT, RIGHT, ROW = 106.0, 30.0, 102.0, 6.2
ROWS = "circuits"


def draw(series: Mapping[str, Any], key: str, system: str) -> Drawing | None:
    """Draw one row for each circuit with a current, in the order given."""
    circuits = in_order(series)
    if not circuits:
        return None
    top = 1.08 * max(value for circuit in series.get("whole") or circuits for value in (circuit["current"], circuit.get("fuse") or 0.0,
                                                               circuit.get("ampacity") or 0.0)) or 1.0
    height = 8 + ROW * len(circuits)
    sheet = Sheet(WIDTH, height + 9)

    def at(current: float) -> float:
        return LEFT + current / top * (RIGHT - LEFT)

    for index, circuit in enumerate(circuits):
        _row(sheet, circuit, 5 + ROW * index, at)
    sheet.line((LEFT, height - 2), (RIGHT, height - 2), "thin")
    for tick in ticks(0.0, top):
        sheet.line((at(tick), height - 2), (at(tick), height - 1), "thin")
        sheet.text((at(tick), height + 1.8), f"{tick:g}", "middle", SMALL_SIZE)
    sheet.text((RIGHT, height + 5.6), "amperes: bar the load, tick the fuse, bracket the wire", "end", SMALL_SIZE, "gray")
    numbers = tuple((str(circuit["name"]), _words(circuit)) for circuit in circuits)
    said = "; ".join(f"{name}: {words}" for name, words in numbers)
    return Drawing(sheet.finish("Wiring load sheet", said, key), "Wiring load sheet",
                   "The fuse should stand between the load and what the wire carries where it lies.", numbers)


def in_order(series: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """The circuits whose current is known, in the order given."""
    return [circuit for circuit in series["circuits"] if circuit.get("current") is not None]


def _row(sheet: Sheet, circuit: Mapping[str, Any], y: float, at: Any) -> None:
    name = str(circuit["name"])
    sheet.text((LEFT - 1.6, y + 0.9), name if len(name) <= 22 else name[:21] + "…", "end")
    sheet.rect((at(0.0), y - 1.1), at(circuit["current"]) - at(0.0), 2.2, "solid", data=f"current {name}")
    carried = circuit.get("ampacity")
    if carried:
        x = at(carried)
        sheet.path([(x - 1.2, y - 2), (x, y - 2), (x, y + 2), (x - 1.2, y + 2)], "object")
    if circuit.get("fuse"):
        sheet.line((at(circuit["fuse"]), y - 2.2), (at(circuit["fuse"]), y + 2.2), "accent", data=f"fuse {name}")


def _words(circuit: Mapping[str, Any]) -> str:
    words = [f"{rounded(circuit['current'], 2)} A"]
    if circuit.get("wire"):
        words.append(str(circuit["wire"]))
    if circuit.get("ampacity"):
        words.append(f"carries {rounded(circuit['ampacity'], 2)} A")
    if circuit.get("fuse"):
        words.append(f"fuse {rounded(circuit['fuse'], 2)} A")
    return ", ".join(words)
