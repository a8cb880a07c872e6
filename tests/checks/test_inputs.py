"""How judging functions read their inputs: so that what one touched can be known, and what touches the same need not be judged twice."""

from __future__ import annotations

from pathlib import Path

import pytest

import service.checks as package
from service.checks.core import Inputs, Missing, NotingInputs, touched_by

FILES = sorted(path for folder in Path(package.__file__).parent.iterdir() if folder.is_dir() for path in folder.glob("*.py"))
VALUES = {"length": 2.0, "wall": None, "position": "front"}


@pytest.mark.parametrize("path", FILES, ids=lambda path: f"{path.parent.name}.{path.stem}")
def test_no_check_goes_around_its_inputs(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert "__dict__" not in text and "vars(" not in text, "read x.name, x.has or x.replaced"


def test_noting_inputs_read_like_any() -> None:
    plain, noting = Inputs(dict(VALUES)), NotingInputs(dict(VALUES))
    for inputs in (plain, noting):
        assert (inputs.length, inputs.wall, inputs.has("length"), inputs.has("length", "wall"), inputs.has("diameter")) == (2.0, None, True, False, False)
        assert inputs.replaced(length=3.0).length == 3.0
        with pytest.raises(Missing) as missing:
            inputs.diameter  # noqa: B018
        assert missing.value.name == "diameter"


def test_what_is_touched_is_noted() -> None:
    inputs = NotingInputs(dict(VALUES))
    assert touched_by(inputs) == set()
    inputs.has("length", "wall", "never reached")
    assert touched_by(inputs) == {"length", "wall"}
    with pytest.raises(Missing):
        inputs.diameter  # noqa: B018
    assert touched_by(inputs) == {"length", "wall", "diameter"}, "what is absent counts: elsewhere it may be there"
    inputs.replaced(length=1.0)
    assert touched_by(inputs) == {*VALUES, "diameter"}
