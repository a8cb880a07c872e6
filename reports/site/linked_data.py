"""The car as linked data for machines that read pages: schema.org `Car` (https://schema.org/Car) in JSON-LD. The owner is not named."""

from __future__ import annotations

import json
import re
from typing import Any

from markupsafe import Markup

from reports import typography
from reports.context import Context
from reports.source import Source

#: UN/CEFACT Recommendation 20 common codes, which schema.org asks for in `unitCode`.
UNIT_CODES = {"in": "INH", "mm": "MMT", "ft": "FOT", "m": "MTR", "lb": "LBR", "kg": "KGM", "hp": "BHP", "kW": "KWT", "cu in": "INQ", "cc": "CMQ",
              "L": "LTR", "gal": "GLL", "rpm": "RPM", "mph": "HM", "km/h": "KMH", "N·m": "NU"}
_NUMBER = re.compile(r"(-?[\d,]*\.?\d+) ?(.*)\Z")


def script(context: Context) -> Markup:
    """The data as the text of a script element; `<` is escaped so that no recorded text can end the element."""
    text = json.dumps(car(context), ensure_ascii=True, indent=1).replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
    return Markup(text)  # noqa: S704 (the three characters that matter to HTML are escaped just above)


def car(context: Context) -> dict[str, Any]:
    """The car as schema.org describes one; what is not recorded is left out."""
    source = context.source
    papers = source.document.car
    found = {
        "@context": "https://schema.org", "@type": "Car", "name": _text(context.name), "description": _text(context.title),
        "manufacturer": {"@type": "Organization", "name": _text(papers.make)} if papers.make else None, "model": _text(papers.model),
        "vehicleModelDate": _text(papers.year), "bodyType": _text(papers.body), "color": _text(papers.color),
        "vehicleIdentificationNumber": _text(papers.vin), "serialNumber": _text(papers.serial),
        "image": f"photos/{context.cover.large.file}" if context.cover else None,
        "vehicleEngine": _engine(source), "weightTotal": _quantity(source, "car.mass"), "wheelbase": _quantity(source, "car.wheelbase"),
        "fuelType": _fact(source, "engine.fuel"), "fuelCapacity": _quantity(source, "fuel_tank.capacity"),
        "vehicleTransmission": _fact(source, "transmission.type"), "numberOfForwardGears": _gears(source),
        "driveWheelConfiguration": _fact(source, "car.drive_layout"), "vehicleInteriorColor": None,
        "additionalProperty": [_property(source, name, fact) for name, fact in (("axle ratio", "axle.ratio"), ("tire size", "tire.size"))
                               if fact in source.facts],
    }
    return {key: value for key, value in found.items() if value not in (None, "", [], {})}


def _engine(source: Source) -> dict[str, Any] | None:
    found = {"engineDisplacement": _quantity(source, "engine.displacement"), "enginePower": _quantity(source, "engine.peak_power"),
             "torque": _quantity(source, "engine.peak_torque"), "fuelType": _fact(source, "engine.fuel")}
    known = {key: value for key, value in found.items() if value}
    return {"@type": "EngineSpecification", **known} if known else None


def _text(value: Any) -> str:
    return typography.clean(value)


def _fact(source: Source, fact: str) -> str:
    return typography.words(source.facts[fact].printed) if fact in source.facts else ""


def _quantity(source: Source, fact: str) -> dict[str, Any] | None:
    """A fact as a QuantitativeValue with its unit in words, and as a code where the table has one."""
    found = _NUMBER.match(source.facts[fact].printed) if fact in source.facts else None
    if not found:
        return None
    unit = found[2].strip()
    value = {"@type": "QuantitativeValue", "value": float(found[1].replace(",", "")), "unitText": unit, "unitCode": UNIT_CODES.get(unit)}
    return {key: item for key, item in value.items() if item not in (None, "")}


def _gears(source: Source) -> int | None:
    ratios = source.facts["transmission.forward_ratios"].typed if "transmission.forward_ratios" in source.facts else None
    return len(ratios) if isinstance(ratios, (list, tuple)) and ratios else None


def _property(source: Source, name: str, fact: str) -> dict[str, Any]:
    return {"@type": "PropertyValue", "name": name, "value": _text(source.facts[fact].printed)}
