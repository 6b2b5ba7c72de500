"""What comes out on paper, measured by readers that are not ours (PDFium, pypdf, expat)."""

from __future__ import annotations

import hashlib
import io
import subprocess
import sys
import xml.etree.ElementTree as ET

import pypdf
import pypdfium2
import pytest
from diagram.big_plan import big_plan
from diagram.looking import EXAMPLES, GOOD, VIEWS, along_spline, ids, pages_of, report_of
from support import report_of as report_of_text

from harness.diagram import ViewWish, draw_pages, render
from harness.diagram.page_setting import PageSetting
from harness.diagram.run_layout import run_layout
from harness.diagram.sheets import SheetBuilder
from harness.diagram.stages import Extract
from harness.drawing.layout_model import Laid

MM = 72 / 25.4
# DejaVu Sans: capitals are 1493 of 2048 units high (OS/2 table of the font file, sCapHeight).
CAPITAL = 1493 / 2048
# NUREG-0700: H = 6.283 * D * minutes / 21600; 16 minutes at 500 mm, as the body of the text.
FLOOR_MM = 6.283 * 500 * 16 / 21600
SVG = "{http://www.w3.org/2000/svg}"


def capital_heights(data: bytes) -> list[float]:
    """Heights in mm of the letter E wherever it stands upright in a PDF."""
    found: list[float] = []
    document = pypdfium2.PdfDocument(data)
    for page in document:
        text = page.get_textpage()
        letters = text.get_text_range()
        for index, letter in enumerate(letters):
            if letter == "E" and pypdfium2.raw.FPDFText_GetCharAngle(text, index) == 0:
                _, low, _, high = text.get_charbox(index)
                found.append((high - low) / MM)
    document.close()
    return found


@pytest.mark.parametrize("page", ["A4", "Letter"])
@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("name", GOOD)
def test_the_smallest_text_on_paper_is_large_enough(name: str, view: str, page: str) -> None:
    (data,) = render(pages_of(name, view, page), "pdf", page).values()  # type: ignore[arg-type]
    heights = capital_heights(data)
    assert heights
    assert min(heights) >= FLOOR_MM * CAPITAL - 0.02  # boxes are given to 0.01 point or so


@pytest.mark.parametrize("count", [25, 65])
@pytest.mark.parametrize("view", ["run", "airframe"])
def test_a_large_plan_is_split_and_stays_readable_and_complete(count: int, view: str) -> None:
    report = report_of_text(big_plan(count))
    pictures = draw_pages(report, ViewWish(view=view))  # type: ignore[arg-type]
    (data,) = render(pictures, "pdf").values()
    assert min(capital_heights(data)) >= FLOOR_MM * CAPITAL - 0.02
    wanted = {f"lead-{m.plug.part.id}.{m.plug.name}" for m in report.wiring.mates}
    assert wanted <= ids(pictures)
    if count == 65:
        assert len(pictures) > 1


# ISO 216: A4 is 210 x 297 mm. ANSI Y14.1: Letter is 8.5 x 11 in.
@pytest.mark.parametrize(("page", "wide", "high"), [("A4", 297, 210), ("Letter", 279.4, 215.9)])
def test_pages_are_landscape_sheets(page: str, wide: float, high: float) -> None:
    pictures = pages_of("saltmarsh-19", "airframe", page)
    files = render(pictures, "pdf", page)  # type: ignore[arg-type]
    assert list(files) == ["airframe.pdf"]
    read = pypdf.PdfReader(io.BytesIO(files["airframe.pdf"]))
    assert len(read.pages) == len(pictures)
    for sheet in read.pages:
        box = sheet.mediabox
        assert float(box.width) / MM == pytest.approx(wide, abs=0.01)
        assert float(box.height) / MM == pytest.approx(high, abs=0.01)


def test_the_headline_run_is_one_page() -> None:
    assert len(pages_of("saltmarsh-19", "run")) == 1


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("name", GOOD)
def test_the_svg_is_well_formed_with_ids_classes_and_tooltips(name: str, view: str) -> None:
    for data in render(pages_of(name, view), "svg").values():
        root = ET.fromstring(data)
        found = [node.get("id") for node in root.iter() if node.get("id")]
        assert len(found) == len(set(found))
        named = [n for n in root.iter(f"{SVG}g") if "_2f_" not in (n.get("id") or "")]
        parts = [n for n in named if (n.get("id") or "").startswith(("lead-", "part-"))]
        assert parts
        for node in parts:
            assert {"lead", "part"} & set((node.get("class") or "").split())
            title = node.find(f"{SVG}title")
            assert title is not None
            assert title.text


def test_a_leads_tooltip_says_both_ends_and_its_wires() -> None:
    (data,) = render(pages_of("saltmarsh-19", "run"), "svg").values()
    root = ET.fromstring(data)
    (group,) = [n for n in root.iter(f"{SVG}g") if n.get("id") == "lead-esc-left.plug"]
    text = group.findtext(f"{SVG}title") or ""
    assert "throttle-y.1" in text
    assert "pulled: positive" in text
    assert "white, red, black" in text


def test_png_and_svg_have_a_file_a_page() -> None:
    pictures = pages_of("saltmarsh-19", "airframe")
    assert list(render(pictures, "png")) == [f"{p.name}.png" for p in pictures]
    assert all(data[:4] == b"\x89PNG" for data in render(pictures[:1], "png").values())
    assert list(render(pictures, "svg")) == [f"{p.name}.svg" for p in pictures]


def test_the_same_bytes_under_any_hash_seed() -> None:
    code = (
        "import sys, hashlib\n"
        "from harness import load_plan, check\n"
        "from harness.diagram import ViewWish, draw_pages, render\n"
        "r = check(load_plan(sys.argv[1]))\n"
        "h = hashlib.sha256()\n"
        "for v in ('run', 'airframe', 'power', 'control'):\n"
        "    p = draw_pages(r, ViewWish(view=v))\n"
        "    for to in ('svg', 'pdf'):\n"
        "        for name, data in render(p, to).items(): h.update(name.encode() + data)\n"
        "print(h.hexdigest())\n"
    )
    plan = str(EXAMPLES / "sandbar-5.yaml")
    sums = {
        subprocess.run(
            [sys.executable, "-c", code, plan],
            env={"PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("0", "4711")
    }
    assert len(sums) == 1
    assert len(sums.pop().strip()) == hashlib.sha256().digest_size * 2


def laid_out(name: str) -> Laid:
    report = report_of(name)
    sheet = SheetBuilder(
        PageSetting(report), Extract(tuple(report.plan.parts), tuple(report.wiring.mates))
    ).sheet()
    return run_layout(sheet, (814.0, 567.0))


@pytest.mark.parametrize("name", [*GOOD, "broken/no-such-socket", "broken/shorted-loop"])
def test_no_lead_runs_behind_a_part_it_does_not_join(name: str) -> None:
    report = report_of(name)
    laid = laid_out(name)
    for mate in report.wiring.mates:
        ident = f"lead-{mate.plug.part.id}.{mate.plug.name}"
        own = {f"part-{mate.plug.part.id}"}
        if mate.socket is not None:
            own.add(f"part-{mate.socket.part.id}")
        for x, y in along_spline(laid.edges[ident]):
            for node, place in laid.nodes.items():
                r = place.rect
                inside = r.x + 1 < x < r.x + r.width - 1 and r.y + 1 < y < r.y + r.height - 1
                assert node in own or not inside, (ident, node)


@pytest.mark.parametrize("name", GOOD)
def test_parts_stand_apart(name: str) -> None:
    rects = [(n, place.rect) for n, place in laid_out(name).nodes.items()]
    for i, (one, a) in enumerate(rects):
        for other, b in rects[i + 1 :]:
            apart = a.x + a.width <= b.x or b.x + b.width <= a.x
            apart = apart or a.y + a.height <= b.y or b.y + b.height <= a.y
            assert apart, (one, other)
