"""The only part of a kind that has no positions is the car's own, whatever label it was given."""

from __future__ import annotations

from typing import Any

from service.document import Facts, load


def facts(*axles: dict[str, Any], **lists: Any) -> Facts:
    return Facts(load({
        "format": "as-fitted/build/1", "car": {"make": "Example", "model": "One", "year": 1957}, "build": {"use": "street"},
        "parts": [{"kind": "axle", **axle} for axle in axles], **lists,
    }))


def test_the_only_axle_said_to_be_at_the_rear() -> None:
    found = facts({"position": "rear", "specs": {"ratio": 3.25}}).find("axle", "ratio", None)
    assert found is not None
    assert (found.value, found.address) == (3.25, "axle.ratio@rear")


def test_it_is_counted_once() -> None:
    assert len([fact for fact in facts({"position": "rear", "specs": {"ratio": 3.25}}) if fact.subject == "axle"]) == 1


def test_two_axles_with_labels_are_not_guessed_at() -> None:
    assert facts({"position": "rear", "specs": {"ratio": 3.25}}, {"position": "front", "specs": {"ratio": 3.9}}).find("axle", "ratio", None) is None


def test_a_labeled_second_one_stays_second() -> None:
    assert facts({"specs": {"ratio": 3.25}}, {"position": "front", "specs": {"ratio": 3.9}}).value("axle.ratio") == 3.25
