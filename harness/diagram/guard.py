"""Refuse a picture in which a wire, a part, a marker or a letter is missing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from harness.base.refusal import Refusal
from harness.diagram.findings import Numbered, anchor_piece
from harness.diagram.stages import Extract, PartsSheet
from harness.drawing.font import missing_glyphs
from harness.drawing.layout_model import LostEdges
from harness.drawing.scene import Group, Item, Path, Scene, Text, walk


def guard(scene: Scene, cut: Extract, sheet: PartsSheet, found: Sequence[Numbered]) -> None:
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


def refuse_unwritable(scene: Scene) -> None:
    """Raise Refusal, naming character and part, for a text that the font cannot write."""
    for item, owner in _owned(scene.items, ""):
        if missing := missing_glyphs(item.text, item.weight):
            names = ", ".join(f"U+{ord(letter):04X}" for letter in missing)
            where = f" of {owner}" if owner else ""
            raise Refusal(
                f"the drawings' font has no {names} for the words {item.text!a}{where}; "
                "write it with letters that the font has"
            )


def _owned(items: Iterable[Item], owner: str) -> Iterator[tuple[Text, str]]:
    """Yield every text with the part or place it belongs to; parts first, words about them last."""
    inner = [i for i in items if isinstance(i, Group)]
    for group in sorted(inner, key=lambda g: not g.id.startswith("part-")):
        kind, _, name = group.id.partition("-")
        own = f'{kind} "{name}"' if kind in {"part", "place"} and "/" not in name else owner
        yield from _owned(group.items, own)
    yield from ((i, owner) for i in items if isinstance(i, Text) and i.text.strip())
