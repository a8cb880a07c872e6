"""Every check and every derivation there is, found by walking this package; listed nowhere."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Mapping
from functools import cache
from typing import Any

import service.checks as package
from service.checks.core import Check, Derived
from service.document.address import split
from service.vocabulary import find


@cache
def modules() -> Mapping[str, Any]:
    """The modules of the system folders, by `system.name`."""
    found = {}
    for system in pkgutil.iter_modules(package.__path__):
        if not system.ispkg:
            continue
        folder = importlib.import_module(f"{package.__name__}.{system.name}")
        for info in pkgutil.iter_modules(folder.__path__):
            found[f"{system.name}.{info.name}"] = importlib.import_module(f"{folder.__name__}.{info.name}")
    return found


@cache
def checks() -> Mapping[str, Check]:
    """Every check by id, in the order of the alphabet. A check that names an unknown fact is a programming error."""
    found = {name: module.CHECK for name, module in sorted(modules().items()) if hasattr(module, "CHECK")}
    for name, check in found.items():
        if name.split(".")[0] != check.system:
            raise ValueError(f"{name} says that it belongs to {check.system}")
        for item in check.inputs:
            if item.role == "fact":
                _must_exist(name, item.fact)
    return found


@cache
def derivations() -> Mapping[tuple[str, str], tuple[Derived, ...]]:
    """Ways to get a fact from others, by (subject, field), in the order they are tried."""
    found: dict[tuple[str, str], tuple[Derived, ...]] = {}
    for name, module in sorted(modules().items()):
        for item in getattr(module, "DERIVED", ()):
            for address in (item.fact, *item.needs, *item.optional):
                _must_exist(name, address)
            subject, field, _ = split(item.fact)
            found[subject, field] = (*found.get((subject, field), ()), item)
    return found


@cache
def providers() -> Mapping[tuple[str, str], tuple[str, str, str]]:
    """Facts that a check also computes: (subject, field) -> (check id, value name, the fact's written address)."""
    found: dict[tuple[str, str], tuple[str, str, str]] = {}
    for name, check in checks().items():
        for fact, value in (check.provides or {}).items():
            _must_exist(name, fact)
            subject, field, _ = split(fact)
            found[subject, field] = (name, value, fact)
    return found


def _must_exist(name: str, address: str) -> None:
    subject, field, _ = split(address)
    if find(subject, field) is None:
        raise ValueError(f"{name} reads {address}, which the vocabulary does not have")
