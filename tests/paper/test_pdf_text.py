"""All text of a paper is on its pages, with boxes to tick and lines to write on."""

from __future__ import annotations

import pypdfium2
import pytest
from paper.papers import FULL, TABLE
from paper.pdf_reading import all_text, pages_of, squashed
from pypdfium2 import raw

from harness.paper.blocks import Chapter, Heading, Paper, Picture, Points, Say, Ticks
from harness.paper.pdf import as_pdf
from harness.paper.sheet import Cell, Column, Note, RowGroup, Table
from harness.paper.text import as_text


@pytest.fixture(scope="module")
def data() -> bytes:
    return as_pdf(FULL)


def texts_of(paper: Paper) -> list[str]:
    """Every text of a paper, asked of its blocks."""
    found = [paper.title, paper.subtitle, paper.revision, *paper.foot]
    for chapter in paper.chapters:
        found.append(chapter.title)
        for block in chapter.blocks:
            if isinstance(block, Heading | Say):
                found.append(block.text)
            elif isinstance(block, Points):
                found += [item.text for item in block.items]
            elif isinstance(block, Note):
                found += [block.title, *block.lines]
            elif isinstance(block, Table):
                rows = [row for group in block.groups for row in group.rows]
                found += [block.title, block.about, *(c.title for c in block.columns)]
                found += [group.title for group in block.groups]
                found += [cell.text for row in rows for cell in row]
            elif isinstance(block, Ticks):
                for tick in block.items:
                    found += [tick.text, *tick.details, *tick.codes]
                    found += [text for _, text in tick.links]
            elif not block.whole:
                found.append(block.caption)
    return found


def test_all_text_is_on_the_pages(data: bytes) -> None:
    shown = all_text(data)
    missing = [text for text in texts_of(FULL) if squashed(text) not in shown]
    assert missing == []


def test_what_stands_on_one_line_is_in_the_text_form_too() -> None:
    """Cells that wrap are read line by line; links lead nowhere on a terminal."""
    shown = squashed(as_text(FULL)).lower()
    blocks = [block for chapter in FULL.chapters for block in chapter.blocks]
    ticks = [tick for block in blocks if isinstance(block, Ticks) for tick in block.items]
    links = {text for tick in ticks for _, text in tick.links}
    short = [text for text in texts_of(FULL) if "words about" not in text and text not in links]
    assert [text for text in short if squashed(text).lower() not in shown] == []


def test_captions_of_whole_drawings_are_at_their_feet(data: bytes) -> None:
    captions = {b.caption for c in FULL.chapters for b in c.blocks
                if isinstance(b, Picture) and b.whole}  # fmt: skip
    feet = " ".join(line.text for page in pages_of(data) for line in page if line.top < 40)
    assert captions == {"the wide one", "high"}
    assert all(caption in feet for caption in captions)


def test_the_head_of_a_table_is_on_each_of_its_pages(data: bytes) -> None:
    pages = [{line.text for line in page} for page in pages_of(data)]
    with_rows = [page for page in pages if any(text.startswith("LEAD-") for text in page)]
    assert len(with_rows) >= 3
    assert all({"lead", "measured", "done"} <= page for page in with_rows)
    later = [page for page in with_rows if "LEAD-69" in page or "LEAD-45" in page]
    assert all("wing left" in page for page in later)


def test_rows_stand_in_their_order(data: bytes) -> None:
    shown = [x.text for page in pages_of(data) for x in page if x.text.startswith("LEAD-")]
    assert shown == [f"LEAD-{n}" for n in range(70)]


def test_each_step_has_a_square_to_tick_and_its_number(data: bytes) -> None:
    """Squares of 10 points at the left edge; pdfium's bounds hold a point of pen on each side."""
    squares = 0
    for page in pypdfium2.PdfDocument(data):
        for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
            left, low, right, top = item.get_bounds()
            across, down = right - left, top - low
            squares += abs(across - down) < 0.01 and 11.0 <= across <= 13.0 and left < 60
    assert squares == 15
    shown = [line.text for page in pages_of(data) for line in page]
    assert all(str(number) in shown for number in range(5, 20))


def test_each_blank_cell_is_a_line_to_write_on_with_its_unit_behind(data: bytes) -> None:
    """140 cells of the table are blank: 20 mm or more to write on each."""
    lines = 0
    units: list[float] = []
    for page, words in zip(pypdfium2.PdfDocument(data), pages_of(data), strict=True):
        for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
            left, low, right, top = item.get_bounds()
            if top - low < 2 and 30 < right - left < 120 and left > 200:
                lines += 1
        units += [line.left for line in words if line.text == "mV"]
    blanks = [c for g in TABLE.groups for r in g.rows for c in r if c.tone == "blank"]
    assert len(blanks) == 140
    assert lines == len(blanks)
    assert len(units) == 70


def test_cautions_and_warnings_have_a_sign_beside_the_tint(data: bytes) -> None:
    signs = [line.text for page in pages_of(data) for line in page if line.text in {"!", "✓"}]
    toned = [c for g in TABLE.groups for r in g.rows for c in r if c.tone in {"danger", "warning"}]
    assert signs.count("!") == len(toned) + 4  # a caution, a danger, a warning, a point
    assert signs.count("✓") == 1


@pytest.mark.parametrize("width", [60, 110])
def test_the_text_form_keeps_to_its_width(width: int) -> None:
    paper = Paper("T", "s " * 90, "ab", (Chapter("a", "A", (Say("word " * 99),)),), ("foot " * 40,))
    assert max(map(len, as_text(paper, width).splitlines())) <= width


def test_the_text_form_draws_boxes_and_lines_to_write_on() -> None:
    cells = (Cell("rail"), Cell("V", "blank"))
    table = Table("", (Column("what"), Column("measured")), (RowGroup("", (cells,)),))
    text = as_text(Paper("T", "", "ab", (Chapter("a", "A", (table, FULL.chapters[2].blocks[0])),)))
    assert "___ V" in text
    assert text.count("[ ]") == 15
    assert "[ ]   5  connect thing 1" in text
