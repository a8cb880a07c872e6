"""Combinations that a builder really tries with the electrical system and with bolts: what is found, and how it is said."""

from __future__ import annotations

from typing import Any

import pytest

from service.checks.answer import answer
from service.document import load

HEAD = {"format": "as-fitted/build/1", "car": {"make": "Example", "model": "One", "year": 1962}}


def circuit(label: str, **facts: Any) -> dict[str, Any]:
    return {f"circuit.{name}@{label}": value for name, value in facts.items()}


#: The battery went to the trunk, the old cables went along.
TRUNK = {
    "facts": {
        "battery.location": "trunk", "battery.kind": "flooded", "battery.vented_outside": False, "battery.disconnect": False, "starter.current": "250 A",
        "starter.positive_length": "14 ft", "starter.positive_size": "4 AWG", "starter.negative_length": "2 ft", "starter.negative_size": "4 AWG",
        "ground.role@trunk floor": "body_to_battery", "ground.voltage_drop@trunk floor": "0.16 V"},
    "absent": ["ground_strap", "battery_tray"]}
#: Two fans on one relay, one fuse and one wire, behind an old alternator.
FANS = {
    "facts": {
        "cooling_fan.drive": "electric", "cooling_fan.count": 2, "cooling_fan.current": "18 A", "cooling_fan.fuse_rating": "40 A", "alternator.rated_output": "63 A",
        **circuit("both fans", current="36 A", length="6 ft", wire_size="12 AWG", fuse_rating="40 A", insulation_class="125 degC", temperature="185 degF", bundled_count=4)},
    "parts": [{"kind": "relay", "position": "both fans"}]}
#: A hard steel bolt, a few turns deep in a cast housing.
ALUMINUM = {
    "facts": {"joint.tapped_material@pump bracket": "cast_aluminum", "joint.engagement@pump bracket": "12 mm", "joint.duty@pump bracket": "engine",
              "joint.grip@pump bracket": "15 mm", "joint.hole_depth@pump bracket": "20 mm"},
    "fasteners": [{"joint": "Pump bracket", "system": "engine", "thread": "M8", "class": "10.9", "specified_torque": "33 N*m", "applied_torque": "33 N*m",
                   "length": "30 mm", "lubricant": "dry"}]}
#: Bright stainless bolts on a brake caliper, tightened in the other unit.
STAINLESS = {
    "facts": {"joint.tapped_material@caliper": "aluminum_6061_t6", "joint.engagement@caliper": "0.6 in", "joint.duty@caliper": "brake",
              "companion.fitted@stainless_in_aluminum": False},
    "fasteners": [{"joint": "Caliper", "system": "brakes", "thread": "3/8-16", "class": "A2-70", "specified_torque": "30 lb-ft", "applied_torque": "22 lb-ft",
                   "lubricant": "dry", "tool": "click wrench", "by": "Ilse"}]}
#: A sound amplifier on a kit's wire, without a fuse, that never sleeps.
AMPLIFIER = {
    "facts": {**circuit("amplifier", current="90 A", length="14 ft", wire_size="4 AWG", conductor="copper_clad_aluminum", fused=False),
              "electrical.parasitic_draw": "80 mA", "battery.capacity": "45 Ah"}}
#: A large alternator on the old charge cable.
ALTERNATOR = {
    "facts": {"alternator.rated_output": "140 A", "electrical.charging_voltage": "14.9 V",
              **circuit("alternator charge cable", current="110 A", length="5 ft", wire_size="8 AWG", fuse_rating="150 A", temperature="85 degC",
                        insulation_class="105 degC")}}
#: Wheel nuts with anti-seize, tightened and forgotten.
WHEELS = {
    "facts": {"joint.duty@wheel nuts": "wheel"},
    "fasteners": [{"joint": "Wheel nuts", "system": "wheels", "thread": "1/2-20", "class": "8", "specified_torque": "100 lb-ft", "applied_torque": "100 lb-ft",
                   "lubricant": "anti_seize", "at": "2026-03-02", "recheck_after": "50 mi"}],
    "drives": [{"at": "2026-03-04", "distance": "62 mi"}]}


def found(combination: dict[str, Any]) -> dict[str, dict[str, Any]]:
    lists = {name: value for name, value in combination.items() if name != "facts"}
    measurements = [{"fact": fact, "value": value} for fact, value in combination["facts"].items()]
    return {item["check"]: item for item in answer(load({**HEAD, "build": {"use": "street"}, "measurements": measurements, **lists}))["results"]}


@pytest.mark.parametrize(("combination", "check", "verdict", "says"), [
    (TRUNK, "electrical.companions", "fail", "A battery in the trunk or cabin needs its vent hose led outside (hydrogen collects and burns), a hold-down"),
    (TRUNK, "electrical.companions", "fail", "A battery moved from the engine needs a ground strap from the engine to the body as well: the current returns"),
    (TRUNK, "electrical.battery_cables", "fail", "Cranking at 250 A the cables lose 1.322 V, 1.063 V out and 0.259 V back; 0.8 V is the most it may be"),
    (TRUNK, "electrical.ground", "caution", "Trunk floor: 0.16 V is lost; 0.1 V is the most wanted: clean it to bare metal"),
    (FANS, "electrical.fuse", "fail", "40 A fuse, 36 A load, wire good for 32.44 A: no fuse carries the load and protects this wire; fit a larger wire."),
    (FANS, "electrical.wire_ampacity", "fail", "36 A in a wire good for 32.44 A here (19.47 A in its bundle of 4)"),
    (FANS, "electrical.charging_budget", "caution", "half empty after about 103 min: fewer loads, or more output at idle. Only 1 circuit is recorded"),
    (FANS, "cooling.fan_electrical", "fail", "One fuse stops both fans"),
    (FANS, "cooling.companions", "fail", "An electric fan needs an alternator that carries it at idle"),
    (ALUMINUM, "fasteners.thread_engagement", "fail", "of thread in cast aluminum; "),
    (ALUMINUM, "fasteners.torque_to_preload", "pass", "keep the threads dry"),
    (ALUMINUM, "fasteners.length_to_order", "pass", "buy 30 mm."),
    (STAINLESS, "fasteners.class_for_duty", "fail", "It is too weak for this; stainless is soft, stretches and galls."),
    (STAINLESS, "fasteners.torque_applied", "fail", "22 lb·ft of 30 lb·ft, 27 % too little. Tighten it again. It looks like N·m and lb·ft were exchanged."),
    (STAINLESS, "fasteners.companions", "caution", "Stainless in aluminum needs anti-seize or insulation: corrosion welds them together."),
    (AMPLIFIER, "electrical.fuse", "fail", "Amplifier has no fuse. A short burns the wire: fuse it at the source."),
    (AMPLIFIER, "electrical.wire_ampacity", "unknown", "the wire is copper-clad aluminum, and the tables are for copper"),
    (AMPLIFIER, "electrical.parasitic_draw", "caution", "80 mA asleep: the car still starts after about 9 days. Pull fuses"),
    (ALTERNATOR, "electrical.fuse", "fail", "150 A fuse, 110 A load, wire good for 41.31 A"),
    (ALTERNATOR, "electrical.charging_voltage", "caution", "14.9 V with the engine at about 1500 rpm is too high; 13.7 V to 14.7 V is wanted."),
    (ALTERNATOR, "electrical.charging_budget", "caution", "No load is recorded, so the sum is incomplete."),
    (WHEELS, "fasteners.torque_to_preload", "caution", "89 % of what it can hold"),
    (WHEELS, "fasteners.recheck_due", "fail", "62 mi driven, recheck after 50 mi: overdue by 12 mi, look at it before the next drive."),
    (WHEELS, "fasteners.torque_applied", "caution", "The tool is not recorded and who tightened it is not recorded."),
])
def test_a_finding_of_a_combination(combination: dict[str, Any], check: str, verdict: str, says: str) -> None:
    finding = found(combination)[check]
    assert finding["verdict"] == verdict
    assert says in finding["summary"]
    assert "None" not in finding["summary"] and "_" not in finding["summary"] and "  " not in finding["summary"]


def test_what_would_mend_the_cables_of_a_battery_in_the_trunk() -> None:
    """Neither cable alone does it: 250 A through 4.88 m of 4/0 AWG at 40 °C and 1 mΩ lose 0.46 V, of 3/0 AWG 0.52 V."""
    remedies = found(TRUNK)["electrical.battery_cables"]["remedies"]
    assert {"fact": None, "note": "both cables of 4/0 AWG"} in remedies
    assert [entry["fact"] for entry in remedies if entry["fact"]] == ["starter.positive_length"]


def test_the_wire_for_two_fans_is_offered_as_it_is_sold() -> None:
    remedies = found(FANS)["electrical.wire_ampacity"]["remedies"]
    assert remedies == [{"fact": "circuit.wire_size@both fans", "one_of": ["6 AWG", "4 AWG", "2 AWG", "1 AWG", "1/0 AWG", "2/0 AWG"], "note": "next larger size"}]


def test_an_insert_in_the_housing_is_not_judged_but_reckoned() -> None:
    coil = {**ALUMINUM, "facts": {**ALUMINUM["facts"], "joint.insert@pump bracket": "coil"}}
    finding = found(coil)["fasteners.thread_engagement"]
    assert finding["verdict"] == "unknown" and finding["missing"] == []
    assert finding["values"]["strip_load"]["si"] > 1.15 * found(ALUMINUM)["fasteners.thread_engagement"]["values"]["strip_load"]["si"]


def test_every_summary_of_the_combinations_reads_clean() -> None:
    for combination in (TRUNK, FANS, ALUMINUM, STAINLESS, AMPLIFIER, ALTERNATOR, WHEELS):
        for finding in found(combination).values():
            assert "None" not in finding["summary"] and "_" not in finding["summary"], finding["check"]
            assert finding["summary"].strip().endswith("."), finding["summary"]
