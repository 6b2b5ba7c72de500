"""Lanes: geometry that any picture must keep; the plane is the oracle."""

import itertools
from dataclasses import replace
from itertools import pairwise

import pytest
from drawing import mock_twin
from hypothesis import given
from hypothesis import strategies as st

from harness.drawing.bezier import curves, point_at, tangents
from harness.drawing.lane_order import Climb, best_order, cost, lane_numbers
from harness.drawing.lanes import in_lanes
from harness.drawing.layout import lay_out
from harness.drawing.layout_model import Laid, LaidNode, Rect
from harness.drawing.ribbon import ribbon_width
from harness.drawing.spread import free_columns, spread

HEIGHT = st.integers(0, 40).map(lambda v: v * 20.0)


@pytest.fixture(scope="module")
def laid() -> Laid:
    return lay_out(mock_twin.layout_graph())


def smooth(points: tuple[tuple[float, float], ...]) -> bool:
    """No kink of more than about 26 degrees where two curves meet (cosine 0.9)."""
    parts = [c for c in curves(points) if c[0] != c[3]]
    ends = [tangents(c) for c in parts]
    return all(a[1][0] * b[0][0] + a[1][1] * b[0][1] > 0.9 for a, b in pairwise(ends))


def test_every_lead_keeps_its_ends_and_stays_smooth(laid: Laid) -> None:
    routed = in_lanes(spread(laid, 1000))
    assert routed.edges.keys() == laid.edges.keys()
    for edge in mock_twin.layout_graph().edges:
        points = routed.edges[edge.id]
        assert points[0] == pytest.approx(routed.nodes[edge.tail].ports[edge.tail_port])
        assert points[-1] == pytest.approx(routed.nodes[edge.head].ports[edge.head_port])
        assert smooth(points), edge.id


def test_no_lead_runs_through_a_part_it_does_not_belong_to(laid: Laid) -> None:
    routed = in_lanes(spread(laid, 1000))
    for edge in mock_twin.layout_graph().edges:
        others = [n.rect for k, n in routed.nodes.items() if k not in (edge.tail, edge.head)]
        spots = [point_at(c, i / 20) for c in curves(routed.edges[edge.id]) for i in range(21)]
        hit = [r for r in others for x, y in spots
               if r.x < x < r.x + r.width and r.y < y < r.y + r.height]  # fmt: skip
        assert not hit, edge.id


def test_spreading_keeps_parts_whole_and_apart(laid: Laid) -> None:
    wide = spread(laid, laid.width + 300)
    assert wide.width == laid.width + 300
    for name, node in laid.nodes.items():
        new = wide.nodes[name]
        assert (new.rect.width, new.rect.height, new.rect.y) == (
            node.rect.width, node.rect.height, node.rect.y,
        )  # fmt: skip
        for port, (x, y) in node.ports.items():
            moved = new.ports[port]
            assert moved == pytest.approx((x + new.rect.x - node.rect.x, y))
    for edge in mock_twin.layout_graph().edges:
        assert wide.edges[edge.id][0] == pytest.approx(wide.nodes[edge.tail].ports[edge.tail_port])


def test_a_layout_that_is_wide_enough_is_left_alone(laid: Laid) -> None:
    assert spread(laid, laid.width - 1) is laid


def test_free_columns_hold_no_part(laid: Laid) -> None:
    for start, end in free_columns(laid):
        assert start < end
        assert not any(n.rect.x < end and n.rect.x + n.rect.width > start
                       for n in laid.nodes.values())  # fmt: skip


@given(st.lists(HEIGHT, unique=True, min_size=2, max_size=8), st.booleans())
def test_leads_in_the_same_order_at_both_sides_do_not_cross(starts: list, up: bool) -> None:
    """Plane geometry: equal order left and right can be drawn without a crossing."""
    way = -1000.0 if up else 1000.0
    climbs = [Climb(str(i), y, y + way) for i, y in enumerate(sorted(starts))]
    order = best_order(climbs)
    assert sum(cost(a, b) for i, a in enumerate(order) for b in order[i + 1 :]) == 0


@given(st.lists(st.tuples(HEIGHT, HEIGHT), max_size=9))
def test_climbs_side_by_side_never_share_a_lane(pairs: list) -> None:
    climbs = [Climb(str(i), a, b) for i, (a, b) in enumerate(pairs)]
    lanes = lane_numbers(climbs)
    for i, one in enumerate(climbs):
        for other in climbs[i + 1 :]:
            if lanes[one.name] == lanes[other.name]:
                assert one.high < other.low or other.high < one.low


@given(st.lists(st.tuples(HEIGHT, HEIGHT), max_size=7))
def test_no_exchange_of_neighbours_saves_a_crossing(pairs: list) -> None:
    order = best_order([Climb(str(i), a, b) for i, (a, b) in enumerate(pairs)])
    assert all(cost(a, b) <= cost(b, a) for a, b in itertools.pairwise(order))


def test_a_lead_that_turns_back_is_left_as_graphviz_drew_it() -> None:
    nodes = {"a": LaidNode(Rect(0, 0, 10, 10), {}), "b": LaidNode(Rect(60, 0, 10, 10), {})}
    back = ((60.0, 5.0), (40.0, 5.0), (30.0, 5.0), (10.0, 5.0))
    there = ((10.0, 2.0), (40.0, 2.0), (30.0, 9.0), (60.0, 9.0))
    laid = Laid(nodes, {"back": back, "there": there}, {}, 70, 10)
    assert in_lanes(laid).edges["back"] == back
    assert in_lanes(replace(laid, edges={})).edges == {}


@pytest.mark.parametrize("down", [True, False])
def test_climbs_side_by_side_stand_clear_of_each_other(down: bool) -> None:
    """Ribbons of three wires in lanes next to each other must not touch."""
    way = 300.0 if down else -300.0
    nodes = {"a": LaidNode(Rect(0, -400, 10, 800), {}), "b": LaidNode(Rect(110, -400, 10, 800), {})}
    heights = (0.0, 20.0, 40.0, 60.0)
    edges = {
        str(y): ((10.0, y), (60.0, y), (60.0, y + way), (110.0, y + way)) for y in heights
    }  # fmt: skip
    routed = in_lanes(Laid(nodes, edges, {}, 120, 800))
    middles = [
        x
        for points in routed.edges.values()
        for x, y in [min((point_at(c, i / 9) for c in curves(points) for i in range(10)),
                         key=lambda p: abs(p[1] - 30 - way / 2))]
    ]  # fmt: skip
    middles.sort()
    assert len(middles) == 4
    assert min(b - a for a, b in pairwise(middles)) > ribbon_width(3) + 2
