"""PDF and PNG read back by independent programs: pypdf, PDFium, Pillow."""

import io

import pypdf
import pypdfium2
import pytest
from PIL import Image

from harness.drawing.pdf import pdf_to_png, to_pdf
from harness.drawing.scene import Path, Scene, rect_path, text

RED = Path(rect_path(0, 0, 100, 50), fill="#ff0000")
SCENE = Scene(200, 100, (RED, text(20, 80, "Flap right → 6", 10, weight="bold")), "a plan", "d")


@pytest.mark.parametrize(
    ("paper", "mm"),
    [("A4", (297, 210)), ("Letter", (279.4, 215.9))],  # ISO 216; ANSI Y14.1, 11 x 8.5 in
)
def test_pages_are_landscape_of_the_named_size(paper: str, mm: tuple[float, float]) -> None:
    box = pypdf.PdfReader(io.BytesIO(to_pdf([SCENE], paper=paper))).pages[0].mediabox
    assert float(box.width) * 25.4 / 72 == pytest.approx(mm[0], abs=0.01)
    assert float(box.height) * 25.4 / 72 == pytest.approx(mm[1], abs=0.01)


def test_every_font_used_is_embedded() -> None:
    reader = pypdf.PdfReader(io.BytesIO(to_pdf([SCENE])))
    fonts = reader.pages[0]["/Resources"]["/Font"]
    used = [font.get_object() for font in fonts.values()]
    used = [font for font in used if "DejaVu" in font["/BaseFont"]]
    assert used
    assert all("/FontFile2" in font["/FontDescriptor"] for font in used)


def test_streams_are_plain_bytes() -> None:
    """ASCII85 (PDF 32000-1, 7.4.3) makes five letters of four bytes, and nothing needs it."""
    data = to_pdf([SCENE])
    assert b"FlateDecode" in data
    assert b"ASCII85Decode" not in data


def test_text_stands_where_the_scene_says() -> None:
    document = pypdfium2.PdfDocument(to_pdf([SCENE], paper="scene"))
    page = document[0].get_textpage()
    assert page.get_text_range().strip() == "Flap right → 6"
    left, bottom, _, _ = page.get_charbox(0)  # a capital F: straight foot on the baseline
    assert bottom == pytest.approx(100 - 80, abs=0.1)
    assert 20 < left < 21.5


def test_a_page_for_each_scene_with_its_title_as_bookmark() -> None:
    reader = pypdf.PdfReader(io.BytesIO(to_pdf([SCENE, SCENE])))
    assert len(reader.pages) == 2
    assert [entry["/Title"] for entry in reader.outline] == ["a plan", "a plan"]


def test_no_scene_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one"):
        to_pdf([])


def test_picture_has_the_size_and_colours_of_the_scene() -> None:
    image = Image.open(io.BytesIO(pdf_to_png(to_pdf([SCENE], paper="scene"), dpi=144)))
    assert image.size == (400, 200)
    assert image.convert("RGB").getpixel((100, 50)) == (255, 0, 0)
    assert image.convert("RGB").getpixel((300, 50)) == (255, 255, 255)


def test_the_whole_scene_is_on_the_page() -> None:
    image = Image.open(io.BytesIO(pdf_to_png(to_pdf([SCENE]), dpi=72))).convert("RGB")
    red = [(x, y) for x in range(image.width) for y in range(image.height)
           if image.getpixel((x, y)) == (255, 0, 0)]  # fmt: skip
    wide = max(x for x, _ in red) - min(x for x, _ in red)
    high = max(y for _, y in red) - min(y for _, y in red)
    assert wide / high == pytest.approx(2, abs=0.1)
