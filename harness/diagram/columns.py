"""Columns that Graphviz found: parts whose middles lie above one another."""

from __future__ import annotations

from harness.drawing.layout_model import Laid

SAME = 1.0  # parts whose middles differ by less stand in one column, points


def columns_of(laid: Laid) -> dict[str, int]:
    """Number of the column each part stands in, 0 at the left."""
    middles = sorted({round(node.rect.center[0] / SAME) for node in laid.nodes.values()})
    return {n: middles.index(round(k.rect.center[0] / SAME)) for n, k in laid.nodes.items()}
