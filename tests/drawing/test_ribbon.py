"""Ribbons: the definition of a parallel curve is the oracle, sampled; no outside table."""

import itertools
from math import hypot

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
    Wire,
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
    for i in range(201):
        (x, y), (xx, yy) = derivatives(curve, i / 200)
        bend = abs(x * yy - y * xx)
        radii.append((x * x + y * y) ** 1.5 / bend if bend > 1e-12 else 1e9)
    return min(radii)


def to_line(point: Point, line: list[Point]) -> float:
    """Distance of a point from a polyline."""
    best = 1e9
    for (ax, ay), (bx, by) in itertools.pairwise(line):
        dx, dy = bx - ax, by - ay
        size = dx * dx + dy * dy
        t = 0.0 if not size else ((point[0] - ax) * dx + (point[1] - ay) * dy) / size
        t = min(max(t, 0.0), 1.0)
        best = min(best, hypot(point[0] - ax - t * dx, point[1] - ay - t * dy))
    return best


@settings(deadline=None, max_examples=60)
@given(st.tuples(POINT, POINT, POINT, POINT), st.sampled_from([-6.0, -2.15, 0.5, 2.15, 6.0]))
def test_an_offset_curve_keeps_its_distance(curve: tuple[Point, ...], distance: float) -> None:
    assume(hypot(curve[1][0] - curve[0][0], curve[1][1] - curve[0][1]) > 5)
    assume(hypot(curve[3][0] - curve[2][0], curve[3][1] - curve[2][1]) > 5)
    assume(least_radius(curve) > 2 * abs(distance))
    line = samples(curve, 400)
    ends = (line[0], line[-1])
    for point in samples(offset(curve, distance), 4):
        near_end = min(hypot(point[0] - x, point[1] - y) for x, y in ends) < abs(distance) + 0.2
        found = to_line(point, line)
        # A curve that comes back on itself is nearer to its other branch.
        assert found <= abs(distance) + TOLERANCE
        if not near_end and not _folds(curve, distance):
            assert found == pytest.approx(abs(distance), abs=TOLERANCE)


def _folds(curve: tuple[Point, ...], distance: float) -> bool:
    """Whether two far parts of the curve come nearer than the offset reaches."""
    line = samples(curve, 60)
    return any(
        hypot(line[i][0] - line[j][0], line[i][1] - line[j][1]) < 2.2 * abs(distance)
        and sum(hypot(line[k + 1][0] - line[k][0], line[k + 1][1] - line[k][1])
                for k in range(i, j)) > 7 * abs(distance)
        for i in range(0, 60, 2)
        for j in range(i + 2, 61, 2)
    )  # fmt: skip


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
LEAD = (Wire("WH"), Wire("RD"), Wire("BK"))


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
    lead = (Wire("WH"), Wire("RD", end), Wire("BK"))
    red = [p for p in wires(ribbon("l", LINE, lead)) if p.stroke == to_hex(INSULATION["RD"])]
    (path,) = red
    xs = [values[-2] for _, values in path.commands]
    assert (min(xs), max(xs)) == pytest.approx(reach, abs=0.1)


def test_a_tracer_is_a_broken_line_on_its_ground_colour() -> None:
    drawn = wires(ribbon("l", LINE, (Wire("RDBU"),)))
    assert [path.stroke for path in drawn] == [to_hex(INSULATION[c]) for c in ("RD", "BU")]
    assert [bool(path.dash) for path in drawn] == [False, True]


def test_a_point_like_spline_is_drawn_without_failing() -> None:
    dot = ((5.0, 5.0),) * 4
    ribbon("l", dot, (Wire("RD", "tail"), Wire("BK")))
    assert joined(curves(dot)) == dot
    assert spline_path(dot)
