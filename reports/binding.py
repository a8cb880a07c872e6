"""Binding the printed parts: pages, tags, links and outline of all of them in one PDF."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import ExitStack
from pathlib import Path
from typing import Any
from warnings import catch_warnings

import pikepdf

from reports.setting import Layout


def bind(files: Sequence[Path], layouts: Sequence[Layout], out: Path) -> None:
    """Bind the parts' PDFs, in the order of the book, into `out`."""
    with ExitStack() as held, pikepdf.new() as book:
        structure = book.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.StructTreeRoot))
        whole = book.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.StructElem, S=pikepdf.Name.Document, P=structure, K=pikepdf.Array()))
        numbers: list[tuple[int, Any]] = []
        names: list[tuple[str, Any]] = []
        for file in files:
            part = held.enter_context(pikepdf.open(file))
            # Names and tags are bound here, not by the copying of pages.
            with catch_warnings(category=pikepdf.exceptions.PageCopyWarning, action="ignore"):
                book.pages.extend(part.pages)
            numbers += _tags(book, part, whole)
            names += _names(book, part)
            if "/OutputIntents" not in book.Root:
                book.Root.OutputIntents = book.copy_foreign(book_intents(part))
        structure.K = pikepdf.Array([whole])
        structure.ParentTree = book.make_indirect(pikepdf.Dictionary(Nums=_flat(sorted(numbers, key=lambda entry: entry[0]))))
        book.Root.StructTreeRoot = structure
        unique = dict(sorted(names, key=lambda entry: entry[0], reverse=True))
        book.Root.Names = pikepdf.Dictionary(Dests=pikepdf.Dictionary(Names=_flat([(pikepdf.String(name), unique[name]) for name in sorted(unique)])))
        _outline(book, layouts)
        book.save(out, object_stream_mode=pikepdf.ObjectStreamMode.disable, deterministic_id=True)


def book_intents(part: pikepdf.Pdf) -> Any:
    """The output intents of a part, as an object of its own so that it can be copied."""
    return part.make_indirect(part.Root.OutputIntents)


def _flat(pairs: Sequence[tuple[Any, Any]]) -> pikepdf.Array:
    return pikepdf.Array([item for pair in pairs for item in pair])


def _tags(book: pikepdf.Pdf, part: pikepdf.Pdf, whole: pikepdf.Object) -> list[tuple[int, Any]]:
    """Hang a part's structure below the book's document; returns its entries of the parent tree."""
    copied = book.copy_foreign(part.Root.StructTreeRoot)
    for element in copied.K[0].K:
        element.P = whole
        whole.K.append(element)
    entries = list(copied.ParentTree.Nums)
    return [(int(number), found) for number, found in zip(entries[::2], entries[1::2], strict=True)]


def _names(book: pikepdf.Pdf, part: pikepdf.Pdf) -> list[tuple[str, Any]]:
    if "/Names" not in part.Root or "/Dests" not in part.Root.Names:
        return []
    copied = book.copy_foreign(part.make_indirect(part.Root.Names.Dests))
    entries = list(copied.Names)
    return [(str(name), found) for name, found in zip(entries[::2], entries[1::2], strict=True)]


def _outline(book: pikepdf.Pdf, layouts: Sequence[Layout]) -> None:
    with book.open_outline() as outline:
        start = 0
        for layout in layouts:
            outline.root.extend(_item(entry, start) for entry in layout.outline)
            start += layout.pages


def _item(entry: Sequence[Any], start: int) -> pikepdf.OutlineItem:
    title, page, left, top, children = entry
    item = pikepdf.OutlineItem(title, start + page, pikepdf.PageLocation.XYZ, left=left, top=top)
    item.is_closed = True
    item.children.extend(_item(child, start) for child in children)
    return item
