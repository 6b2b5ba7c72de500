"""Ribbons: the definition of a parallel curve is the oracle, sampled; no outside table."""

from math import hypot

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from harness.base.colours import INSULATION, to_hex
from harness.drawing.bezier import along, curves, cut, joined, length, offset, point_at, straight
from harness.drawing.ribbon import (
    CONTROL,
    MOTOR,
    POWER,
    PULL_START,
    RibbonWire,
    chained,
    ribbon,
    ribbon_width,
)
from harness.drawing.scene import Path, Point, spline_path

TOLERANCE = 0.05  # points (0.018 mm), set before the first run
SPAN = st.floats(-150, 150)
POINT = st.tuples(SPAN, SPAN)


def samples(spline: tuple[Point, ...], count: int) -> list[Point]:
    return [point_at(c, i / count) for c in curves(spline) for i in range(count + 1)]


def derivatives(curve: tuple[Point, ...], t: float) -> tuple[Point, Point]:
    a, b, c, d = curve
    r = 1 - t
    first = tuple(3 * (r * r * (b[i] - a[i]) + 2 * r * t * (c[i] - b[i]) + t * t * (d[i] - c[i]))
                  for i in (0, 1))  # fmt: skip
    second = tuple(6 * (r * (c[i] - 2 * b[i] + a[i]) + t * (d[i] - 2 * c[i] + b[i]))
                   for i in (0, 1))  # fmt: skip
    return first, second


def least_radius(curve: tuple[Point, ...]) -> float:
    radii = []
    for i in range(401):
        (x, y), (xx, yy) = derivatives(curve, i / 400)
        bend = abs(x * yy - y * xx)
        radii.append((x * x + y * y) ** 1.5 / bend if bend > 1e-12 else 1e9)
    return min(radii)


def least_speed(curve: tuple[Point, ...]) -> float:
    return min(hypot(*derivatives(curve, i / 400)[0]) for i in range(401))


def true_offset(curve: tuple[Point, ...], distance: float, count: int) -> list[Point]:
    """The definition: each point moved along its normal, right of travel with y downwards."""
    found = []
    for i in range(count + 1):
        (px, py), ((dx, dy), _) = point_at(curve, i / count), derivatives(curve, i / count)
        size = hypot(dx, dy)
        found.append((px - dy / size * distance, py + dx / size * distance))
    return found


def farthest(points: list[Point], line: list[Point]) -> float:
    """Largest distance of any of the points from a polyline."""
    p = np.array(points)[:, None, :]
    a, b = np.array(line[:-1])[None], np.array(line[1:])[None]
    leg = b - a
    size = np.maximum((leg**2).sum(axis=2), 1e-18)
    t = np.clip(((p - a) * leg).sum(axis=2) / size, 0, 1)
    gaps = p - a - t[:, :, None] * leg
    return float(np.sqrt((gaps**2).sum(axis=2)).min(axis=1).max())


@settings(deadline=None, max_examples=100)
@given(st.tuples(POINT, POINT, POINT, POINT), st.sampled_from([-6.0, -2.15, 0.5, 2.15, 6.0]))
def test_an_offset_curve_keeps_its_distance(curve: tuple[Point, ...], distance: float) -> None:
    assume(hypot(curve[1][0] - curve[0][0], curve[1][1] - curve[0][1]) > 5)
    assume(hypot(curve[3][0] - curve[2][0], curve[3][1] - curve[2][1]) > 5)
    assume(least_speed(curve) > 5)  # a parallel curve is defined for a regular curve only
    assume(least_radius(curve) > 2 * abs(distance))
    wanted = true_offset(curve, distance, 800)
    drawn = offset(curve, distance)
    assert farthest(samples(drawn, 5), wanted) <= TOLERANCE
    assert farthest(wanted[::8], samples(drawn, 40)) <= TOLERANCE


def test_positive_offset_is_right_of_travel() -> None:
    """Seen on the page, y downwards: going right, the right hand is below."""
    assert offset(straight([(0, 0), (30, 0)]), 2)[0] == pytest.approx((0, 2))


@pytest.mark.parametrize("distance", [-3.0, 3.0])
def test_a_corner_is_mitred(distance: float) -> None:
    """Plane geometry: lines parallel to two legs at a right angle meet on the diagonal."""
    bent = offset(straight([(0, 0), (40, 0), (40, 40)]), distance)
    assert (40 - distance, distance) in [pytest.approx(point) for point in bent]


@settings(deadline=None, max_examples=60)
@given(st.tuples(POINT, POINT, POINT, POINT), st.floats(0.05, 0.45), st.floats(0.55, 0.95))
def test_a_cut_has_the_length_asked_for(curve: tuple[Point, ...], a: float, b: float) -> None:
    total = length(curve)
    assume(total > 10)
    assert length(cut(curve, a * total, b * total)) == pytest.approx((b - a) * total, rel=0.02)


def test_along_walks_the_spline() -> None:
    bent = straight([(0, 0), (10, 0), (10, 10)])
    assert along(bent, 4) == (pytest.approx((4, 0)), pytest.approx((1, 0)))
    assert along(bent, 15) == (pytest.approx((10, 5)), pytest.approx((0, 1)))
    assert along(bent, 99)[0] == pytest.approx((10, 10))


def test_chained_splines_have_no_gap() -> None:
    first, second = straight([(0, 0), (10, 0)]), straight([(40, 0), (60, 5)])
    spline = chained([first, second])
    assert len(spline) % 3 == 1
    assert spline[0] == (0, 0)
    assert spline[-1] == (60, 5)
    assert length(spline) == pytest.approx(10 + 30 + hypot(20, 5), rel=1e-6)


LINE = straight([(0.0, 0.0), (100.0, 0.0)])
LEAD = (RibbonWire("WH"), RibbonWire("RD"), RibbonWire("BK"))


def wires(group) -> list[Path]:  # noqa: ANN001
    tints = {to_hex(rgb) for rgb in INSULATION.values()}
    return [item for item in group.items if isinstance(item, Path) and item.stroke in tints]


def test_each_wire_has_its_own_colour_in_order_left_to_right_of_travel() -> None:
    drawn = wires(ribbon("l", LINE, LEAD))
    assert [path.stroke for path in drawn] == [to_hex(INSULATION[w.code]) for w in LEAD]
    heights = [path.commands[0][1][1] for path in drawn]
    assert heights == pytest.approx([-CONTROL.pitch, 0, CONTROL.pitch])


@pytest.mark.parametrize("gauge", [CONTROL, POWER, MOTOR])
def test_a_ribbon_is_as_broad_as_said(gauge) -> None:  # noqa: ANN001
    group = ribbon("l", LINE, LEAD, gauge=gauge, casing=None)
    tops = [p.commands[0][1][1] - p.width / 2 for p in group.items]
    lows = [p.commands[0][1][1] + p.width / 2 for p in group.items]
    assert max(lows) - min(tops) == pytest.approx(ribbon_width(3, gauge))


@pytest.mark.parametrize(("end", "reach"), [("tail", (PULL_START, 100)), ("head", (0, 87))])
def test_a_pulled_wire_stops_before_its_plug(end: str, reach: tuple[float, float]) -> None:
    lead = (RibbonWire("WH"), RibbonWire("RD", end), RibbonWire("BK"))
    red = [p for p in wires(ribbon("l", LINE, lead)) if p.stroke == to_hex(INSULATION["RD"])]
    (path,) = red
    xs = [values[-2] for _, values in path.commands]
    assert (min(xs), max(xs)) == pytest.approx(reach, abs=0.1)


def test_a_tracer_is_a_broken_line_on_its_ground_colour() -> None:
    drawn = wires(ribbon("l", LINE, (RibbonWire("RDBU"),)))
    assert [path.stroke for path in drawn] == [to_hex(INSULATION[c]) for c in ("RD", "BU")]
    assert [bool(path.dash) for path in drawn] == [False, True]


def test_a_point_like_spline_is_drawn_without_failing() -> None:
    dot = ((5.0, 5.0),) * 4
    ribbon("l", dot, (RibbonWire("RD", "tail"), RibbonWire("BK")))
    assert joined(curves(dot)) == dot
    assert spline_path(dot)
