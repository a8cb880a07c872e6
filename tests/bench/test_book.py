"""The book's time and memory: the PDF beside a browser printing the same pages, everything beside the PDF, a caption changed.

Run: pytest tests/bench/test_book.py --benchmark-only -s   (1,500 values, 200 and 500 photographs; minutes)
Without `--benchmark-only` a small car goes the same way once, so that what is measured keeps working. Aimed at on two cores:
PDF at most 0.8× the browser, site with PDF and packet at most 1.3× the PDF, a changed caption below a fifth, below 600 MB in
all processes and the same for 500 photographs. The ratios are printed; nothing is asserted about time.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from reports import context, parts, pdf, press
from reports import photos as darkroom
from reports.answer import Answer
from reports.book import make
from reports.document import Document
from reports.source import Source
from reports.theme import PRINT_FONTS, Theme
from reports.vocabulary import Vocabulary
from tests.bench import large
from tests.reports import sample

FULL, SMALL = (1500, 200), (60, 6)
BROWSER = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
_MEMORY = """
import sys
from pathlib import Path
from tests.bench import large
from tests.reports import sample
from reports.book import make
values, count, folder, out, kept = int(sys.argv[1]), int(sys.argv[2]), *map(Path, sys.argv[3:])
make(large.document(values, count), large.answer(values), sample.VOCABULARY, folder, out, packet=True, kept=kept)
"""


def size(benchmark: Any) -> tuple[int, int]:
    return SMALL if benchmark.disabled else FULL


def ready(values: int, count: int, tmp_path: Path) -> tuple[context.Context, Path]:
    """The book's content, its photographs ingested."""
    folder = large.photographs(tmp_path / "car", count)
    document = Document.of(large.document(values, count))
    pictures = darkroom.develop(document.photos, folder, tmp_path / "renditions")
    return context.build(Source(document, Answer.of(large.answer(values)), Vocabulary(sample.VOCABULARY), pictures)), tmp_path / "renditions"


def timed(work: Callable[[], Any]) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def one_page(book: context.Context, renditions: Path) -> str:
    """The whole book as one page for the browser, with the same styles, fonts and pictures."""
    bodies = [re.sub(r"(?s).*<body>(.*)</body>.*", r"\1", parts.page(book, Theme.load(), part)) for part in parts.divide(book)]
    style = pdf.style_text(Theme.load(), "letter", ("fonts.css", *pdf.SHEETS)).replace("url(fonts/", f"url({PRINT_FONTS.as_uri()}/").replace(".woff2) format(\"woff2\")", ".ttf)")
    text = f"<!doctype html><html lang=en-US><head><meta charset=utf-8><title>Book</title><style>{style}</style></head><body>{''.join(bodies)}</body></html>"
    return text.replace('src="photos/', f'src="{renditions.as_uri()}/').replace("book:", "#")


@pytest.mark.skipif(BROWSER is None, reason="no browser to compare with")
def test_pdf_beside_a_browser(benchmark: Any, tmp_path: Path) -> None:
    book, renditions = ready(*size(benchmark), tmp_path)
    (tmp_path / "book.html").write_text(one_page(book, renditions), encoding="utf-8")
    command = [str(BROWSER), "--headless", "--no-sandbox", "--disable-gpu", f"--print-to-pdf={tmp_path / 'browser.pdf'}", (tmp_path / "book.html").as_uri()]
    rounds = 1 if benchmark.disabled else 3
    times = [(timed(lambda: press.print_book(book, Theme.load(), renditions, tmp_path / "ours.pdf", "letter")),
              timed(lambda: subprocess.run(command, check=True, capture_output=True))) for _ in range(rounds)]
    ours, theirs = (min(side) for side in zip(*times, strict=True))
    pages = [len(re.findall(rb"/Type\s*/Page\b", file.read_bytes())) for file in (tmp_path / "ours.pdf", tmp_path / "browser.pdf")]
    print(f"\nPDF {ours:.1f} s ({pages[0]} pages), browser {theirs:.1f} s ({pages[1]} pages), ratio {ours / theirs:.2f}")
    benchmark.extra_info["ratio"] = ours / theirs
    assert pages[0] > 5 and (tmp_path / "browser.pdf").is_file()
    benchmark.pedantic(lambda: None, rounds=1)


def test_everything_beside_the_pdf_and_a_caption_changed(benchmark: Any, tmp_path: Path) -> None:
    values, count = size(benchmark)
    folder = large.photographs(tmp_path / "car", count)
    document, answer = large.document(values, count), large.answer(values)
    kept = tmp_path / "kept"
    darkroom.develop(Document.of(document).photos, folder, tmp_path / "renditions", kept=kept / "photos")

    def made(name: str, shown: dict[str, Any], **options: Any) -> float:
        return timed(lambda: make(shown, answer, sample.VOCABULARY, folder, tmp_path / name, **options))

    shutil.copytree(kept, tmp_path / "photographs only")
    alone = made("alone", document, site=False, kept=tmp_path / "photographs only")
    whole = made("whole", document, packet=True, kept=kept)
    changed = {**document, "photos": [{**document["photos"][-1], "caption": "Another caption."} if n == count - 1 else photo
                                      for n, photo in enumerate(document["photos"])]}
    again = made("again", changed, packet=True, kept=kept)
    print(f"\nPDF {alone:.1f} s; with site and packet {whole:.1f} s, {whole / alone:.2f}×; one caption changed {again:.1f} s, {again / whole:.2f}× of that")
    benchmark.extra_info |= {"everything": whole / alone, "caption": again / whole}
    fresh = tmp_path / "fresh"
    make(changed, answer, sample.VOCABULARY, folder, fresh, packet=True)
    assert (fresh / "packet.zip").read_bytes() == (tmp_path / "again" / "packet.zip").read_bytes()
    benchmark.pedantic(lambda: None, rounds=1)


def test_memory_of_all_processes(benchmark: Any, tmp_path: Path) -> None:
    counts = (6,) if benchmark.disabled else (200, 500)
    folder = large.photographs(tmp_path / "car", max(counts))
    peaks = []
    for count in counts:
        process = subprocess.Popen([sys.executable, "-c", _MEMORY, str(size(benchmark)[0]), str(count), str(folder), str(tmp_path / f"book {count}"),
                                    str(tmp_path / f"kept {count}")])
        peaks.append(_peak(process))
        assert process.returncode == 0
    print("\n" + "; ".join(f"{count} photographs: {peak / 1e6:.0f} MB" for count, peak in zip(counts, peaks, strict=True)))
    benchmark.extra_info["peaks"] = peaks
    benchmark.pedantic(lambda: None, rounds=1)


def _peak(process: subprocess.Popen[bytes]) -> int:
    """The most memory, in bytes, that a process and its children held at once; what they share counts once for each."""
    peak = 0
    while process.poll() is None:
        children = Path(f"/proc/{process.pid}/task/{process.pid}/children")
        family = [process.pid, *map(int, children.read_text().split())] if children.exists() else [process.pid]
        peak = max(peak, sum(_resident(pid) for pid in family))
        time.sleep(0.05)
    return peak


def _resident(pid: int) -> int:
    try:
        return int(Path(f"/proc/{pid}/statm").read_text().split()[1]) * os.sysconf("SC_PAGESIZE")
    except (OSError, IndexError):
        return 0
