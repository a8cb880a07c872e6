"""The schedule, judged by a graph library's longest paths and a calendar library's working days."""

from __future__ import annotations

import datetime as dt

import networkx
import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.calc import schedule as calc


@st.composite
def projects(draw: st.DrawFn) -> tuple[dict[str, list[str]], dict[str, float]]:
    """Steps that each come after some of those before them, with whole hours of work."""
    count = draw(st.integers(min_value=1, max_value=9))
    names = [f"step {index}" for index in range(count)]
    after = {name: draw(st.lists(st.sampled_from(names[:index]), unique=True, max_size=3)) if index else [] for index, name in enumerate(names)}
    hours = {name: float(draw(st.integers(min_value=0, max_value=20))) for name in names}
    order = draw(st.permutations(names))
    return {name: after[name] for name in order}, hours


def _graph(after: dict[str, list[str]], hours: dict[str, float]) -> networkx.DiGraph:
    """Steps as edges' weights: an arrow carries the work of the step it leaves; `end` follows every step."""
    graph = networkx.DiGraph()
    for name in after:
        graph.add_edge("begin", name, weight=0.0)
        graph.add_edge(name, "end", weight=hours[name])
    graph.add_weighted_edges_from((before, name, hours[before]) for name, befores in after.items() for before in befores)
    return graph


@given(projects())
def test_longest_path_agrees_with_networkx(project: tuple[dict[str, list[str]], dict[str, float]]) -> None:
    after, hours = project
    assert calc.network(after, hours).length == networkx.dag_longest_path_length(_graph(after, hours))


@given(projects())
def test_slack_is_what_a_step_may_grow(project: tuple[dict[str, list[str]], dict[str, float]]) -> None:
    """Judged by networkx: longer by its slack the whole takes as long as before, by an hour more it takes an hour longer."""
    after, hours = project
    found = calc.network(after, hours)
    for name, slack in found.slack.items():
        assert networkx.dag_longest_path_length(_graph(after, {**hours, name: hours[name] + slack})) == found.length
        assert networkx.dag_longest_path_length(_graph(after, {**hours, name: hours[name] + slack + 1})) == found.length + 1


@given(projects())
def test_the_chain_is_a_path_of_that_length(project: tuple[dict[str, list[str]], dict[str, float]]) -> None:
    after, hours = project
    found = calc.network(after, hours)
    assert sum(hours[name] for name in found.chain) == found.length
    graph = networkx.DiGraph([(before, name) for name, befores in after.items() for before in befores])
    graph.add_nodes_from(after)
    assert all(networkx.has_path(graph, first, second) for first, second in zip(found.chain, found.chain[1:], strict=False))


@given(projects())
def test_order_is_topological(project: tuple[dict[str, list[str]], dict[str, float]]) -> None:
    after, _ = project
    found = calc.order(after)
    assert sorted(found) == sorted(after)
    assert all(found.index(before) < found.index(name) for name, befores in after.items() for before in befores)


def test_a_circle_is_named() -> None:
    with pytest.raises(ValueError, match="circle: a, b"):
        calc.order({"a": ["b"], "b": ["a"], "c": []})


def test_an_unknown_step_is_named() -> None:
    with pytest.raises(ValueError, match="after paint"):
        calc.order({"a": ["paint"]})


@given(st.dates(dt.date(2000, 1, 1), dt.date(2060, 1, 1)), st.integers(min_value=-3, max_value=900), st.integers(min_value=1, max_value=7))
def test_working_days_agree_with_numpy(first: dt.date, length: int, days: int) -> None:
    last = first + dt.timedelta(days=length)
    mask = [index < days for index in range(7)]
    expected = int(numpy.busday_count(first, last + dt.timedelta(days=1), weekmask=mask)) if length >= 0 else 0
    assert calc.working_days(first, last, days) == expected
