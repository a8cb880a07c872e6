"""Serials in ranges, as people count them."""

from __future__ import annotations

from itertools import pairwise

import pytest

from service.storage.recall import between, natural


def test_serials_in_order() -> None:
    ordered = ["7", "TC-9", "tc-10", "TC 99", "TC-100", "TC-100-A", "TC-100-B", "TD-1", "TD-1-2"]
    for first, second in pairwise(ordered):
        assert natural(first) < natural(second)


@pytest.mark.parametrize(("serial", "low", "high", "inside"), [
    ("TC-100", "TC-99", "TC-101", True), ("TC-099", "TC-99", "TC-101", True), ("TC-98", "TC-99", "TC-101", False), ("TC-1000", "TC-99", "TC-101", False),
    ("TC-99", "TC-99", "TC-99", True), ("tc99", "TC-99", "", True), ("tc98", "TC-99", "", False), ("TC-5", "", "TC-9", True), ("TC-5", "", "", True),
    ("28-0562-R", "28-500-R", "28-600-R", True), ("TC-A-31177", "31000", "32000", True), ("TC-A-31177", "32000", "", False), ("TC", "1", "9", False),
    ("TD-100", "TC-99", "TC-101", False),
])
def test_serials_between(serial: str, low: str, high: str, inside: bool) -> None:
    assert between(serial, low, high) is inside
