"""What the circuit checks share: their wire facts, where a label says that it is hot, and the current a wire may carry."""

from __future__ import annotations

from typing import Any

from service.calc import electrical as calc
from service.checks.core import Input, Unknown, need, option
from service.quantities import show
from service.quantities.wire_size import METRIC_SIZES

#: Words in a circuit's label that put its wire ahead of the bulkhead. Common practice.
HOT_WORDS = ("engine", "fan", "alternator", "headlight", "headlamp", "pump")
#: Usual running currents at 13.5 V, A, by words in a circuit's label; the first that fits counts. Common practice, to spot absurd entries.
USUAL_CURRENTS: tuple[tuple[tuple[str, ...], str, float, float], ...] = (
    (("fuel pump",), "a fuel pump", 5.0, 15.0),
    (("headlight", "headlamp"), "a pair of headlights", 3.0, 11.0),
    (("ignition", "coil"), "coils and control unit", 5.0, 12.0),
    (("blower",), "a blower", 10.0, 20.0),
    (("wiper",), "wipers", 4.0, 8.0),
    (("horn",), "a pair of horns", 6.0, 10.0),
    (("stop lamp", "stop light", "brake light"), "stop lamps", 2.0, 4.0),
)
#: So many times above or below the usual figures an entry is doubtful. Common practice.
DOUBTFUL = 2.5
#: Conductors that the tables are not for, in words.
CONDUCTORS = {"copper_clad_aluminum": "copper-clad aluminum", "aluminum": "aluminum"}
#: Words in the label of a circuit that switches the starter. Common practice.
STARTER_CONTROLS = ("solenoid", "relay", "switch", "button", "signal", "trigger", "control", "inhibit")
#: Air around a wire ahead of the bulkhead and behind it, K. Common practice.
HOT_AIR, COOL_AIR = 353.15, 313.15
#: Plain PVC insulation, K. Common practice.
PLAIN_INSULATION = 353.15
#: Share of the time that an intermittent load is on when not recorded. Common practice.
INTERMITTENT_SHARE = 0.25
#: Cross-linked insulation, the best of ordinary vehicle wire, K. Common practice.
TABLE_BEST_INSULATION = 398.15
#: The thinnest wire of the current table, m2 (0.8 mm2 is the metric size beside 18 AWG). Source: 33 CFR 183.425, Table 5.
THINNEST = 0.8e-6

#: Inputs that decide what a wire may carry.
WIRE_INPUTS: tuple[Input, ...] = (
    need("circuit.current@here"),
    need("circuit.wire_size@here"),
    option("circuit.insulation_class@here", default=PLAIN_INSULATION, why="plain PVC"),
    option("circuit.temperature@here", default=lambda x: HOT_AIR if any(word in x.position for word in HOT_WORDS) else COOL_AIR, why="by the circuit's name"),
    option("circuit.bundled_count@here", default=1),
    option("circuit.duty@here", default="continuous"),
    option("circuit.conductor@here", default="copper"),
)


def ampacity(x: Any, temperature: float | None = None, insulation: float | None = None) -> float:
    """Current in A that the wire may carry where it is, alone. Unknown for other conductors than copper."""
    if x.conductor != "copper":
        raise Unknown(f"the wire is {CONDUCTORS[x.conductor]}, and the tables are for copper")
    insulated, air = insulation or x.insulation_class, temperature or x.temperature
    return calc.base_current(x.wire_size, insulated) * calc.temperature_factor(insulated, air)


def doubt(label: str, current: float) -> str | None:
    """A remark where a circuit's current in A is far from what such a load takes.

    >>> doubt("fuel pump", 90.0), doubt("fuel pump", 9.0), doubt("winch", 200.0)
    ('Usual for a fuel pump is 5 to 15 A: look at 90 A once more.', None, None)
    """
    for words, load, low, high in USUAL_CURRENTS:
        if any(word in label for word in words):
            absurd = current > DOUBTFUL * high or 0 < current < low / DOUBTFUL
            return f"Usual for {load} is {low:g} to {high:g} A: look at {current:g} A once more." if absurd else None
    return None


def found(s: Any) -> str:
    """The verdict of the figures as recorded: a caution that only comes from their tolerances finds nothing wrong."""
    return str(s.verdict) if any(limit.violated for limit in s.limits) else "pass"


def named(s: Any) -> str:
    """The circuit's or ground's name with a capital first letter."""
    return f"{s.position[:1].upper()}{s.position[1:]}"


def circuits(*, starter: bool = True) -> Any:
    """Applies where a circuit is recorded; `starter` tells whether also at the starter's main cable."""
    return lambda car, position: (starter or not is_main_cable(position)) and car.on_car("circuit", position)


def is_main_cable(label: str | None) -> bool:
    """Whether a circuit is the starter's main cable by its label: the starter's, but not what switches it.

    >>> is_main_cable("starter cable"), is_main_cable("starter relay"), is_main_cable("fan")
    (True, False, False)
    """
    return label is not None and "starter" in label and not any(word in label for word in STARTER_CONTROLS)


def load_sheet(x: Any, fuse: float | None = None) -> dict[str, Any]:
    """One circuit of the book's wiring load sheet; without current table entries for a wire thinner than the table."""
    in_table = x.wire_size >= THINNEST * (1 - 1e-9)
    single = ampacity(x) if in_table else None
    unit = "mm2" if any(abs(x.wire_size - size) < 1e-3 * size for size in METRIC_SIZES) else "AWG"
    circuit = {"name": x.position, "current": x.current, "wire": show(x.wire_size, "wire_size", unit), "ampacity": single,
               "bundled_ampacity": None if single is None else single * calc.bundle_factor(x.bundled_count), "fuse": fuse}
    return {"series": {"kind": "wiring_loads", "circuits": [circuit]}}
