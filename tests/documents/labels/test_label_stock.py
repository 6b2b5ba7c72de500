"""Stock: page standards, geometry by hand, and every refusal."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from harness.documents.labels import (
    BUILT_IN,
    Flag,
    SheetStock,
    StockError,
    Tape,
    find_stock,
    stock_from_mapping,
)

# ISO 216:2007 (A4) and ANSI/ASME Y14.1 (size A, 8.5 x 11 in), from memory.
PAGES = {"a4": (210.0, 297.0), "letter": (8.5 * 25.4, 11.0 * 25.4)}
SHEETS = [s.base if isinstance(s, Flag) else s for s in BUILT_IN]
SHEETS = [s for s in SHEETS if isinstance(s, SheetStock)]
GOOD = {
    "page-width": 210,
    "page-height": 297,
    "label-width": 63.5,
    "label-height": 33.9,
    "columns": 3,
    "rows": 8,
    "left-margin": 7.2,
    "top-margin": 12.9,
    "horizontal-pitch": 66.05,
    "vertical-pitch": 33.9,
}


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda s: s.name)
def test_built_in_pages_are_the_standards_and_the_grid_is_centred(sheet: SheetStock) -> None:
    page = PAGES["letter" if "letter" in sheet.name else "a4"]
    assert (sheet.page_width, sheet.page_height) == pytest.approx(page, abs=1e-9)
    right = sheet.left_margin + (sheet.columns - 1) * sheet.horizontal_pitch + sheet.label_width
    bottom = sheet.top_margin + (sheet.rows - 1) * sheet.vertical_pitch + sheet.label_height
    assert page[0] - right == pytest.approx(sheet.left_margin, abs=0.5)
    assert page[1] - bottom == pytest.approx(sheet.top_margin, abs=1.0)


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda s: s.name)
def test_names_are_the_dimensions(sheet: SheetStock) -> None:
    found = re.fullmatch(r"(?:flag-)?(?:a4|letter)-(\d+)x(\d+)-(\d+)x(\d+)", sheet.name)
    assert found
    width, height, columns, rows = map(int, found.groups())
    assert abs(width - sheet.label_width) <= 0.51
    assert abs(height - sheet.label_height) <= 0.51
    assert (columns, rows) == (sheet.columns, sheet.rows)


def test_what_was_asked_for_is_there() -> None:
    names = {stock.name for stock in BUILT_IN}
    assert {"tape-9", "tape-12", "flag-tape-12", "a4-38x21-5x13", "letter-67x25-3x10"} <= names
    assert len(names) == len(BUILT_IN)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"columns": 4}, "columns end at 268.85 mm, but the page is only 210 mm wide"),
        ({"rows": 9}, "rows end at 318 mm, but the page is only 297 mm high"),
        ({"horizontal_pitch": 63.0}, "overlap: columns every 63 mm, but a label measures 63.5"),
        ({"vertical_pitch": 30.0}, "overlap: rows every 30 mm"),
        ({"corner_radius": 17.0}, "corner radius of 17 mm is more than half"),
    ],
)
def test_impossible_sheets_are_refused(change: dict[str, float], words: str) -> None:
    sheet = stock_from_mapping("mine", GOOD)
    assert isinstance(sheet, SheetStock)
    with pytest.raises(StockError, match=re.escape(words)):
        replace(sheet, **change)


@pytest.mark.parametrize(
    ("numbers", "words"),
    [
        ((9, 10, 12, 120, 2), "10 mm cannot be printed on tape 9 mm wide"),
        ((9, 6, 130, 120, 2), "shortest label, 130 mm, is longer than the longest, 120 mm"),
        ((9, 6, 12, 120, 6), "leave nothing of a 12 mm label"),
    ],
)
def test_impossible_tapes_are_refused(numbers: tuple[float, ...], words: str) -> None:
    with pytest.raises(StockError, match=words):
        Tape("mine", *numbers)


def test_a_flag_needs_faces() -> None:
    # 40 mm less pi * 10 mm leaves 4.3 mm a side.
    sheet = SheetStock("mine", 210, 297, 40, 12, 1, 1, 5, 5, 40, 12)
    with pytest.raises(StockError, match=r"10 mm wire leaves 4\.3 mm a side"):
        Flag(sheet, 10.0)


def test_a_plan_describes_a_sheet_a_tape_and_a_flag() -> None:
    sheet = stock_from_mapping("mine", {k: v for k, v in GOOD.items() if k != "vertical-pitch"})
    assert sheet == SheetStock("mine", 210, 297, 63.5, 33.9, 3, 8, 7.2, 12.9, 66.05, 33.9, 0.0)
    tape = {"tape-width": 18, "printable-height": 15, "min-length": 20, "max-length": 90}
    assert stock_from_mapping("t", {**tape, "end-margin": 2}) == Tape("t", 18, 15, 20, 90, 2)
    flag = stock_from_mapping("f", {**tape, "end-margin": 2, "wire-diameter": 3})
    assert flag == Flag(Tape("f", 18, 15, 20, 90, 2), 3)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"end-margin": 3}, "a sheet has no end-margin"),
        ({"tape-width": 9}, "a tape has no page-width, page-height, label-width"),
    ],
)
def test_a_plan_with_a_slip_is_told(change: dict[str, float], words: str) -> None:
    with pytest.raises(StockError, match=re.escape(words)):
        stock_from_mapping("mine", {**GOOD, **change})


def test_missing_dimensions_are_listed() -> None:
    with pytest.raises(StockError, match="missing label-height, rows"):
        stock_from_mapping(
            "mine",
            {k: v for k, v in GOOD.items() if k not in ("label-height", "rows", "vertical-pitch")},
        )


def test_stock_is_found_by_name_the_plans_own_first() -> None:
    own = Tape("tape-9", 9, 7, 10, 50, 1)
    assert find_stock("tape-9", [own]) is own
    with pytest.raises(StockError, match="did you mean a4-38x21-5x13"):
        find_stock("a4-38x21-5x12")
    with pytest.raises(StockError, match=r"there are a4-25x10-7x27, .*flag-tape-12"):
        find_stock("zzz")
