"""Leads between pinned parts: geometry of the plane is the oracle."""

from dataclasses import replace

import pytest

from harness.drawing.bezier import curves, point_at
from harness.drawing.layout import lay_out
from harness.drawing.layout_model import (
    LayoutEdge,
    LayoutError,
    LayoutGraph,
    LayoutNode,
    LayoutPort,
)

SOCKETS = tuple(LayoutPort(str(i), "right", 60.0, 20.0 * i) for i in range(1, 5))
LEFT = (LayoutPort("lead", "left", 0.0, 10.0),)
# Every servo lies where the lead, drawn straight, would run back through the receiver.
GRAPH = LayoutGraph(
    nodes=(
        LayoutNode("rx", 60, 100, None, SOCKETS, (0.0, 0.0)),
        LayoutNode("above", 40, 20, None, LEFT, (-40.0, -160.0)),
        LayoutNode("below", 40, 20, None, LEFT, (-40.0, 160.0)),
        LayoutNode("behind", 40, 20, None, LEFT, (-160.0, 10.0)),
        LayoutNode("before", 40, 20, None, LEFT, (200.0, 0.0)),
    ),
    edges=tuple(
        LayoutEdge(f"to-{name}", "rx", name, str(i), "lead")
        for i, name in enumerate(("above", "before", "behind", "below"), 1)
    ),
    engine="neato",
)


def test_leads_go_round_every_part_their_own_too() -> None:
    laid = lay_out(GRAPH)
    assert laid.edges.keys() == {edge.id for edge in GRAPH.edges}
    assert laid.nodes.keys() == {node.id for node in GRAPH.nodes}
    for name, points in laid.edges.items():
        spots = [point_at(c, i / 30) for c in curves(points) for i in range(31)]
        for part, node in laid.nodes.items():
            r = node.rect
            right, low = r.x + r.width - 1, r.y + r.height - 1
            inside = [(x, y) for x, y in spots if r.x + 1 < x < right and r.y + 1 < y < low]
            assert not inside, (name, part)


def test_leads_start_and_end_on_their_sockets_squarely() -> None:
    laid = lay_out(GRAPH)
    for edge in GRAPH.edges:
        points = laid.edges[edge.id]
        assert points[0] == pytest.approx(laid.nodes["rx"].ports[edge.tail_port])
        assert points[-1] == pytest.approx(laid.nodes[edge.head].ports["lead"])
        assert points[1][0] > points[0][0]
        assert points[1][1] == pytest.approx(points[0][1])
        assert points[-2][0] < points[-1][0]
        assert points[-2][1] == pytest.approx(points[-1][1])


def test_a_part_without_a_place_is_refused() -> None:
    nodes = (*GRAPH.nodes[:-1], replace(GRAPH.nodes[-1], pos=None))
    with pytest.raises(LayoutError, match="before has no place"):
        lay_out(replace(GRAPH, nodes=nodes))
