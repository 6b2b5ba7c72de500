"""A layout graph as DOT text. Imports the `graphviz` package, so import this module late.

Names in the text are our own (n0, e0, c0, p0): a builder's word can then hold any character.
"""

from collections.abc import Mapping
from typing import Any

from graphviz import Digraph

from harness.drawing.layout_model import (
    LayoutCluster,
    LayoutEdge,
    LayoutError,
    LayoutGraph,
    LayoutNode,
)
from harness.drawing.port_table import port_table

COMPASS = {"left": "w", "right": "e", "top": "n", "bottom": "s"}


def dot_text(graph: LayoutGraph) -> str:
    """DOT source of the graph; raises LayoutError for an unknown name."""
    names = {node.id: f"n{i}" for i, node in enumerate(graph.nodes)}
    _refuse_unknown(graph, names)
    digraph = Digraph("harness", graph_attr=_graph_attributes(graph))
    digraph.attr("node", label="", fixedsize="true", shape="box", fontname="DejaVu Sans")
    digraph.attr("edge", dir="none")
    _fill(digraph, graph, names, None)
    nodes = {node.id: node for node in graph.nodes}
    for index, edge in enumerate(graph.edges):
        _edge(digraph, index, edge, nodes, names)
    for row in graph.same_rank:
        with digraph.subgraph(graph_attr={"rank": "same"}) as rank:
            for node in row:
                rank.node(names[node])
    return str(digraph.source)


def _graph_attributes(graph: LayoutGraph) -> dict[str, str]:
    fixed = {
        "newrank": "true",
        "rankdir": graph.rankdir,
        "splines": graph.splines,
        "nodesep": f"{graph.nodesep / 72:.4f}",
        "ranksep": f"{graph.ranksep / 72:.4f}",
        "fontname": "DejaVu Sans",
        "start": "1",
    }
    return {**fixed, **graph.attributes}


def _refuse_unknown(graph: LayoutGraph, names: Mapping[str, str]) -> None:
    if len(names) < len(graph.nodes) or len({edge.id for edge in graph.edges}) < len(graph.edges):
        raise LayoutError("two nodes or two edges of the drawing share an id")
    clusters = {cluster.id for cluster in graph.clusters}
    wanted = {name for edge in graph.edges for name in (edge.tail, edge.head)}
    wanted |= {name for row in graph.same_rank for name in row}
    lost = wanted - set(names)
    lost |= {node.cluster for node in graph.nodes if node.cluster} - clusters
    lost |= {zone.parent for zone in graph.clusters if zone.parent} - clusters
    if lost:
        raise LayoutError(f"the drawing names what it does not hold: {', '.join(sorted(lost))}")


def _fill(part: Digraph, graph: LayoutGraph, names: Mapping[str, str], inside: str | None) -> None:
    for node in graph.nodes:
        if node.cluster == inside:
            part.node(names[node.id], **_node_attributes(node))
    for index, zone in enumerate(graph.clusters):
        if zone.parent == inside:
            with part.subgraph(name=f"cluster_{index}", graph_attr=_zone(zone)) as inner:
                _fill(inner, graph, names, zone.id)


def _zone(zone: LayoutCluster) -> dict[str, str]:
    return {"margin": f"{zone.margin:.2f}"}


def _node_attributes(node: LayoutNode) -> dict[str, str]:
    values = {"width": f"{node.width / 72:.5f}", "height": f"{node.height / 72:.5f}"}
    if node.ports:
        plain = {"shape": "plain", "fixedsize": "false", "width": "0", "height": "0"}
        values = {**plain, "label": port_table(node)}
    if node.group:
        values["group"] = node.group
    return values


def _edge(
    digraph: Any,
    index: int,
    edge: LayoutEdge,
    nodes: Mapping[str, LayoutNode],
    names: Mapping[str, str],
) -> None:
    tail = names[edge.tail] + _port(nodes[edge.tail], edge.tail_port)
    head = names[edge.head] + _port(nodes[edge.head], edge.head_port)
    values = {"id": f"e{index}", "weight": str(edge.weight), "minlen": str(edge.minlen)}
    if not edge.constraint:
        values["constraint"] = "false"
    digraph.edge(tail, head, **values)


def _port(node: LayoutNode, name: str | None) -> str:
    if name is None:
        return ""
    for index, port in enumerate(node.ports):
        if port.id == name:
            return f":p{index}:{COMPASS[port.side]}"
    raise LayoutError(f"{node.id} has no port {name}")
