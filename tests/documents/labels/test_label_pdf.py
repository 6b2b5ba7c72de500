"""The printed sheet measured by independent readers: pypdf for text, pypdfium2 for pixels."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from pypdf import PdfReader

from harness.documents.labels import Label, LabelRefused, find_stock, labels_pdf

Crop = Callable[..., Any]
Texts = Callable[..., list[tuple[str, float, float]]]
LEFT = Label("F6-L", "to Rx 6", "flap left", "left", True)
RIGHT = Label("F6-R", "to Y 2", "flap right", "right", True)


def luminance(colour: Any) -> float:
    """WCAG 2.x relative luminance of 0-255 RGB."""
    shares = [c / 255 for c in map(float, colour)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in shares]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: Any, other: Any) -> float:
    """WCAG 2.x contrast ratio."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_contrast_sum_is_the_standards() -> None:
    # WCAG 2.x: #767676 on white is the palest grey that passes, 4.54:1.
    assert contrast((0x76,) * 3, (255,) * 3) == pytest.approx(4.542, abs=0.001)


@pytest.mark.parametrize(
    ("name", "width", "height"),
    [("a4-38x21-5x13", 210.0, 297.0), ("letter-67x25-3x10", 215.9, 279.4)],
)
def test_page_sizes_are_iso_216_and_ansi(name: str, width: float, height: float) -> None:
    # ISO 216: A4 210 x 297 mm; ANSI Letter 8.5 x 11 in.
    box = PdfReader(io.BytesIO(labels_pdf([LEFT], find_stock(name)))).pages[0].mediabox
    assert float(box.width) * 25.4 / 72 == pytest.approx(width, abs=0.01)
    assert float(box.height) * 25.4 / 72 == pytest.approx(height, abs=0.01)


def test_viewers_are_told_not_to_scale() -> None:
    reader = PdfReader(io.BytesIO(labels_pdf([LEFT], find_stock("tape-9"))))
    preferences = reader.trailer["/Root"]["/ViewerPreferences"]
    assert preferences["/PrintScaling"] == "/None"  # ISO 32000-1, 12.2
    assert reader.metadata is not None
    assert reader.metadata.creation_date is None  # no date in any document


def test_words_lie_in_their_cells(read_texts: Texts) -> None:
    pdf = labels_pdf([LEFT, RIGHT], find_stock("a4-38x21-5x13"), skip=4)
    texts = read_texts(pdf)
    # By hand: cell 4 is the last of the first row, cell 5 the first of the second.
    for words, left, top in (
        (("F6-L", "to Rx 6", "flap left"), 4.75 + 4 * 40.6, 10.7),
        (("F6-R", "to Y 2", "flap right"), 4.75, 10.7 + 21.2),
    ):
        for word in words:
            (place,) = [(x, y) for text, x, y in texts if text == word]
            assert left < place[0] < left + 38.1
            assert top < place[1] < top + 21.2


def test_code_end_and_function_read_downwards(read_texts: Texts) -> None:
    places = {t: y for t, _, y in read_texts(labels_pdf([LEFT], find_stock("a4-64x34-3x8")))}
    assert places["F6-L"] < places["to Rx 6"] < places["flap left"]


@pytest.mark.parametrize("name", ["a4-25x10-7x27", "tape-9", "letter-44x13-4x20"])
def test_capitals_are_two_mm_high_in_print(
    name: str, crop: Crop, read_texts: Texts, find_runs: Any
) -> None:
    # 2.0 mm: floor for human-readable part marking (MIL-STD-130 summary).
    pdf = labels_pdf([Label("HH", "H", "H E H I")], find_stock(name))
    letters = [(x, y) for text, x, y in read_texts(pdf) if text.startswith("H")]
    assert len(letters) == 3
    for x, y in letters:
        top = max(y - 7.0, 0.0)
        pixels = crop(pdf, (x, top, x + 1.7, y + 0.3), dpi=4800)
        rows = find_runs((pixels.mean(axis=2) < 128).any(axis=1))
        # The letter that stands on this baseline.
        foot = (y - top) / 25.4 * 4800
        start, end = min(rows, key=lambda run: abs(run[1] - foot))
        assert abs(end - foot) < 5
        assert (end - start) / 4800 * 25.4 >= 2.0


def test_cut_lines_lie_where_the_stock_says(crop: Crop, find_runs: Callable[..., Any]) -> None:
    # flag-a4-66x12-3x22 by hand: labels side by side from 6 to 72, 138 and 204 mm,
    # and from 16.5 to 28.5 mm.
    pdf = labels_pdf([Label("A1")] * 3, find_stock("flag-a4-66x12-3x22"))
    across = crop(pdf, (0, 19.5, 210, 19.6)).mean(axis=(0, 2)) < 245
    lines = [(a + b) / 2 / 1200 * 25.4 for a, b in find_runs(across) if b - a < 10]
    for edge in (6.0, 72.0, 138.0, 204.0):
        assert min(abs(line - edge) for line in lines) < 0.1
    down = crop(pdf, (33.0, 0, 33.1, 40)).mean(axis=(1, 2)) < 245
    lines = [(a + b) / 2 / 1200 * 25.4 for a, b in find_runs(down)]
    assert lines == pytest.approx([16.5, 28.5], abs=0.1)


def test_ready_cut_stock_gets_no_lines(crop: Crop) -> None:
    pdf = labels_pdf([Label("A1")], find_stock("a4-38x21-5x13"))
    assert (crop(pdf, (4.0, 10.0, 43.0, 11.2), dpi=600) == 255).all()


def coloured(pixels: Any) -> Any:
    """Where the picture is not a grey."""
    return (pixels.max(axis=2).astype(int) - pixels.min(axis=2)) > 60


@pytest.mark.parametrize(("label", "end"), [(LEFT, 0), (RIGHT, -1)])
@pytest.mark.parametrize("name", ["a4-25x10-7x27", "a4-38x21-5x13", "tape-12"])
def test_side_band_by_place_colour_letter_and_shape(
    name: str, label: Label, end: int, crop: Crop
) -> None:
    pdf = labels_pdf([label], find_stock(name))
    box = PdfReader(io.BytesIO(pdf)).pages[0].mediabox
    page = [float(side) * 25.4 / 72 for side in (box.width, box.height)]
    pixels = crop(pdf, (0, 0, *page), dpi=300)
    band = coloured(pixels)
    columns, rows = np.flatnonzero(band.any(axis=0)), np.flatnonzero(band.any(axis=1))
    label_rows = pixels[rows[0] : rows[-1] + 1]  # the sheet's margin says what the arrow means
    ink = np.flatnonzero((label_rows < 60).all(axis=2).any(axis=0))
    # Place: the band is the outermost thing at its side's end of the label.
    assert (columns[-1] < ink[0]) if label.side == "left" else (columns[0] > ink[-1])
    inner = pixels[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    colour = np.median(inner[coloured(inner)], axis=0)
    assert int(np.argmax(colour)) == (0 if label.side == "left" else 1)  # red; green
    # Letter: white on the colour, readable by WCAG AA; the band itself stands out in grey.
    assert contrast(colour, (255, 255, 255)) >= 4.5
    assert (inner[len(inner) // 4 : -len(inner) // 4] > 250).all(axis=2).sum() > 20
    # Shape: the outer end is a point, so its corners are blank and its middle is not.
    edge = coloured(inner)[:, end]
    assert not edge[0] and not edge[-1] and edge[len(edge) // 2]


def test_words_are_readable_on_white(crop: Crop) -> None:
    pixels = crop(labels_pdf([Label("HHH")], find_stock("tape-12")), (1, 1, 40, 11), dpi=300)
    darkest = pixels.reshape(-1, 3)[pixels.sum(axis=2).argmin()]
    assert contrast(darkest, (255, 255, 255)) >= 4.5  # WCAG 2.x AA


def test_the_arrow_is_hollow_and_only_where_asked(crop: Crop) -> None:
    def top_right(arrow: bool) -> Any:
        pdf = labels_pdf([Label("A1", "", "", "", arrow)], find_stock("a4-64x34-3x8"))
        return crop(pdf, (7.2 + 57.0, 12.9 + 0.5, 7.2 + 63.0, 12.9 + 8.5), dpi=600)

    assert (top_right(False) == 255).all()
    dark = (top_right(True) < 128).all(axis=2)
    assert 0.03 < dark.mean() < 0.25
    rows, columns = np.nonzero(dark)
    middle = (columns.min() + columns.max()) // 2
    assert not dark[(rows.min() * 1 + rows.max() * 2) // 3, middle]


def test_a_flag_says_everything_twice(read_texts: Texts) -> None:
    texts = [text for text, _, _ in read_texts(labels_pdf([RIGHT], find_stock("flag-tape-12")))]
    for word in ("F6-R", "to Y 2", "flap right"):
        assert texts.count(word) == 2


def test_tape_has_a_page_for_each_label() -> None:
    reader = PdfReader(io.BytesIO(labels_pdf([LEFT, RIGHT], find_stock("tape-9"))))
    assert [float(p.mediabox.height) * 25.4 / 72 for p in reader.pages] == pytest.approx([9, 9])


def test_nothing_is_made_when_one_label_is_refused() -> None:
    with pytest.raises(LabelRefused, match="label B2"):
        labels_pdf([LEFT, Label("B2", "", "W" * 90)], find_stock("a4-38x21-5x13"))


PROGRAM = """
import hashlib
from harness.documents.labels import *
l = [Label(c, "to Rx 1", "flap é", s, True) for c in ("A1", "B2") for s in ("left", "right")]
for n in ("a4-38x21-5x13", "flag-tape-12"):
    for made in (labels_pdf(l, find_stock(n)), test_page_pdf(find_stock(n))):
        print(hashlib.sha256(made).hexdigest())
"""


def run(program: str, seed: str) -> str:
    environment = {**os.environ, "PYTHONHASHSEED": seed}
    command = [sys.executable, "-c", program]
    return subprocess.run(
        command, env=environment, check=True, capture_output=True, text=True
    ).stdout


def test_same_bytes_under_every_hash_seed() -> None:
    first = run(PROGRAM, "0")
    assert len(set(first.split())) == 4
    assert first == run(PROGRAM, "1") == run(PROGRAM, "4242")


def test_same_bytes_twice_in_one_process() -> None:
    stock = find_stock("a4-38x21-5x13")
    first = labels_pdf([LEFT, RIGHT], stock)
    labels_pdf([Label("Z9", "", "between: ÄÖÜ")], stock)
    assert labels_pdf([LEFT, RIGHT], stock) == first


def test_importing_the_labels_imports_nothing_heavy() -> None:
    heavy = "import sys, harness.documents.labels as l; l.find_stock('tape-9'); print(*sys.modules)"
    loaded = set(run(heavy, "0").split())
    assert not loaded & {"reportlab", "matplotlib", "numpy", "networkx", "jsonschema"}
