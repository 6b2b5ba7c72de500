"""Layout: what lies where, what is refused; widths measured by fontTools, not by our printer."""

from __future__ import annotations

import math
from functools import cache
from itertools import combinations

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st

from harness.documents.labels import (
    BUILT_IN,
    Flag,
    Label,
    LabelRefused,
    SheetStock,
    Tape,
    find_stock,
    labels_pdf,
)
from harness.documents.labels.label import Face, LabelArea, PlacedLabel, TextLine
from harness.documents.labels.layout import lay_out
from harness.drawing.font import font_path

POINT = 25.4 / 72
FLOOR_MM = 2.0  # MIL-STD-130 summary: floor for human-readable part marking
HAIR = 1e-6


@cache
def font(bold: bool) -> TTFont:
    return TTFont(font_path("bold" if bold else "normal"))


def box(line: TextLine) -> LabelArea:
    """From the top of the capitals to the baseline, as wide as the font's own advance widths."""
    face = font(line.bold)
    em = line.size_pt * POINT / face["head"].unitsPerEm
    cmap = face.getBestCmap()
    width = sum(face["hmtx"][cmap[ord(char)]][0] for char in line.text) * em
    high = face["glyf"]["H"].yMax * em
    return LabelArea(line.x, line.baseline - high, width, high)


def inside(inner: LabelArea, outer: LabelArea) -> bool:
    return (
        inner.x >= outer.x - HAIR
        and inner.y >= outer.y - HAIR
        and inner.right <= outer.right + HAIR
        and inner.bottom <= outer.bottom + HAIR
    )


def apart(one: LabelArea, other: LabelArea) -> bool:
    return (
        one.right <= other.x + HAIR
        or other.right <= one.x + HAIR
        or one.bottom <= other.y + HAIR
        or other.bottom <= one.y + HAIR
    )


def check_face(face: Face, outline: LabelArea) -> None:
    boxes = [box(line) for line in face.texts]
    assert all(b.height >= FLOOR_MM for b in boxes)
    boxes += [part.rect for part in (face.band, face.arrow) if part]
    assert all(inside(b, face.rect) for b in boxes)
    assert all(apart(a, b) for a, b in combinations(boxes, 2))
    assert inside(face.rect, outline)


def check(placed: PlacedLabel) -> None:
    for face in placed.faces:
        check_face(face, placed.outline)
        said = " ".join(line.text for line in face.texts).split()
        wanted = f"{placed.label.code} {placed.label.end} {placed.label.text}".split()
        assert said == wanted


mm = st.floats(0, 12)
words = st.text("ABCabcdefgilmpr Éäß0189-", max_size=16).map(str.strip)
labels = st.builds(
    Label,
    code=st.text("ABEFGRT123-LR", min_size=1, max_size=6),
    end=words,
    text=words,
    side=st.sampled_from(["left", "right", ""]),
    pale_arrow=st.booleans(),
    wire_diameter_mm=st.none() | st.floats(0.8, 6),
)


@st.composite
def sheets(draw: st.DrawFn) -> SheetStock:
    columns, rows = draw(st.integers(1, 5)), draw(st.integers(1, 12))
    left, top, gap_x, gap_y = draw(mm), draw(mm), draw(mm), draw(mm)
    page = draw(st.sampled_from([(210.0, 297.0), (215.9, 279.4)]))
    width = (page[0] - 2 * left - (columns - 1) * gap_x) / columns
    height = (page[1] - 2 * top - (rows - 1) * gap_y) / rows
    grid = (columns, rows, left, top, width + gap_x, height + gap_y)
    return SheetStock("drawn", *page, width, height, *grid)


@settings(max_examples=120, deadline=None)
@given(sheets(), st.lists(labels, min_size=1, max_size=20), st.integers(0, 70), st.booleans())
def test_nothing_leaves_the_page_and_nothing_overlaps(
    sheet: SheetStock, wanted: list[Label], skip: int, flag: bool
) -> None:
    stock = Flag(sheet) if flag and sheet.label_width > 26 else sheet
    try:
        pages = lay_out(wanted, stock, skip)
    except LabelRefused:
        return
    assert skip < sheet.cells
    assert sum(len(page.labels) for page in pages) == len(wanted)
    for page in pages:
        paper = LabelArea(0, 0, page.width, page.height)
        assert all(inside(placed.outline, paper) for placed in page.labels)
        outlines = [placed.outline for placed in page.labels]
        assert all(apart(a, b) for a, b in combinations(outlines, 2))
        for placed in page.labels:
            check(placed)


USUAL = [
    Label(f"{code}-{side[0].upper()}", end, f"{what} {side}", side, True)  # type: ignore[arg-type]
    for code, what, end in (("A1", "aileron", "to Rx 1"), ("E2", "elevator", "to Y 2"))
    for side in ("left", "right")
]


@pytest.mark.parametrize("stock", BUILT_IN, ids=lambda s: s.name)
def test_every_built_in_stock_carries_usual_labels(stock: SheetStock | Tape | Flag) -> None:
    pages = lay_out(USUAL, stock)
    placed = [one for page in pages for one in page.labels]
    assert [one.label for one in placed] == USUAL
    for one in placed:
        check(one)


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(["tape-9", "tape-12", "flag-tape-9", "flag-tape-12"]), labels)
def test_tape_is_as_long_as_its_words_within_its_limits(name: str, label: Label) -> None:
    stock = find_stock(name)
    tape = stock.base if isinstance(stock, Flag) else stock
    assert isinstance(tape, Tape)
    try:
        (page,) = lay_out([label], stock)
    except LabelRefused:
        return
    assert tape.min_length <= page.width <= tape.max_length
    assert page.height == tape.tape_width
    blank = (tape.tape_width - tape.printable_height) / 2
    printable = LabelArea(
        tape.end_margin, blank, page.width - 2 * tape.end_margin, page.height - 2 * blank
    )
    for face in page.labels[0].faces:
        assert inside(face.rect, printable)
        check_face(face, page.labels[0].outline)


def test_a_longer_text_takes_more_tape() -> None:
    tape = find_stock("tape-12")
    short, long = (
        lay_out([Label("A1", "Rx 1", text)], tape)[0].width for text in ("flap", "flap, left inner")
    )
    assert short < long < 120


def test_skip_starts_on_a_part_used_sheet() -> None:
    # By hand: 65 labels a sheet, five in a row, so cell 7 is the third of the second row.
    stock = find_stock("a4-38x21-5x13")
    (page,) = lay_out(USUAL[:1], stock, skip=7)
    outline = page.labels[0].outline
    assert (outline.x, outline.y) == pytest.approx((4.75 + 2 * 40.6, 10.7 + 21.2))
    first, second = lay_out(USUAL, stock, skip=63)
    assert (len(first.labels), len(second.labels)) == (2, 2)
    assert second.labels[0].outline.x == pytest.approx(4.75)


@pytest.mark.parametrize(
    ("name", "skip", "words"),
    [
        ("a4-38x21-5x13", 70, "the sheet has 65 labels, --skip 70 leaves none"),
        ("a4-38x21-5x13", 65, "the sheet has 65 labels, --skip 65 leaves none"),
        ("flag-a4-66x12-3x22", 66, "the sheet has 66 labels, --skip 66 leaves none"),
        ("a4-38x21-5x13", -1, "it cannot be -1"),
        ("tape-9", 1, "tape-9 is continuous tape"),
    ],
)
def test_senseless_skips_are_refused(name: str, skip: int, words: str) -> None:
    with pytest.raises(LabelRefused, match=words):
        lay_out(USUAL, find_stock(name), skip)


def test_nothing_to_print_is_refused() -> None:
    with pytest.raises(LabelRefused, match="no labels to print"):
        lay_out([], find_stock("tape-9"))


def test_a_refusal_names_label_text_stock_and_a_stock_that_would_do() -> None:
    label = Label("G7", "to sequencer 2", "undercarriage door, front left", "left", True)
    small = find_stock("a4-25x10-7x27")
    with pytest.raises(LabelRefused) as refusal:
        lay_out([label], small)
    said = str(refusal.value)
    for word in ("label G7", "to sequencer 2", "undercarriage door, front left", small.name):
        assert word in said
    better = said.rpartition("; ")[2].removesuffix(" would do")
    assert lay_out([label], find_stock(better))
    assert better.startswith("a4-")
    hopeless = Label("G7", "", "x" * 200)
    with pytest.raises(LabelRefused, match="no stock of that kind would do"):
        lay_out([hopeless], small)


@pytest.mark.parametrize(
    ("char", "code"),
    [
        ("飛", "U+98DB"),  # no glyph in DejaVu Sans
        ("\n", "U+000A"),
        ("\u200b", "U+200B"),  # zero-width space: nobody would see it
        ("\u0301", "U+0301"),  # combining acute on a letter that has no composed form
        ("א", "U+05D0"),  # runs from right to left
        ("\U0001f6e9", "U+1F6E9"),
    ],
)
def test_a_character_that_cannot_be_printed_is_named(char: str, code: str) -> None:
    with pytest.raises(LabelRefused) as refusal:
        lay_out([Label("A1", "to Rx 1", f"q{char}x")], find_stock("a4-64x34-3x8"))
    assert code in str(refusal.value)
    assert "label A1" in str(refusal.value)


anything = st.text(max_size=12)


@settings(max_examples=150, deadline=None)
@given(anything, anything, anything, st.sampled_from([stock.name for stock in BUILT_IN]))
def test_any_text_is_printed_or_refused_in_one_clean_line(
    code: str, end: str, text: str, name: str
) -> None:
    try:
        made = labels_pdf([Label(code, end, text, "left", True)], find_stock(name))
    except LabelRefused as refusal:
        assert str(refusal).isprintable()
    else:
        assert made.startswith(b"%PDF-")


def test_composed_accents_are_printed() -> None:
    (page,) = lay_out([Label("A1", "", "e\u0301levon")], find_stock("tape-12"))
    assert page.labels[0].faces[0].texts[-1].text == "\u00e9levon"


@pytest.mark.parametrize("diameter", [1.2, 3.0, 5.5])
@pytest.mark.parametrize("name", ["flag-a4-95x15-2x18", "flag-tape-12"])
def test_a_flag_goes_once_round_the_wire(name: str, diameter: float) -> None:
    label = Label("F6-R", "to Rx 6", "flap right", "right", True, diameter)
    (page,) = lay_out([label], find_stock(name))
    placed = page.labels[0]
    assert placed.wrap is not None
    assert placed.wrap.width == pytest.approx(math.pi * diameter)  # Euclid: circumference
    left, right = placed.faces
    assert left.rect.right == pytest.approx(placed.wrap.x)
    assert right.rect.x == pytest.approx(placed.wrap.right)
    assert left.rect.width == pytest.approx(right.rect.width)  # they meet back to back
    assert [t.text for t in left.texts] == [t.text for t in right.texts]
    assert left.arrow and right.arrow
    # Folded, the faces look away from each other, so both arrows point away from the wire.
    assert (left.arrow.direction, right.arrow.direction) == ("left", "right")


def test_a_wire_too_thick_for_the_flag_is_refused() -> None:
    with pytest.raises(LabelRefused, match="label A1"):
        lay_out([Label("A1", wire_diameter_mm=25.0)], find_stock("flag-a4-66x12-3x22"))


@pytest.mark.parametrize("diameter", [0.0, -1.0, float("nan"), float("inf")])
def test_impossible_wires_are_refused(diameter: float) -> None:
    with pytest.raises(LabelRefused, match="label A1"):
        Label("A1", wire_diameter_mm=diameter)


def test_a_label_has_a_code_and_a_known_side() -> None:
    with pytest.raises(LabelRefused, match="no code"):
        Label("  ", "to Rx 1", "flap")
    with pytest.raises(LabelRefused, match="side is left, right or empty"):
        Label("A1", side="port")  # type: ignore[arg-type]


def test_labels_of_one_print_share_one_type_size() -> None:
    for name in ("a4-38x21-5x13", "letter-44x13-4x20", "tape-12"):
        placed = [one for page in lay_out(USUAL, find_stock(name)) for one in page.labels]
        assert len({one.faces[0].texts[0].size_pt for one in placed}) == 1
