"""A car of any size for measuring: recorded values, photographs and findings of an invented make, all of them plausible."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from PIL import Image, ImageDraw

from tests.reports import sample

#: Subjects that the values are spread over, by system.
_SUBJECTS = {"driveline": "shaft_slope", "suspension": "arm_length", "alignment": "camber", "wheels": "size"}
SIZE = (1600, 1200)


def photographs(folder: Path, count: int) -> Path:
    """Write `count` pictures that pack like photographs below a folder."""
    (folder / "photos").mkdir(parents=True, exist_ok=True)
    noise = Image.effect_noise((SIZE[0] // 8, SIZE[1] // 8), 60).resize(SIZE, Image.Resampling.BICUBIC)
    for number in range(count):
        file = folder / "photos" / f"{number:04d}.jpg"
        if not file.exists():
            picture = Image.merge("RGB", (noise, noise.rotate(90).resize(SIZE), noise.rotate(180)))
            ImageDraw.Draw(picture).rectangle((number % 700, 200, 400 + number % 700, 700), fill=(90 + number % 100, 96, 88))
            (picture if number % 5 else picture.transpose(Image.Transpose.ROTATE_90)).save(file, quality=80)
    return folder


def document(values: int, count: int) -> dict[str, Any]:
    """A document with that many recorded values, half measured and half of parts, and that many photographs."""
    parts = [{"id": f"p{n}", "kind": "anti_roll_bar", "position": f"front:number {n}", "name": f"Bar number {n}", "maker": "Tollgate Spring",
              "part_number": f"TS-{n}", "fitted_on": "2026-03-10", "fitted_by": "Anselm Rook", "notes": "Bushings greased at fitting; links of equal length.",
              "specs": {"diameter": f"{1 + n % 7 / 8} in", "arm_length": f"{9 + n % 5} in", "greasable": True}} for n in range(values // 6)]
    measured = [{"id": f"m{n}", "fact": f"driveline.shaft_slope@joint {n}", "value": f"{n % 50 / 10} deg", "instrument": "digital level",
                 "condition": "at ride height", "taken_by": "Anselm Rook", "taken_at": "2026-04-02T10:00:00-05:00"} for n in range(values // 2)]
    photos = [{"id": f"f{n}", "file": f"photos/{n:04d}.jpg", "caption": f"Photograph {n}: the bracket seen from below, before the second coat.",
               "taken_at": "2026-04-02T10:00:00-05:00", "of": [f"p{n}"] if n < 8 else []} for n in range(count)]
    return sample.document(parts=parts, measurements=measured, photos=photos, fixes=[], specs=[], signoffs=[], papers=[], absent=[])


def answer(values: int) -> dict[str, Any]:
    """What the checks might say of it: every value a fact, a finding for each ten of them."""
    facts = [{"fact": f"driveline.shaft_slope@joint {n}", "system": "driveline", "printed": f"{n % 50 / 10} deg", "also": None, "typed": f"{n % 50 / 10} deg",
              "from": {"list": "measurements", "id": f"m{n}"}} for n in range(values // 2)]
    for n in range(values // 6):
        facts += [{"fact": f"anti_roll_bar.{field}@front:number {n}", "system": "suspension", "printed": printed, "also": also, "typed": printed,
                   "from": {"list": "parts", "id": f"p{n}"}} for field, printed, also in
                  (("diameter", f"{1 + n % 7 / 8} in", "28.6 mm"), ("arm_length", f"{9 + n % 5} in", "241 mm"), ("greasable", "yes", None))]
    first = sample.ANSWER["results"][0]
    results = [{**first, "check": f"{system}.check_{n}", "system": system, "title": f"Check number {n} of the {system}",
                "series": first["series"] if n < 4 else None, "table": first["table"] if n % 4 == 0 else None}
               for system in _SUBJECTS for n in range(values // 40)]
    return {**sample.ANSWER, "results": results, "facts": facts, "measure_next": []}
