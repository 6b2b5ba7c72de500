"""Reads PDFs back with pypdf (structure) and pypdfium2 (where which text stands)."""

from __future__ import annotations

import ctypes
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import pypdfium2
from pypdf import PdfReader
from pypdfium2 import raw


@dataclass(frozen=True)
class Line:
    """One line of text: size and bounds in points, from the lower left of the page."""

    text: str
    size: float
    left: float
    low: float
    right: float
    top: float


def squashed(text: str) -> str:
    """Leave out all white space: lines are broken where the page needs it."""
    return re.sub(r"\s+", "", text)


KEPT = lru_cache(maxsize=4)
"""Several tests in turn read one file: what was read of the last few is kept."""


@KEPT
def pages_of(data: bytes) -> list[list[Line]]:
    """The lines of each page in the order in which they were drawn."""
    document = pypdfium2.PdfDocument(data)
    return [list(_lines(page)) for page in document]


def _lines(page: Any) -> Iterator[Line]:
    words = page.get_textpage()
    for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT]):
        size = ctypes.c_float()
        raw.FPDFTextObj_GetFontSize(item.raw, size)
        if text := _text(item, words).strip():
            yield Line(text, size.value, *item.get_bounds())


def _text(item: Any, words: Any) -> str:
    count = raw.FPDFTextObj_GetText(item.raw, words.raw, None, 0)
    buffer = ctypes.create_string_buffer(count)
    raw.FPDFTextObj_GetText(
        item.raw, words.raw, ctypes.cast(buffer, ctypes.POINTER(ctypes.c_ushort)), count
    )
    return buffer.raw.decode("utf-16-le").rstrip("\0").replace("\ufffe", "-").replace("\x02", "-")


@KEPT
def all_text(data: bytes) -> str:
    """All text, squashed, without the feet of the pages."""
    found = (line.text for page in pages_of(data) for line in page if line.low > 34)
    return squashed("".join(found))


@KEPT
def upright_text(data: bytes) -> str:
    """As `all_text`, without the words inside drawings, which lie on pages of their own."""
    upright = [one.mediabox.width < one.mediabox.height for one in reader(data).pages]
    pages = zip(pages_of(data), upright, strict=True)
    found = (line.text for page, high in pages if high for line in page if line.low > 34)
    return squashed("".join(found))


@KEPT
def reader(data: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(data), strict=True)


def headings(data: bytes) -> dict[str, int]:
    """The pages of the chapters' headings by their squashed text; set at 15 points."""
    found: dict[str, int] = {}
    for number, page in enumerate(pages_of(data), 1):
        text = "".join(line.text for line in page if abs(line.size - 15) < 0.01)
        found |= {squashed(text): number} if text else {}
    return found


def links(data: bytes) -> Iterator[tuple[int, Any]]:
    """The number of the page each link is on, and what it leads to."""
    document = reader(data)
    for number, page in enumerate(document.pages, 1):
        for note in page.get("/Annots", []):
            if note.get_object()["/Subtype"] == "/Link":
                yield number, note.get_object()


def target(data: bytes, link: Any) -> tuple[int, float]:
    """The number of the page a link leads to, and how high on it; raises when there is none."""
    page, how, _, top, _ = link["/Dest"]
    assert how == "/XYZ"
    ids = [one.indirect_reference.idnum for one in reader(data).pages]  # type: ignore[union-attr]
    return ids.index(page.idnum) + 1, float(top)
