"""An independent reader of the PDFs: pypdfium2 renders, numpy measures, in mm from the top left."""

from __future__ import annotations

import io
from collections.abc import Callable

import numpy as np
import numpy.typing as npt
import pypdfium2
import pytest
from pypdf import PdfReader

Pixels = npt.NDArray[np.uint8]
Crop = Callable[..., Pixels]
POINT = 25.4 / 72


@pytest.fixture(scope="session")
def crop() -> Crop:
    """Render `box` (left, top, right, bottom in mm) of a page: rows x columns x RGB."""

    def render(pdf: bytes, box: tuple[float, ...], dpi: float = 1200, page: int = 0) -> Pixels:
        document = pypdfium2.PdfDocument(pdf)
        sheet = document[page]
        width, height = sheet.get_size()
        left, top, right, bottom = (mm / POINT for mm in box)
        margins = (left, height - bottom, width - right, top)
        return sheet.render(scale=dpi / 72, crop=margins, rev_byteorder=True).to_numpy()[:, :, :3]

    return render


@pytest.fixture(scope="session")
def read_texts() -> Callable[[bytes, int], list[tuple[str, float, float]]]:
    """Texts of a page with the mm position of their baseline start, read by pypdf."""

    def read(pdf: bytes, page: int = 0) -> list[tuple[str, float, float]]:
        sheet = PdfReader(io.BytesIO(pdf)).pages[page]
        high = float(sheet.mediabox.height)
        found: list[tuple[str, float, float]] = []

        def visit(text: str, cm: list[float], tm: list[float], *_: object) -> None:
            if text.strip():
                x, y = tm[4] + cm[4], tm[5] + cm[5]
                found.append((text.strip(), x * POINT, (high - y) * POINT))

        sheet.extract_text(visitor_text=visit)
        return found

    return read


def runs(dark: npt.NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Start and end (past the last) of each run of True."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], dark.astype(int), [0]))))
    return [(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True)]


@pytest.fixture(scope="session")
def find_runs() -> Callable[[npt.NDArray[np.bool_]], list[tuple[int, int]]]:
    return runs
