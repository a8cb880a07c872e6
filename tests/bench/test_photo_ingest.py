"""What taking in a photograph of 12 megapixels costs over the least that anything can: libjpeg-turbo's own scaled decoding to
half size, and the same three encodings of plainly subsampled pixels, in the same process, in turns.

Bound: 1.5 for judging, clean sizes, hash and keeping of original and sizes in the data folder together (its share of waiting
for the disk is told beside). The judge is libjpeg-turbo through PyTurboJPEG. Run: pytest tests/bench --benchmark-only -s
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Callable
from functools import cache
from pathlib import Path
from time import perf_counter, process_time
from typing import Any

import numpy as np
from PIL import Image
from turbojpeg import TJPF_RGB, TJSAMP_420, TurboJPEG

from service import pictures
from service.settings import DEMO_BUILDS
from service.storage.files import Folder

ROUNDS = 15
QUALITY = 84
SIZES = ((2016, 1512), (1008, 756), (320, 240))


@cache
def photograph() -> bytes:
    """A demo picture at 4032 by 3024 pixels with the noise of a sensor, about as many bytes as a phone makes of it."""
    with Image.open(DEMO_BUILDS.parent / "photos" / "coupe-battery-trunk.jpg") as image:
        large = np.asarray(image.convert("RGB").resize((4032, 3024), Image.Resampling.BICUBIC)).astype(np.int16)
    noisy = large + np.random.default_rng(12).normal(0, 4, (3024, 4032, 1)).astype(np.int16)
    found = io.BytesIO()
    Image.fromarray(noisy.clip(0, 255).astype(np.uint8)).save(found, "JPEG", quality=93, subsampling="4:2:0")
    return found.getvalue()


def least(codec: TurboJPEG) -> list[bytes]:
    """Half size by the decoder, then every second and every third pixel of that; three encodings."""
    half = codec.decode(photograph(), pixel_format=TJPF_RGB, scaling_factor=(1, 2))
    quarter = np.ascontiguousarray(half[::2, ::2])
    small = np.ascontiguousarray(quarter[::3, ::3])
    return [codec.encode(pixels, quality=QUALITY, pixel_format=TJPF_RGB, jpeg_subsample=TJSAMP_420) for pixels in (half, quarter, small)]


def clean() -> pictures.Clean:
    """Judging and clean sizes."""
    return pictures.clean(io.BytesIO(photograph()), "image/jpeg")


def ingest(folder: Folder) -> None:
    """All that happens to the file before its record is committed."""
    content = photograph()
    sha256 = hashlib.sha256(content).hexdigest()
    assert folder.keep(sha256, io.BytesIO(content), clean().sizes)
    folder.drop(sha256)


def timed(work: Callable[[], object]) -> tuple[float, float]:
    begun, cpu = perf_counter(), process_time()
    work()
    return process_time() - cpu, perf_counter() - begun


def test_ingest_against_the_decoder_alone(benchmark: Any, tmp_path: Path) -> None:
    codec, folder = TurboJPEG(), Folder(f"file://{tmp_path / 'files'}")
    assert tuple(Image.open(io.BytesIO(made)).size for made in clean().sizes.values()) == SIZES
    assert [Image.open(io.BytesIO(made)).size for made in least(codec)][:2] == list(SIZES[:2])
    rounds = [(timed(lambda: least(codec)), timed(clean), timed(lambda: ingest(folder))) for _ in range(1 if benchmark.disabled else ROUNDS)]
    floor, sizes, whole = (min(cpu for cpu, _ in times) for times in zip(*rounds, strict=True))
    wall_floor, wall = min(times[0][1] for times in rounds), min(times[2][1] for times in rounds)
    benchmark.extra_info.update(sizes=sizes / floor, whole=whole / floor)
    print(f"\n{len(photograph()) / 1e6:.1f} MB: floor {floor * 1e3:.0f} ms, sizes {sizes * 1e3:.0f} ms ({sizes / floor:.2f}), "
          f"whole {whole * 1e3:.0f} ms ({whole / floor:.2f}); with waiting {wall_floor * 1e3:.0f} and {wall * 1e3:.0f} ms ({wall / wall_floor:.2f})")
    if not benchmark.disabled:
        assert whole / floor < 1.5
    benchmark.pedantic(clean, rounds=3)
