"""Findings and problems as text for a terminal."""

from __future__ import annotations

import textwrap
from pathlib import Path
from typing import Any

import click

#: Verdicts by form first, always with the word: the same marks as in the book.
MARKS = {"pass": "( · )", "caution": "( ◐ )", "fail": "[███]", "unknown": "(- -)"}
_NEXT = 8


def print_answer(path: Path, found: dict[str, Any]) -> None:
    """What was found, worst first; what passed as a count; what to measure next; whether the car is ready."""
    counts = found["counts"]
    click.echo(f"{path}: {counts['fail']} fail, {counts['caution']} caution, {counts['unknown']} unknown, {counts['pass']} pass")
    for item in found["results"]:
        if item["verdict"] != "pass":
            click.echo(_finding(item))
    unusual = [fact for fact in found["facts"] if fact["unusual"]]
    if unusual:
        click.echo("\nOutside what is usual, so read once more:")
    for fact in unusual:
        click.echo(f"  {fact['title']}  [{fact['fact']}]: {fact['printed']}")
    if found["measure_next"]:
        click.echo("\nMeasure or answer next:")
    for entry in found["measure_next"][:_NEXT]:
        click.echo(f"  {entry['title']}  [{entry['fact']}], for {len(entry['unlocks'])} check{'s' if len(entry['unlocks']) > 1 else ''}")
    ready = found["ready"]
    click.echo("\nReady for the road." if ready["for_road"] else "\nNot ready for the road:")
    for reason in ready["because"][:_NEXT]:
        click.echo(textwrap.fill(reason, 96, initial_indent="  ", subsequent_indent="    "))
    if len(ready["because"]) > _NEXT:
        click.echo(f"  and {len(ready['because']) - _NEXT} more")


def _finding(item: dict[str, Any]) -> str:
    where = f" at {item['position'].replace('_', ' ')}" if item["position"] else ""
    head = f"\n{MARKS[item['verdict']]} {item['verdict']}  {item['check']}{where}{'  (safety)' if item['safety'] else ''}"
    lines = [head, textwrap.fill(item["summary"], 96, initial_indent="  ", subsequent_indent="  ")]
    for remedy in item["remedies"]:
        lines.append(textwrap.fill(_remedy(remedy), 96, initial_indent="  → ", subsequent_indent="    "))
    return "\n".join(lines)


def _remedy(remedy: dict[str, Any]) -> str:
    if remedy["fact"] is None:
        return str(remedy["note"])
    bounds = [f"at least {remedy['at_least']}"] if remedy.get("at_least") else []
    bounds += [f"at most {remedy['at_most']}"] if remedy.get("at_most") else []
    if remedy.get("one_of"):
        bounds.append("one of " + ", ".join("yes" if value is True else "no" if value is False else str(value) for value in remedy["one_of"]))
    text = f"{remedy['fact']}: {' and '.join(bounds)}" if bounds else f"{remedy['fact']}"
    note = remedy.get("note") or (f"stock size {remedy['stock']}" if remedy.get("stock") else "")
    return f"{text} ({note})" if note else text


def print_problem(path: Path, problem: dict[str, Any]) -> None:
    """A bad document: each error with where it stands."""
    click.echo(f"{path}: {problem['detail']}", err=True)
    for error in problem.get("errors", ()):
        if error["pointer"] or error["detail"] != problem["detail"]:
            click.echo(textwrap.fill(f"{error['pointer'] or '(document)'}: {error['detail']}", 110, initial_indent="  ", subsequent_indent="    "), err=True)


def print_vocabulary(kinds: list[dict[str, Any]]) -> None:
    """Every kind with its fields: what each is, in which units, how it is measured."""
    for kind in kinds:
        called = f"  (also called {', '.join(kind['also_called'])})" if kind["also_called"] else ""
        click.echo(f"\n{kind['name']}: {kind['title']}{called}")
        for field in kind["fields"]:
            click.echo(_filled(f"{field['name']}: {field['title']}; {_read_as(field)}{'; ' + field['how'] if field['how'] else ''}"))


def print_catalog(checks: list[dict[str, Any]]) -> None:
    """Every check with what it needs, its formula and where it comes from."""
    for item in checks:
        click.echo(f"\n{item['check']}: {item['title']}{'  (safety)' if item['safety'] else ''}")
        needed = dict.fromkeys(entry["fact"] for entry in item["inputs"] if entry["required"])
        for head, text in (("needs", ", ".join(needed)), ("formula", item["formula"] or "")):
            if text:
                click.echo(_filled(f"{head}: {text}"))
        for entry in item["basis"]:
            click.echo(_filled(f"{entry['kind'].replace('_', ' ')}: {entry['text']}"))


def _read_as(field: dict[str, Any]) -> str:
    if field["choices"]:
        return f"one of {', '.join(field['choices'])}"
    units = dict.fromkeys(unit for unit in (field["us_unit"], field["metric_unit"]) if unit)
    return " or ".join(units) if units else str(field["dimension"]).replace("_", " ")


def _filled(text: str) -> str:
    return textwrap.fill(text, 96, initial_indent="  ", subsequent_indent="    ")
