"""What a customer is given of a build: the owner's edition, as the book decides it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from flask import Flask, current_app

View = Callable[[Mapping[str, Any]], dict[str, Any]]


def register(app: Flask, view: View) -> None:
    """Use `view` for what customers are given. Books stand above the web, so the application hands it down."""
    app.extensions["asfitted_owner_view"] = view


def owner_view(document: Mapping[str, Any]) -> dict[str, Any]:
    """A document without what is the shop's own."""
    view: View = current_app.extensions["asfitted_owner_view"]
    return view(document)


def owner_header(name: str, body: Mapping[str, Any]) -> dict[str, Any]:
    """A `car` or `build` by itself without what is the shop's own."""
    absent = {"absent": body["absent"]} if "absent" in body else {}
    return {**owner_view({name: body})[name], **absent}
