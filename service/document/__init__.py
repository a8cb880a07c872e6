"""The build document: load, validate, and read the as-fitted facts with where each came from."""

from service.document.facts import Fact, Facts
from service.document.load import DocumentError, Problem, load, parse

__all__ = ["DocumentError", "Fact", "Facts", "Problem", "load", "parse"]
