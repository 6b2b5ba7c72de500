"""A lead begins at a device: the thing itself; networkx finds the same rings."""

from __future__ import annotations

import networkx as nx
import pytest
from support import report_of

RULE = "leads-in-a-ring"


@pytest.mark.parametrize(
    ("text", "rings"),
    [
        ("leads: {a: {kind: y, plug: b.1}, b: {kind: y, plug: a.1}}", [{"a", "b"}]),
        ("leads: {a: {kind: y, plug: b.1}, b: {kind: y}}", []),
        (
            "power-leads: {a: {kind: extension, supply: b.1}, b: {kind: extension, supply: c.1},"
            " c: {kind: extension, supply: a.1}}",
            [{"a", "b", "c"}],
        ),
        (
            "leads: {a: {kind: y, plug: b.1}, b: {kind: y, plug: a.1}}\n"
            "power-leads: {c: {kind: extension, supply: d.1}, d: {kind: extension, supply: c.1}}",
            [{"a", "b"}, {"c", "d"}],
        ),
        ("receivers: {rx: {sockets: 2}}\nleads: {a: {kind: y, plug: rx.1}}", []),
    ],
)
def test_rings(text: str, rings: list[set[str]]) -> None:
    report = report_of(text + "\n")
    found = [set(f.parts) for f in report.findings if f.rule == RULE]
    assert sorted(map(sorted, found)) == sorted(map(sorted, rings))
    pairs = [(m.plug.part.id, m.socket.part.id) for m in report.wiring.mates if m.socket]
    theirs = [c for c in nx.strongly_connected_components(nx.DiGraph(pairs)) if len(c) > 1]
    assert sorted(map(sorted, theirs)) == sorted(map(sorted, rings))
