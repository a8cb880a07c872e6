"""What the engine costs over calling the same pure functions directly: a plain run of each demo build, side by side.

Direct: every judging function that the run calls, with the inputs it called it with, as often as it called it. The engine
adds reading the facts' provenance, binding, defaults, corners, verdicts and margins. The bound aimed at is 3×; nothing is
asserted about time. Run: pytest tests/bench --benchmark-only -s
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from time import process_time
from typing import Any

import pytest

from service.checks import answer as answers
from service.checks import around, plan
from service.checks.core import Check, Inputs, Missing, NotingInputs, Outcome, Unknown
from service.document import Facts, load
from service.settings import DEMO_BUILDS

ROUNDS = 9
Call = tuple[Callable[[Any, Outcome], None], dict[str, Any]]


def recorded_calls(document: dict[str, Any], monkeypatch: pytest.MonkeyPatch) -> list[Call]:
    """The judging calls of one plain run."""
    calls: list[Call] = []
    original = plan.judge_inputs

    def recording(check: Check, inputs: Inputs) -> Outcome:
        calls.append((check.judge, dict(inputs._all if isinstance(inputs, NotingInputs) else inputs.__dict__)))
        return original(check, inputs)

    with monkeypatch.context() as patch:
        for module in (plan, around):
            patch.setattr(module, "judge_inputs", recording)
        answers.answer_for(Facts(document), full=False)
    return calls


def direct(calls: list[Call]) -> None:
    """The same functions, called directly."""
    for judge, values in calls:
        try:
            judge(Inputs(dict(values)), Outcome())
        except (Missing, Unknown, ValueError, ZeroDivisionError, OverflowError):
            continue


@pytest.mark.parametrize("path", sorted(DEMO_BUILDS.glob("*.json")), ids=lambda path: path.stem)
def test_plain_run_against_direct_calls(path: Path, benchmark: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    document = load(json.loads(path.read_text(encoding="utf-8")))
    calls = recorded_calls(document, monkeypatch)
    facts = Facts(document)
    # In turns, so that a noisy moment of the machine meets both sides.
    rounds = [(_timed(lambda: answers.answer_for(facts, full=False)), _timed(lambda: direct(calls))) for _ in range(ROUNDS)]
    engine, alone = (min(times) for times in zip(*rounds, strict=True))
    benchmark.extra_info["ratio"] = engine / alone
    print(f"\n{path.stem}: {len(calls)} calls, engine {engine * 1e3:.1f} ms, direct {alone * 1e3:.1f} ms, ratio {engine / alone:.2f}")
    benchmark.pedantic(lambda: answers.answer_for(facts, full=False), rounds=3)


def _timed(work: Callable[[], object]) -> float:
    start = process_time()
    work()
    return process_time() - start
