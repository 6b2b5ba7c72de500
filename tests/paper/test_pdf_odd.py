"""Papers that nobody would write, but a plan may lead to."""

from __future__ import annotations

import time
from itertools import combinations

import pytest
from paper.pdf_reading import Line, all_text, pages_of, reader, squashed

from harness.base.refusal import Refusal
from harness.drawing.scene import Scene, text
from harness.paper.blocks import BLANK, Chapter, Heading, Paper, Picture, Points, Say, Tick, Ticks
from harness.paper.pdf import as_pdf
from harness.paper.sheet import Cell, Column, Note, RowGroup, Table

LONG = "Querruderservo-äußerst-links-" * 7
HUGE = " ".join(f"word{number}" for number in range(3000))


def paper(*blocks: object, title: str = "Test") -> Paper:
    return Paper(title, "", "ab", (Chapter("a", "A chapter", blocks),))  # type: ignore[arg-type]


def table(*rows: tuple[Cell, ...], columns: int = 3) -> Table:
    heads = tuple(Column(f"column {n}") for n in range(columns))
    return Table("A table", heads, (RowGroup("", rows),))


def inside(data: bytes) -> bool:
    """Whether all text is on the paper and none on other text."""
    for page, lines in zip(reader(data).pages, pages_of(data), strict=True):
        wide, high = float(page.mediabox.width), float(page.mediabox.height)
        for line in lines:
            if line.left < 28 or line.right > wide - 28 or line.low < 24 or line.top > high - 28:
                return False
        for a, b in combinations([x for x in lines if x.text != "!"], 2):
            across = min(a.right, b.right) - max(a.left, b.left)
            down = min(a.top, b.top) - max(a.low, b.low)
            if across > 0.1 and down > 0.1:
                return False
    return True


ODD = {
    "long ids": paper(
        Heading(LONG), Say(LONG, "warning"), Points((Cell(LONG, "danger"),)), Note(LONG, (LONG,)),
        table((Cell(LONG), Cell(LONG, "warning"), Cell(LONG))),
        Ticks((Tick("k", LONG, (LONG,), (LONG, LONG), None, (("a", LONG),)),)), title=LONG,
    ),
    "nine columns of long ids": paper(table((Cell(LONG),) * 9, columns=9)),
    "blank": paper(table((Cell(LONG), BLANK, Cell("mA" * 20, "blank")))),
    "no rows": paper(table(), Ticks(()), Points(()), Note("N", ()), Say("")),
    "long titles": Paper("T", LONG, "ab", tuple(Chapter(f"c{n}", LONG, ()) for n in range(60))),
    "no chapters": Paper("T", "", "ab", ()),
    "white space": paper(Say("a\tb\x07c\r\nd"), table((Cell("x\u00a0y"), Cell(" "), Cell("")))),
}  # fmt: skip


@pytest.mark.parametrize("name", ODD)
def test_nothing_leaves_the_page_or_lies_on_something_else(name: str) -> None:
    data = as_pdf(ODD[name])
    assert inside(data)
    assert data == as_pdf(ODD[name])


def test_long_ids_are_there_to_their_last_letter() -> None:
    shown = all_text(as_pdf(ODD["long ids"]))
    # title, heading, words, point, note and its line, three cells, step, detail, two codes, link
    assert shown.count(LONG) == 14


def test_a_cell_higher_than_a_page_goes_over_the_page() -> None:
    data = as_pdf(paper(table((Cell("before"), Cell("x"), Cell("y")), (Cell("huge"), Cell(HUGE),
                              Cell("beside")), (Cell("after"), Cell("x"), Cell("y")))))  # fmt: skip
    pages = pages_of(data)
    assert len(pages) >= 3
    assert inside(data)
    shown = " ".join(line.text for page in pages for line in page).split()
    words = [word for word in shown if word.startswith("word")]
    assert words == HUGE.split()
    assert {"before", "beside", "after"} <= set(shown)
    heads = [[line.text for line in page].count("column 1") for page in pages]
    assert heads == [1] * len(pages)


def test_a_step_higher_than_a_page_goes_over_the_page() -> None:
    data = as_pdf(paper(Ticks((Tick("k", HUGE, (HUGE,)), Tick("l", "the next")))))
    assert inside(data)
    shown = [w for page in pages_of(data) for line in page for w in line.text.split()]
    assert [w for w in shown if w.startswith("word")] == HUGE.split() * 2


@pytest.mark.parametrize("size", [(4000.0, 30.0), (30.0, 4000.0), (5.0, 5.0)])
@pytest.mark.parametrize("whole", [True, False])
def test_a_picture_of_any_shape_fits(size: tuple[float, float], whole: bool) -> None:
    scene = Scene(*size, (text(1, 4, "x", 3.0),))
    step = Ticks((Tick("k", "look", (), (), scene),))
    data = as_pdf(paper(step, Picture(scene, "caption", "", whole=whole)))
    crosses = [x for page in pages_of(data) for x in page if x.text == "x"]
    assert len(crosses) == 2
    assert inside(data) or whole


def test_a_letter_the_font_lacks_is_named() -> None:
    with pytest.raises(Refusal, match=r"U\+96C1"):
        as_pdf(paper(table((Cell("雁"), Cell(""), Cell("")))))


def test_three_thousand_rows_in_seconds() -> None:
    """About 60 pages; on the slowest machine of the automatic checks with much to spare."""
    rows = tuple(
        (Cell(f"lead-{n}"), Cell(f"goes from here to socket {n} of a box " * 2), Cell(f"{n} A"))
        for n in range(3000)
    )
    start = time.process_time()
    data = as_pdf(paper(table(*rows)))
    assert time.process_time() - start < 10
    shown = [x.text for page in pages_of(data) for x in page if x.text.startswith("lead-")]
    assert shown == [f"lead-{n}" for n in range(3000)]


def test_words_stay_whole_where_there_is_room() -> None:
    cells = tuple(Cell(f"a-rather-long-word-{n} and some more words that may wrap") for n in "abc")
    shown = [x.text for page in pages_of(as_pdf(paper(table(cells)))) for x in page]
    assert all(any(f"a-rather-long-word-{n}" in text for text in shown) for n in "abc")


def test_umlauts_are_read_back() -> None:
    assert squashed("Fahrwerk für Möwe, 20 °C, µF, Ω") in all_text(
        as_pdf(paper(Say("Fahrwerk für Möwe, 20 °C, µF, Ω")))
    )


SAID = "Meter 6 V, then 250 mm of 22 AWG, for 9.5 s at 20 °C, 80 %; 12 leads (4.2 A)"
PAIRS = ("6 V,", "250 mm", "22 AWG,", "9.5 s", "20 °C,", "80 %;", "(4.2 A)")


def kept(lines: list[Line]) -> list[str]:
    texts = [line.text.replace("\xa0", " ") for line in lines]
    return [pair for pair in PAIRS if any(pair in text for text in texts)]


@pytest.mark.parametrize("filled", range(0, 90, 3))
def test_a_number_stays_with_its_unit(filled: int) -> None:
    """Wherever in the words the line ends."""
    data = as_pdf(paper(Say("x" * filled + f" {SAID}")))
    (page,) = pages_of(data)
    assert squashed(SAID) in all_text(data)
    assert kept(page) == list(PAIRS)


def test_a_number_stays_with_its_unit_in_narrow_cells() -> None:
    """Each cell of nine columns holds two words in a line at most."""
    cells = tuple(Cell(f"{SAID} {'and more ' * 9}") for _ in range(9))
    (page,) = pages_of(as_pdf(paper(table(cells, columns=9))))
    assert len([line for line in page if "250" in line.text]) == 9
    assert kept(page) == list(PAIRS)


def test_a_title_longer_than_a_page_goes_on_over_the_page() -> None:
    """Text of 22 points: an A4 page (ISO 216) has room for some 30 lines of it."""
    data = as_pdf(paper(Say("after it"), title="long " * 2000))
    assert len(reader(data).pages) > 2
    assert all_text(data).count("long") >= 2000
