"""Logs: one JSON object a line on standard error, telling what happened and never to whom.

No names, tokens, queries or bodies: requests are told by the route's template, errors by their kind and place. Messages of
exceptions are left out, for they often quote what was sent.
"""

from __future__ import annotations

import datetime as dt
import json
import logging
import traceback
from pathlib import Path
from typing import Any


class JsonLines(logging.Formatter):
    """A record as one line of JSON; `extra={"fields": {…}}` adds to it."""

    def format(self, record: logging.LogRecord) -> str:
        """The line."""
        at = dt.datetime.fromtimestamp(record.created, dt.UTC).isoformat(timespec="milliseconds")
        line: dict[str, Any] = {"at": at, "level": record.levelname.lower(), "logger": record.name.strip("_"), "message": record.getMessage(),
                                **getattr(record, "fields", {})}
        if record.exc_info and record.exc_info[0] is not None:
            line |= {"error": record.exc_info[0].__name__, "where": _places(record.exc_info[1])}
        return json.dumps(line, ensure_ascii=False)


def _places(error: BaseException | None) -> list[str]:
    """Where an error came through, the innermost last, and the same of what caused it."""
    found: list[str] = []
    while error is not None:
        frames = [f"{Path(frame.filename).name}:{frame.lineno} {frame.name}" for frame in traceback.extract_tb(error.__traceback__)]
        found = [*frames, *([f"then {type(error).__name__}"] if found else []), *found]
        error = error.__cause__ or error.__context__
    return found


_ONE_PLACE = {"handlers": ["lines"], "propagate": False}
#: For `logging.config.dictConfig` and for the server, whose own loggers are named here too.
CONFIGURATION: dict[str, Any] = {
    "version": 1,
    "disable_existing_loggers": False,
    "formatters": {"json": {"()": "service.logs.JsonLines"}},
    "handlers": {"lines": {"class": "logging.StreamHandler", "formatter": "json", "stream": "ext://sys.stderr"}},
    "root": {"handlers": ["lines"], "level": "WARNING"},
    "loggers": {"service": {**_ONE_PLACE, "level": "INFO"},
                **{name: {**_ONE_PLACE, "level": "WARNING"} for name in ("_granian", "granian.access")}},
}
