"""Axes against matplotlib's own: where ticks stand, how they read, where a value comes to lie."""

from __future__ import annotations

import re

import numpy as np
import pytest
from matplotlib.scale import SymmetricalLogTransform
from matplotlib.ticker import MaxNLocator

from harness.documents.charts.axes import Axes, Axis, Pen, ticks_of
from harness.drawing.scene import Path, Text, bounds, walk

SPANS = [(0.0, 21.6), (14.5, 16.31), (-78.0, 105.0), (0.0, 0.5), (15.2, 16.75), (3.2, 6.3),
         (-0.002, 0.017), (0.0, 1234.0), (99.0, 100.5), (-5e-4, -1e-4)]  # fmt: skip


@pytest.mark.parametrize("spaces", [2, 4, 9])
@pytest.mark.parametrize("span", SPANS)
def test_ticks_stand_where_matplotlib_has_them(span: tuple[float, float], spaces: int) -> None:
    low, high = span
    wanted = MaxNLocator(spaces, steps=[1, 2, 2.5, 5, 10]).tick_values(low, high)
    wanted = [value for value in wanted if low - 1e-12 <= value <= high + 1e-12]
    found = [value for value, _ in ticks_of(low, high, spaces)]
    assert found == pytest.approx(wanted, abs=1e-12)


@pytest.mark.parametrize("span", SPANS)
def test_a_tick_reads_as_the_value_it_stands_for(span: tuple[float, float]) -> None:
    ticks = ticks_of(*span, 9)
    assert len(ticks) > 2
    for value, said in ticks:
        assert float(said.replace("\N{MINUS SIGN}", "-")) == pytest.approx(value, abs=1e-12)
        assert re.fullmatch(r"\N{MINUS SIGN}?\d+(\.\d+)?", said)
    assert len({said for _, said in ticks}) == len(ticks)


def test_early_time_is_even_and_later_time_by_decades() -> None:
    values = np.array([0.0, 0.05, 0.1, 1.0, 7.0, 100.0, 500.0])
    axis = Axis((0, 500), soon=0.1)
    theirs = SymmetricalLogTransform(10, 0.1, 0.4).transform(values)
    shares = (theirs - theirs[0]) / (theirs[-1] - theirs[0])
    assert axis.at(values, 50, 450) == pytest.approx(50 + 400 * shares)


def test_an_axis_leaves_room_beside_what_it_saw() -> None:
    axis = Axis(margin=0.1)
    axis.saw(np.array([2.0, np.nan, 4.0]), 12.0)
    assert axis.reach() == pytest.approx((1.0, 13.0))
    axis.least = 0.0
    assert axis.reach() == pytest.approx((0.0, 13.0))
    level = Axis()
    level.saw(6.0)
    low, high = level.reach()
    assert low < 6.0 < high


@pytest.mark.parametrize("kind", "os^DvPX|.")
def test_a_marker_stands_about_its_place_as_large_as_asked(kind: str) -> None:
    (marker,) = Pen("#000000", marker=kind, size=8, bare=True).along([(50, 60)], [(50, 60)])
    left, top, right, low = bounds([marker])
    assert (left + right) / 2 == pytest.approx(50) and (top + low) / 2 == pytest.approx(60)
    assert low - top == pytest.approx({".": 4.0, "D": 8 * 2**0.5}.get(kind, 8.0))


def _axes() -> Axes:
    axes = Axes(0, 0, 400, 300, None)
    axes.x.limits, axes.y.limits = (0, 4), (0, 3)
    return axes


def test_a_hatch_stays_inside_its_bar_and_lies_on_its_colour() -> None:
    axes = _axes()
    axes.bar(1, 3, 1.5, 1.0, "#E69F00", "xx")
    shapes = [item for item in axes.items() if isinstance(item, Path)]
    at = next(n for n, shape in enumerate(shapes) if shape.fill == "#E69F00")
    assert bounds([shapes[at]]) == pytest.approx((100, 100, 300, 200))
    hatches = [shape for shape in shapes[at + 1 :] if shape.width == 0.6]
    assert len(hatches) > 20
    left, top, right, low = bounds(hatches)
    assert left >= 100 and top >= 100 and right <= 300 and low <= 200
    for hatch in hatches:  # at 45 degrees, and none is a dot
        (x0, y0), (x1, y1) = (values for _, values in hatch.commands)
        assert abs(x1 - x0) == pytest.approx(abs(y1 - y0)) and x0 != x1


def test_what_is_beyond_the_frame_is_drawn_at_its_edge_and_a_gap_stays_a_gap() -> None:
    axes, ink = _axes(), Pen("#123456")
    axes.plot([0, 1, 2, 3, 9], [0, 1, np.nan, 1, 9], ink, "broken")
    lines = [i for i in axes.items() if isinstance(i, Path) and i.stroke == ink.colour]
    points = [[values for _, values in line.commands] for line in lines]
    assert points == [[(0, 300), (100, 200)], [(300, 200), (400, 0)]]


def test_a_stepped_line_holds_each_value_until_the_next() -> None:
    axes, ink = _axes(), Pen("#123456")
    axes.plot([0, 1, 4], [1, 2, 3], ink, step=True)
    (line,) = (i for i in axes.items() if isinstance(i, Path) and i.stroke == ink.colour)
    wanted = [(0, 200), (100, 200), (100, 100), (400, 100), (400, 0)]
    assert [values for _, values in line.commands] == wanted


def test_words_stand_by_share_or_by_value() -> None:
    axes = _axes()
    axes.say("one\ntwo", (1.0, 1.5), (8, 0), "x", stand="about")
    one, two = (i for i in walk(axes.items()) if isinstance(i, Text) and i.text in {"one", "two"})
    assert one.x == two.x == 408
    middle = (one.y - 0.73 * one.size + two.y) / 2  # capitals of DejaVu Sans: 0.729 of its size
    assert middle == pytest.approx(150, abs=0.3)
