"""Sheets of paper: what is drawn lies on them, the same in SVG as in PDF."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator

import pytest
from diagram.looking import BROKEN, GOOD, VIEWS, pages_of

from harness.diagram import render

SVG = "{http://www.w3.org/2000/svg}"
# ISO 216: A4 is 210 x 297 mm. ANSI Y14.1: Letter is 8.5 x 11 in.
SHEETS = {"A4": (297.0, 210.0), "Letter": (279.4, 215.9)}
MARGIN = 4.9  # mm: common printers leave 4.2 mm of a sheet blank (common practice, no source)
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
ANCHORS = {"start": 0.0, "middle": 0.5, "end": 1.0}

Box = tuple[float, float, float, float]


def view_box(root: ET.Element) -> Box:
    left, top, wide, high = map(float, root.attrib["viewBox"].split())
    return left, top, left + wide, top + high


def boxes(root: ET.Element) -> Iterator[Box]:
    """What the paths and texts, level or upright, of a drawing cover, control points included."""
    shapes = [node for node in root.iter(f"{SVG}path") if node.get("fill") != "#FFFFFF"]
    for node in shapes:
        values = [float(v) for v in NUMBER.findall(node.attrib["d"])]
        reach = float(node.get("stroke-width", "0")) / 2
        xs, ys = values[::2], values[1::2]
        yield min(xs) - reach, min(ys) - reach, max(xs) + reach, max(ys) + reach
    for node in root.iter(f"{SVG}text"):
        wide, size = float(node.get("textLength", "0")), float(node.attrib["font-size"])
        left = float(node.attrib["x"]) - ANCHORS[node.get("text-anchor", "start")] * wide
        x, y = float(node.attrib["x"]), float(node.attrib["y"])
        if "rotate(-90" in node.get("transform", ""):  # upright, read from the right
            yield x - 0.76 * size, y + x - left - wide, x + 0.24 * size, y + x - left
        else:
            yield left, y - 0.76 * size, left + wide, y + 0.24 * size


def outside(data: bytes) -> list[Box]:
    """Return what of an SVG page reaches into its margin or past its edge."""
    root = ET.fromstring(data)
    left, top, right, low = view_box(root)
    margin = MARGIN * (right - left) / float(root.attrib["width"].removesuffix("mm"))
    left, top, right, low = left + margin, top + margin, right - margin, low - margin
    return [b for b in boxes(root) if b[0] < left or b[1] < top or b[2] > right or b[3] > low]


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("name", [*GOOD, *BROKEN])
def test_nothing_of_an_svg_page_lies_in_its_margin(name: str, view: str) -> None:
    for data in render(pages_of(name, view), "svg").values():
        assert outside(data) == []


@pytest.mark.parametrize("page", SHEETS)
@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("name", GOOD)
def test_an_svg_page_is_a_sheet_of_the_paper(name: str, view: str, page: str) -> None:
    wide, high = SHEETS[page]
    for data in render(pages_of(name, view, page), "svg", page).values():  # type: ignore[arg-type]
        root = ET.fromstring(data)
        left, top, right, low = view_box(root)
        assert (root.get("width"), root.get("height")) == (f"{wide:g}mm", f"{high:g}mm")
        assert (right - left) / (low - top) == pytest.approx(wide / high, rel=1e-4)
        assert outside(data) == []
