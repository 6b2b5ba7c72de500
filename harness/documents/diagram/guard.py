"""Refuse a picture in which a wire, a part or a marker is missing."""

from __future__ import annotations

from collections.abc import Sequence

from harness.documents.diagram.findings import Numbered, anchor_piece
from harness.documents.diagram.model import Cut, Sheet
from harness.drawing.layout_model import LostEdges
from harness.drawing.scene import Group, Path, Scene, walk


def guard(scene: Scene, cut: Cut, sheet: Sheet, found: Sequence[Numbered]) -> None:
    """Compare a finished page with what it was asked to show; raises LostEdges."""
    wanted = [f"lead-{'.'.join(mate.plug.id)}" for mate in cut.mates]
    wanted += [f"part-{part}" for part in cut.parts]
    wanted += [f"finding-{n.number}" for n in found if anchor_piece(n, sheet)]
    drawn = drawn_ids(scene)
    lost = tuple(name for name in wanted if name not in drawn)
    if lost:
        raise LostEdges(lost)


def drawn_ids(scene: Scene) -> set[str]:
    """Return the ids of groups that show something."""
    return {
        item.id
        for item in walk(scene.items)
        if isinstance(item, Group)
        and item.id
        and any(isinstance(inner, Path) for inner in walk(item.items))
    }
