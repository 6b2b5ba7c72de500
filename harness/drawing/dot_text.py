"""A layout graph as DOT text.

Names in the text are our own (n0, e0, c0, p0): a builder's word can then hold any character.
A node's ports are cells of an HTML-like table, each at its place in whole points.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from math import ceil

from harness.drawing.layout_model import LayoutEdge, LayoutError, LayoutGraph, LayoutNode, Side

STRIP = 2  # thickness of a rim strip and length of a port cell, points
TABLE = '<TABLE BORDER="0" CELLBORDER="0" CELLSPACING="0" CELLPADDING="0">{}</TABLE>'
HEAD = """graph [newrank=true rankdir=LR splines=spline start=1 nodesep=0.0556 ranksep=0.3611]
node [label="" fixedsize=true shape=box]
edge [dir=none]"""
COMPASS = {"left": "w", "right": "e"}


def dot_text(graph: LayoutGraph) -> str:
    """DOT source of the graph; raises LayoutError for an unknown name."""
    names = {node.id: f"n{i}" for i, node in enumerate(graph.nodes)}
    _refuse_unknown(graph, names)
    nodes = {node.id: node for node in graph.nodes}
    lines = [
        "digraph harness {",
        HEAD,
        *(f"{names[node.id]} [{_node_attributes(node)}]" for node in graph.nodes),
        *(_edge(index, edge, nodes, names) for index, edge in enumerate(graph.edges)),
        "}",
    ]
    return "\n".join(lines)


def _refuse_unknown(graph: LayoutGraph, names: Mapping[str, str]) -> None:
    if len(names) < len(graph.nodes) or len({edge.id for edge in graph.edges}) < len(graph.edges):
        raise LayoutError("two nodes or two edges of the drawing share an id")
    wanted = {name for edge in graph.edges for name in (edge.tail, edge.head)}
    lost = wanted - set(names)
    if lost:
        raise LayoutError(f"the drawing names what it does not hold: {', '.join(sorted(lost))}")


@lru_cache(1 << 12)
def _node_attributes(node: LayoutNode) -> str:
    if node.ports:
        return f"shape=plain fixedsize=false width=0 height=0 label={port_table(node)}"
    return f"width={node.width / 72:.5f} height={node.height / 72:.5f}"


def _edge(
    index: int, edge: LayoutEdge, nodes: Mapping[str, LayoutNode], names: Mapping[str, str]
) -> str:
    tail = names[edge.tail] + _port(nodes[edge.tail], edge.tail_port)
    head = names[edge.head] + _port(nodes[edge.head], edge.head_port)
    return f"{tail} -> {head} [id=e{index} weight={edge.weight}]"


def _port(node: LayoutNode, name: str | None) -> str:
    if name is None:
        return ""
    for index, port in enumerate(node.ports):
        if port.id == name:
            return f":p{index}:{COMPASS[port.side]}"
    raise LayoutError(f"{node.id} has no port {name}")


def port_table(node: LayoutNode) -> str:
    """Return a node's ports as a table of empty cells; raises LayoutError for crowded ports."""
    wide, high = ceil(node.width), ceil(node.height)
    left, right = _strip(node, "left", high), _strip(node, "right", high)
    middle = _cell(wide - STRIP * (bool(left) + bool(right)), high)
    cells = TABLE.format(f"<TR>{left}{middle}{right}</TR>")
    return f"<{TABLE.format(f'<TR><TD>{cells}</TD></TR>')}>"


def _strip(node: LayoutNode, side: Side, high: int) -> str:
    """The cells down one side, each port's at its place; nothing for a side without ports."""
    places = sorted((p.y, i) for i, p in enumerate(node.ports) if p.side == side)
    rows, done = "", 0
    for distance, number in places:
        begin = min(max(round(distance) - STRIP // 2, done), high - STRIP)
        if begin < done:
            raise LayoutError("more ports on one side of a part than it has room for")
        rows += _row(begin - done) + _row(STRIP, f"p{number}")
        done = begin + STRIP
    table = TABLE.format(rows + _row(high - done))
    return f'<TD FIXEDSIZE="TRUE" WIDTH="{STRIP}" HEIGHT="{high}">{table}</TD>' if places else ""


def _row(high: int, port: str = "") -> str:
    return f"<TR>{_cell(STRIP, high, port)}</TR>" if high else ""


def _cell(wide: int, high: int, port: str = "") -> str:
    name = f' PORT="{port}"' if port else ""
    return f'<TD{name} FIXEDSIZE="TRUE" WIDTH="{wide}" HEIGHT="{high}"></TD>'
