"""The wiring handed to networkx: its components by copper are our nets."""

from __future__ import annotations

from pathlib import Path

import networkx as nx
import pytest

from harness import as_graph, build, load_plan
from harness.parts.contacts import COPPER

PLANS = sorted(
    p for p in (Path(__file__).parents[2] / "examples").rglob("*.yaml") if "." not in p.stem
)


@pytest.mark.parametrize("path", PLANS, ids=lambda p: p.stem)
def test_nets_are_the_components_by_copper(path: Path) -> None:
    wiring = build(load_plan(str(path)))
    graph = as_graph(wiring)
    copper = {kind.name for kind in COPPER}
    bare = nx.Graph()
    bare.add_nodes_from(graph)
    bare.add_edges_from((a, b) for a, b, kind in graph.edges(data="kind") if kind in copper)
    theirs = {frozenset(net) for net in nx.connected_components(bare)}
    ours = {frozenset(net) for net in wiring.nets.members.values()}
    assert ours == theirs


def test_nodes_and_edges_carry_what_the_docstring_says() -> None:
    graph = as_graph(build(load_plan(str(PLANS[0].parents[0] / PLANS[0].name))))
    assert {"signal", "positive", "negative"} <= {role for _, role in graph.nodes(data="role")}
    source = next(d for _, _, d in graph.edges(data=True) if d["kind"] == "SOURCE")
    assert source["volts"] > 0
    assert source["high"].pin == "positive"
