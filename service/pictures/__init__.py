"""Photographs and papers made safe to show and to hand out: their kind told by content, clean sizes, clean copies."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from typing import IO, TypeVar

from service.pictures import apart, copies, sizes
from service.pictures.kinds import MOST_BYTES, MOST_PIXELS, SIZES, SUFFIXES, BadPicture, judge, media_type
from service.pictures.sizes import Clean

__all__ = ["MOST_BYTES", "MOST_PIXELS", "SIZES", "SUFFIXES", "BadPicture", "Clean", "clean", "copy", "guarded", "media_type"]
_log = logging.getLogger(__name__)
_Made = TypeVar("_Made")
#: Photographs decoded at once in the server: two keep two cores busy.
_decoding = threading.BoundedSemaphore(2)
#: Other files are opened one at a time: the largest takes most of a gigabyte meanwhile.
_apart = threading.Lock()


def clean(stream: IO[bytes], kind: str) -> Clean:
    """The clean sizes of a picture, or of the first page of a PDF. Raises BadPicture for one that is broken, too large, or a bomb."""
    judge(stream, kind)
    if kind in apart.IN_SERVER:
        with _decoding:
            return guarded(lambda: sizes.sized(stream, kind))
    with _apart:
        told, made = apart.run("sizes", stream, kind)
    return Clean(made, **told)


def copy(stream: IO[bytes], kind: str) -> tuple[bytes, str]:
    """A clean copy of an original and its kind: the picture whole and coded as it was, HEIC as JPEG, a PDF without its descriptions.

    Raises BadPicture.
    """
    if kind in apart.IN_SERVER:
        with _decoding:
            return guarded(lambda: copies.copied(stream, kind))
    with _apart:
        told, made = apart.run("copy", stream, kind)
    return made["copy"], told["kind"]


def guarded(work: Callable[[], _Made]) -> _Made:
    """What `work` makes. Whatever a decoder says about a broken file is said as a bad picture."""
    try:
        return work()
    except BadPicture:
        raise
    except Exception as error:
        _log.info("a file was refused: %s: %s", type(error).__name__, error)
        raise BadPicture(f"the file is broken inside or is none that can be read ({error})"[:200]) from error

