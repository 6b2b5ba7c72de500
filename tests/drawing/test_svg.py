"""SVG: well-formed by the expat parser, ids by the XML name rule, text widths by FreeType."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harness.drawing.scene import (
    Group,
    Item,
    Path,
    Scene,
    circle_path,
    rect_path,
    spline_path,
    text,
)
from harness.drawing.svg import number, svg_id, to_svg

SVG = "{http://www.w3.org/2000/svg}"
# XML 1.0 (fifth edition), production 5, the ASCII part without the colon.
NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_.-]*")


def scene(*items: Item) -> Scene:
    return Scene(144, 72, items, 'plan "A" & <B>', "d")


def parsed(*items: Item) -> ET.Element:
    return ET.fromstring(to_svg(scene(*items)))


@given(st.text(min_size=1), st.text(min_size=1))
def test_ids_are_xml_names_and_stay_different(one: str, other: str) -> None:
    assert NAME.fullmatch(svg_id(one))
    assert (svg_id(one) == svg_id(other)) == (one == other)


@given(st.text(), st.text())
def test_any_text_and_tooltip_gives_well_formed_xml(content: str, title: str) -> None:
    root = parsed(Group("g", (text(1, 2, content, 8),), ("part", content), title))
    assert root.find(f"{SVG}g") is not None


def test_text_and_tooltip_come_back_unchanged() -> None:
    words = "a < b & \"c\" 'd' → µ"
    group = parsed(Group("g", (text(1, 2, words, 8),), (), words)).find(f"{SVG}g")
    assert group.find(f"{SVG}title").text == group.find(f"{SVG}text").text == words
    assert group.get("aria-label") == words


def test_the_page_is_as_large_as_the_scene() -> None:
    root = parsed()  # 72 points are one inch, 25.4 mm
    assert (root.get("width"), root.get("height")) == ("50.8mm", "25.4mm")
    assert root.get("viewBox") == "0 0 144 72"
    assert root.get("role") == "img"


@pytest.mark.parametrize("weight", ["normal", "bold"])
def test_text_is_held_to_its_width_in_the_font(
    freetype_width: Callable[[str, float, str], float], weight: str
) -> None:
    root = parsed(text(0, 9, "Aileron, left", 9, weight=weight))
    length = float(root.find(f"{SVG}text").get("textLength"))
    assert length == pytest.approx(freetype_width("Aileron, left", 9, weight), abs=0.005)


def test_two_groups_with_one_id_are_refused() -> None:
    with pytest.raises(ValueError, match="share an id: a"):
        to_svg(scene(Group("a", ()), Group("b", (Group("a", ()),))))


def test_shapes_keep_their_points() -> None:
    spline = ((0.0, 0.0), (1.0, 0.0), (2.0, 3.0), (4.125, 3.0))
    root = parsed(Path(spline_path(spline), stroke="#112233", dash=(2, 1), cap="round"))
    path = root.find(f"{SVG}path")
    assert path.get("d") == "M0 0C1 0 2 3 4.12 3"
    assert path.get("fill") == "none"
    assert path.get("stroke-dasharray") == "2 1"


@pytest.mark.parametrize("count", [0, 1, 3, 5, 6])
def test_a_spline_of_the_wrong_length_is_refused(count: int) -> None:
    with pytest.raises(ValueError, match="3n \\+ 1"):
        spline_path([(0.0, 0.0)] * count)


@given(st.floats(-1e6, 1e6))
def test_numbers_are_short_plain_and_right(value: float) -> None:
    written = number(value)
    assert re.fullmatch(r"-?\d+(\.\d{1,2})?", written)
    assert written != "-0"
    assert abs(float(written) - value) <= 0.005 + 1e-9


def test_circle_is_round_within_a_thousandth() -> None:
    """A cubic quarter circle with handle 0.5523 r is off by at most 0.03 % (memory)."""
    from harness.drawing.bezier import point_at

    commands = circle_path(0, 0, 10)
    here = (0.0, 0.0)
    for name, values in commands:
        if name == "C":
            curve = (here, values[0:2], values[2:4], values[4:6])
            for i in range(11):
                x, y = point_at(curve, i / 10)
                assert (x * x + y * y) ** 0.5 == pytest.approx(10, abs=0.01)
        here = values[-2:] or here


def test_round_corners_never_outgrow_the_rectangle() -> None:
    xs = [v for _, values in rect_path(0, 0, 10, 4, r=50) for v in values[::2]]
    assert min(xs) == 0
    assert max(xs) == 10
