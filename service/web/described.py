"""What each call takes and gives, said beside its view: the interface's description is made from this."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

_View = TypeVar("_View", bound=Callable[..., Any])
JSON = "application/json"
MERGE_PATCH = "application/merge-patch+json"


@dataclass(frozen=True, slots=True)
class Content:
    """A body: its JSON Schema (the name of a component, or a schema in full), an example, its media types.

    In names of schemas and examples `{name}` stands for the list of the address. `example` is the name of one in
    `examples`, or a value that stands for itself.
    """

    schema: str | Mapping[str, Any]
    example: Any = None
    types: tuple[str, ...] = (JSON,)


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer of a call: what it means, its body if it has one, the headers that it carries."""

    meaning: str
    content: Content | None = None
    headers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Parameter:
    """A parameter of the query, or a header of the request."""

    name: str
    meaning: str
    schema: Mapping[str, Any] = field(default_factory=lambda: {"type": "string"})
    example: Any = None
    required: bool = False


@dataclass(frozen=True, slots=True)
class Call:
    """A call's description. `problems` are the statuses of its problem documents beyond those that its kind of call has anyway;
    `headers` are what it wants beside them; `matches`: it wants If-Match; `once`: it honors Idempotency-Key; `open`: it needs no token."""

    gives: Mapping[int, Answer]
    takes: Content | None = None
    query: tuple[Parameter, ...] = ()
    headers: tuple[Parameter, ...] = ()
    problems: tuple[int, ...] = ()
    matches: bool = False
    once: bool = False
    open: bool = False


def described(call: Call) -> Callable[[_View], _View]:
    """Keep a call's description with its view."""
    def keep(view: _View) -> _View:
        view.described = call  # type: ignore[attr-defined]
        return view

    return keep


PAGE = (
    Parameter("limit", "how many entries a page has at most", {"type": "integer", "minimum": 1, "maximum": 1000, "default": 100}, 100),
    Parameter("cursor", "where the page begins: the one in the Link header of the page before", {"type": "string"}),
)
"""The parameters of every list that comes in pages."""
REASON = Parameter("reason", "why it is taken back; kept with the revision", {"type": "string"}, "entered for the wrong car")


def one(schema: str | Mapping[str, Any], meaning: str) -> Answer:
    """One thing, with the ETag that a change of it names. A named schema's example has its name."""
    return Answer(meaning, Content(schema, schema if isinstance(schema, str) else None), ("ETag",))


def many(schema: str, meaning: str, example: Any = None) -> Answer:
    """A page of things."""
    return Answer(meaning, Content({"type": "array", "items": {"$ref": f"#/components/schemas/{schema}"}}, example), ("ETag", "Link"))


def adding(schema: str, query: tuple[Parameter, ...] = (), problems: tuple[int, ...] = ()) -> Call:
    """A call that adds one thing."""
    kept = Content(schema, schema)
    return Call({201: Answer("it is kept", kept, ("ETag", "Location")), 200: Answer("the very same was kept already", kept, ("ETag", "Location"))},
                takes=Content(schema, schema), query=query, problems=(409, *problems), once=True)


def changing(schema: str) -> Call:
    """A call that changes one thing by a merge patch."""
    return Call({200: one(schema, "as it is now")}, takes=Content({"type": "object"}, f"patch {schema}", (JSON, MERGE_PATCH)),
                problems=(409, 410), matches=True, once=True)
