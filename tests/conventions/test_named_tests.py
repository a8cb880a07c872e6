"""What DEVELOPERS.md says holds by a test: there is that test."""

from __future__ import annotations

import re

import pytest

from service.settings import ROOT

TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
NAMED = sorted(set(re.findall(r"`([\w/]+)::(test_\w+)`", TEXT)))


def rows() -> list[list[str]]:
    """The rows of the table of requirements."""
    return [[cell.strip() for cell in line.strip("| ").split(" | ")] for line in TEXT.splitlines() if re.match(r"\| V\d", line)]


@pytest.mark.parametrize(("file", "test"), NAMED)
def test_every_test_that_is_named_is_there(file: str, test: str) -> None:
    assert re.search(rf"^def {test}\(", (ROOT / "tests" / f"{file}.py").read_text(encoding="utf-8"), re.MULTILINE), f"{file} has no {test}"


def test_every_requirement_holds_by_a_test_or_says_why_not() -> None:
    found = rows()
    assert len(found) > 50
    for requirement, holds, by in found:
        named = re.findall(r"`[\w/]+::test_\w+`", by)
        assert named or by == "does not apply" or (by == "no test" and "*Not held*" in holds), requirement


def test_every_section_that_applies_is_gone_through() -> None:
    """The sections of levels 1 and 2 in OWASP ASVS 5.0.0 but those of V9, V10 and V17."""
    sections = {1: 5, 2: 4, 3: 7, 4: 4, 5: 4, 6: 8, 7: 6, 8: 4, 11: 6, 12: 3, 13: 4, 14: 3, 15: 3, 16: 5}
    only_level_3 = {"V3.1", "V3.6", "V6.7"}
    wanted = {f"V{chapter}.{section}" for chapter, count in sections.items() for section in range(1, count + 1)} - only_level_3
    told = {match for row in rows() for match in re.findall(r"V\d+\.\d+", row[0])}
    assert told == wanted
