"""The test page measured in pixels: lines of 100 mm, rulers, every outline."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from pypdf import PdfReader

from harness.documents.labels import BUILT_IN, SheetStock, Tape, find_stock, test_page_pdf

Crop = Callable[..., Any]
DPI = 1200
SHEETS = ["a4-38x21-5x13", "letter-67x25-3x10"]


def mm(pixels: float) -> float:
    return pixels / DPI * 25.4


def longest(dark: Any, find_runs: Callable[..., Any]) -> tuple[int, int]:
    found: tuple[int, int] = max(find_runs(dark), key=lambda run: run[1] - run[0], default=(0, 0))
    return found


@pytest.mark.parametrize("name", SHEETS)
def test_both_reference_lines_are_100_mm(name: str, crop: Crop, find_runs: Any) -> None:
    pdf = test_page_pdf(find_stock(name))
    strip = crop(pdf, (30, 60, 180, 220), dpi=DPI).max(axis=2) < 90
    across = max((longest(row, find_runs) for row in strip[::4]), key=lambda r: r[1] - r[0])
    down = max((longest(col, find_runs) for col in strip.T[::4]), key=lambda r: r[1] - r[0])
    assert mm(across[1] - across[0]) == pytest.approx(100.0, abs=0.1)
    assert mm(down[1] - down[0]) == pytest.approx(100.0, abs=0.1)


@pytest.mark.parametrize("name", SHEETS)
def test_rulers_tick_every_mm_from_the_edge_of_the_page(
    name: str, crop: Crop, find_runs: Any
) -> None:
    pdf = test_page_pdf(find_stock(name))
    across = (crop(pdf, (60, 5.4, 160, 5.8), dpi=DPI).max(axis=2) < 110).all(axis=0)
    ticks = [60 + mm((a + b) / 2) for a, b in find_runs(across)]
    assert len(ticks) in (100, 101)
    assert ticks == pytest.approx(np.round(ticks), abs=0.05)
    down = (crop(pdf, (5.5, 60, 5.9, 160), dpi=DPI).max(axis=2) < 110).all(axis=1)
    ticks = [60 + mm((a + b) / 2) for a, b in find_runs(down)]
    assert len(ticks) in (100, 101)
    assert ticks == pytest.approx(np.round(ticks), abs=0.05)


@pytest.mark.parametrize("name", SHEETS)
def test_ruler_numbers_stand_at_their_ticks(name: str, read_texts: Any) -> None:
    texts = read_texts(test_page_pdf(find_stock(name)))
    numbers = [(int(text), x, y) for text, x, y in texts if text.isdecimal()]
    assert len(numbers) > 40
    for number, x, y in numbers:
        assert min(abs(x - number), abs(y - number)) < 1.0


@pytest.mark.parametrize("row", [0, 12])
def test_outlines_lie_on_the_labels(row: int, crop: Crop, find_runs: Any) -> None:
    # a4-38x21-5x13 by hand: columns every 40.6 mm from 4.75 mm, 38.1 mm wide.
    pdf = test_page_pdf(find_stock("a4-38x21-5x13"))
    y = 10.7 + 21.2 * row + 12.0
    dark = (crop(pdf, (40, y, 210, y + 0.2), dpi=DPI).min(axis=2) < 200).all(axis=0)
    lines = [40 + mm((a + b) / 2) for a, b in find_runs(dark)]
    edges = [4.75 + 40.6 * column + side for column in range(5) for side in (0.0, 38.1)]
    assert lines == pytest.approx(edges[1:], abs=0.1)


@pytest.mark.parametrize("name", ["tape-9", "flag-tape-12"])
def test_tape_has_a_ruler_of_100_mm(name: str, crop: Crop, find_runs: Any) -> None:
    stock = find_stock(name)
    tape = stock if isinstance(stock, Tape) else stock.base  # type: ignore[union-attr]
    assert isinstance(tape, Tape)
    blank = (tape.tape_width - tape.printable_height) / 2
    box = (5, blank + 0.3, tape.max_length - 5, blank + 0.6)
    dark = (crop(test_page_pdf(stock), box, dpi=DPI).max(axis=2) < 110).all(axis=0)
    ticks = [(a + b) / 2 for a, b in find_runs(dark)]
    assert len(ticks) == 101
    assert mm(ticks[-1] - ticks[0]) == pytest.approx(100.0, abs=0.1)


def test_it_says_how_to_measure(read_texts: Any) -> None:
    said = " ".join(t for t, _, _ in read_texts(test_page_pdf(find_stock("a4-38x21-5x13"))))
    for words in ("Print at 100 %", "Measure both lines", "100 mm", "a4-38x21-5x13"):
        assert words in said


@pytest.mark.parametrize("stock", BUILT_IN, ids=lambda s: s.name)
def test_every_stock_has_one_and_its_words_stay_on_it(stock: Any, read_texts: Any) -> None:
    pdf = test_page_pdf(stock)
    (page,) = PdfReader(io.BytesIO(pdf)).pages
    width, height = (float(v) * 25.4 / 72 for v in (page.mediabox.width, page.mediabox.height))
    for _, x, y in read_texts(pdf):
        assert 0 < x < width - 3
        assert 2 < y < height


def test_a_small_page_of_ones_own_is_not_overrun(read_texts: Any) -> None:
    small = SheetStock("mine", 100.0, 150.0, 80.0, 20.0, 1, 6, 10.0, 10.0, 80.0, 20.0)
    texts = read_texts(test_page_pdf(small))
    assert "each is 60 mm" in " ".join(text for text, _, _ in texts)
    assert all(0 < x < 95 and 0 < y < 150 for _, x, y in texts)
