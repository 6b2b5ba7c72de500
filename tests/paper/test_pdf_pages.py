"""Pages of a printed paper: sizes, contents, links, outline, feet, fonts, metadata."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
from paper.papers import FULL
from paper.pdf_reading import Line, headings, links, pages_of, reader, squashed, target

from harness.drawing.scene import Scene
from harness.paper.blocks import Chapter, Heading, Paper, Picture, Say, Tick, Ticks
from harness.paper.pdf import as_pdf
from harness.paper.sheet import Cell, Column, Note, RowGroup, Table

MM = 72 / 25.4
# ISO 216 and ANSI Y14.1, in millimetres.
SHEETS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
WHOLE = ("wide drawing", "high drawing")


@pytest.fixture(scope="module", params=SHEETS)
def printed(request: pytest.FixtureRequest) -> tuple[str, bytes]:
    return request.param, as_pdf(FULL, request.param)


def test_every_page_is_the_sheet_turned_only_for_a_drawing_wider_than_high(
    printed: tuple[str, bytes],
) -> None:
    wide, high = (side * MM for side in SHEETS[printed[0]])
    turned = []
    for page, lines in zip(reader(printed[1]).pages, pages_of(printed[1]), strict=True):
        size = float(page.mediabox.width), float(page.mediabox.height)
        texts = {line.text for line in lines}
        lying = "wide drawing" in texts
        turned.append(lying)
        assert size == pytest.approx((high, wide) if lying else (wide, high), abs=0.1)
    assert turned.count(True) == 1


def test_whole_drawings_have_pages_of_their_own(printed: tuple[str, bytes]) -> None:
    pages = pages_of(printed[1])
    for name in WHOLE:
        (lines,) = [lines for lines in pages if name in {line.text for line in lines}]
        others = {line.text for line in lines if line.low > 34} - {name, "Drawings"}
        assert others == set()


def test_contents_name_the_page_of_each_heading(printed: tuple[str, bytes]) -> None:
    found = headings(printed[1])
    (page,) = [lines for lines in pages_of(printed[1]) if "Contents" in {x.text for x in lines}]
    for chapter in FULL.chapters:
        (entry,) = [x for x in page if x.text == chapter.title and abs(x.size - 10) < 0.01]
        numbers = [x for x in page if x.text.isdigit() and abs(x.low - entry.low) < 3]
        number = min((x for x in numbers if x.left > entry.left), key=lambda x: x.left)
        at = next(n for text, n in found.items() if squashed(chapter.title) in text)
        assert int(number.text) == at
        assert number.left > entry.right


def test_every_link_leads_to_the_page_it_says(printed: tuple[str, bytes]) -> None:
    data, pages = printed[1], pages_of(printed[1])
    found = list(links(data))
    assert len(found) == len(FULL.chapters) + 15
    for number, link in found:
        page, _ = target(data, link)
        assert 1 <= page <= len(pages)
        low, high = float(link["/Rect"][1]), float(link["/Rect"][3])
        beside = [x.text for x in pages[number - 1] if low <= (x.low + x.top) / 2 <= high]
        assert str(page) in " ".join(beside).split()


def test_links_of_steps_lead_to_the_very_row(printed: tuple[str, bytes]) -> None:
    data, pages = printed[1], pages_of(printed[1])
    steps = [(n, link) for n, link in links(data) if n in _pages_with(pages, "detail 5")]
    assert steps
    for _, link in steps:
        page, top = target(data, link)
        (row,) = [line for line in pages[page - 1] if line.text == "LEAD-41"]
        assert row.top <= top <= row.top + 12


def _pages_with(pages: list[list[Line]], text: str) -> list[int]:
    return [n for n, lines in enumerate(pages, 1) if text in {x.text for x in lines}]


def test_the_outline_is_the_chapters_and_the_contents(printed: tuple[str, bytes]) -> None:
    document = reader(printed[1])
    titles = [chapter.title for chapter in FULL.chapters]
    assert [entry.title for entry in document.outline] == [titles[0], "Contents", *titles[1:]]
    found = headings(printed[1])
    for entry in document.outline:
        page = document.get_destination_page_number(entry) + 1
        assert page == next(n for text, n in found.items() if squashed(entry.title) in text)


def test_each_page_has_its_foot(printed: tuple[str, bytes]) -> None:
    pages = pages_of(printed[1])
    for number, lines in enumerate(pages, 1):
        feet = [line.text for line in lines if line.top < 40]
        assert f"page {number} of {len(pages)}" in feet
        assert any(FULL.title in foot and FULL.revision in foot for foot in feet)


def test_no_text_is_outside_the_margins_or_smaller_than_8_points(
    printed: tuple[str, bytes],
) -> None:
    """10 mm are kept free by every common printer; a drawing's page may come to 5 mm."""
    for page, lines in zip(reader(printed[1]).pages, pages_of(printed[1]), strict=True):
        drawing = bool({line.text for line in lines} & set(WHOLE))
        free = 5 * MM if drawing else 10 * MM
        for line in lines:
            assert line.left >= free and line.right <= float(page.mediabox.width) - free
            assert line.low >= free - 3 and line.top <= float(page.mediabox.height) - free
            assert line.size >= 8 or line.text in {"!", "✓"}


def test_nothing_is_printed_over_anything(printed: tuple[str, bytes]) -> None:
    for lines in pages_of(printed[1]):
        for a, b in combinations([x for x in lines if x.text not in {"!", "✓"}], 2):
            across = min(a.right, b.right) - max(a.left, b.left)
            down = min(a.top, b.top) - max(a.low, b.low)
            assert across <= 0.1 or down <= 0.1, (a, b)


def test_fonts_are_embedded(printed: tuple[str, bytes]) -> None:
    names = set()
    for page in reader(printed[1]).pages:
        for font in page["/Resources"]["/Font"].values():
            kind = font.get_object()
            if "DejaVu" not in kind["/BaseFont"]:
                continue  # named by the library on every page, and never used
            names.add(kind["/BaseFont"].split("+")[1])
            assert "/FontFile2" in kind["/FontDescriptor"]
    assert names == {"DejaVuSans", "DejaVuSans-Bold"}


def test_only_embedded_fonts_are_used(printed: tuple[str, bytes]) -> None:
    for page in reader(printed[1]).pages:
        fonts = page["/Resources"]["/Font"]
        used = {name for name in fonts if f"{name} ".encode() in page.get_contents().get_data()}
        own = {name for name in used if "DejaVu" in fonts[name].get_object()["/BaseFont"]}
        shown = page.get_contents().get_data().decode("latin-1")
        for other in used - own:  # the library sets its own font first and writes nothing with it
            assert not shown.count(f"{other} ") > 1


def test_the_same_bytes_and_no_clock(printed: tuple[str, bytes]) -> None:
    assert as_pdf(FULL, printed[0]) == printed[1]
    about = reader(printed[1]).metadata
    assert about is not None
    assert about.title == FULL.title
    assert not {"/CreationDate", "/ModDate"} & set(about)
    assert b"Date (" not in printed[1]


def test_a_paper_of_one_chapter_begins_on_its_first_page_without_contents() -> None:
    steps = Ticks((Tick("a", "connect the pack last"),))
    data = as_pdf(Paper("Dunlin 4: steps", "", "ab", (Chapter("steps", "Steps", (steps,)),)))
    (page,) = pages_of(data)
    texts = [line.text for line in page]
    assert {"Dunlin 4: steps", "Steps", "connect the pack last"} <= set(texts)
    assert "Contents" not in texts


def test_a_heading_is_on_the_page_of_what_follows_it() -> None:
    """Whatever stands above, a heading is never the last thing on a page."""
    for lines in range(30, 75):
        filler = Say("\n".join(f"line {n}" for n in range(lines)))
        blocks = (filler, Heading("Second"), Say("it follows"))
        pages = pages_of(as_pdf(Paper("Test", "", "ab", (Chapter("a", "First", blocks),))))
        (page,) = [{x.text for x in page} for page in pages if "Second" in {x.text for x in page}]
        assert "it follows" in page


def filler(lines: int, word: str = "line") -> Say:
    return Say("\n".join(f"{word} {n}" for n in range(lines)))


def page_with(data: bytes, text: str) -> list[Line]:
    """The last page that has the text: the contents have it too."""
    return [page for page in pages_of(data) if text in {x.text for x in page}][-1]


def test_a_table_begins_with_its_first_row_and_no_title_is_the_last_of_a_page() -> None:
    """Its own title, its head and the titles of its groups, whatever stands above."""
    groups = tuple(
        RowGroup(f"group {g}", tuple((Cell(f"row {g}.{n}"), Cell("x")) for n in range(3)))
        for g in range(4)
    )
    table = Table("Its title", (Column("first"), Column("second")), groups)
    for lines in range(20, 62):
        chapter = Chapter("a", "First", (filler(lines), Heading("Above"), table))
        data = as_pdf(Paper("Test", "", "ab", (chapter,)))
        texts = {x.text for x in page_with(data, "row 0.0")}
        assert {"Above", "Its title", "first", "group 0"} <= texts
        for page in pages_of(data):
            texts = [x.text for x in page]
            rows = [text for text in texts if text.startswith(("group", "row"))]
            assert not rows or rows[-1].startswith("row")
            assert not rows or texts.count("first") == 1
            assert all(f"group {row[4]}" in texts for row in rows if row.startswith("row"))
            assert len(set(rows)) == len(rows)
        # No page is left emptier than what has to stay together asks for: two rows of the table,
        # or all of heading, title, head, group title and row.
        for page, later in pairwise(pages_of(data)):
            left = min(x.low for x in page if x.low > 40) - 52
            assert left < (115 if later[0].text == "Above" else 2 * 16.1 + 6)


@pytest.mark.parametrize("lines", range(20, 60, 3))
def test_a_chapter_begins_on_what_is_left_if_its_words_before_a_drawing_fit(lines: int) -> None:
    drawn = Picture(Scene(900.0, 600.0, ()), "drawn", "", whole=True)
    last = (Say("two lines\nof words"), drawn, filler(70))
    chapters = (Chapter("a", "First", (filler(lines, "row"),)), Chapter("b", "Second", last))
    data = as_pdf(Paper("Test", "", "ab", chapters))
    above, page = page_with(data, f"row {lines - 1}"), page_with(data, "Second")
    assert {"two lines", "of words"} <= {x.text for x in page}
    (low,) = [x.low for x in above if x.text == f"row {lines - 1}"]
    room = low - 52 - 3.2  # to the lower edge of the text, less what belongs to the line
    assert (page == above) == (room > 18 + 22.5 + 7 + 2 * 12.24)


def test_a_chapter_that_does_not_fit_begins_a_page() -> None:
    chapters = (Chapter("a", "First", (Say("short"),)), Chapter("b", "Second", (filler(70),)))
    page = page_with(as_pdf(Paper("Test", "", "ab", chapters)), "Second")
    assert page[0].text == "Second"
    assert "line 0" in {x.text for x in page}


def test_a_short_title_stands_beside_its_list_and_is_read_before_it() -> None:
    blocks = (Note("Short", ("beside it",)), Note("A title of more words", ("below it",)))
    (page,) = pages_of(as_pdf(Paper("Test", "", "ab", (Chapter("a", "First", blocks),))))
    texts = [x.text for x in page]
    assert texts.index("Short") + 1 == texts.index("beside it")
    assert texts.index("A title of more words") + 1 == texts.index("below it")
    place = {x.text: x for x in page}
    assert abs(place["Short"].low - place["beside it"].low) < 3
    assert place["A title of more words"].low > place["below it"].top
