"""The links of a paper and what they lead to."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from harness.paper.anchors import row_anchor
from harness.paper.blocks import Heading, Paper, Picture, Ticks
from harness.paper.sheet import Table


def pictures_of(paper: Paper) -> Iterator[Picture]:
    """Yield every picture in the order in which they are written, those of steps included."""
    for block in (block for chapter in paper.chapters for block in chapter.blocks):
        if isinstance(block, Picture):
            yield block
        elif isinstance(block, Ticks):
            yield from (Picture(t.picture, "", "") for t in block.items if t.picture is not None)


def links_of(paper: Paper) -> Iterator[tuple[str, str]]:
    """Yield every link of a paper: (anchor, text)."""
    for block in (block for chapter in paper.chapters for block in chapter.blocks):
        if isinstance(block, Ticks):
            yield from (link for tick in block.items for link in tick.links)
        elif isinstance(block, Picture) and block.live:
            yield from (link for trace in block.traces for link in trace.links)


def targets_of(paper: Paper) -> set[str]:
    """Return every anchor of a paper; raises ValueError for one that stands twice."""
    found: list[str] = []
    rows: set[str] = set()
    for chapter in paper.chapters:
        found.append(chapter.anchor)
        for block in chapter.blocks:
            if isinstance(block, Heading) and block.anchor:
                found.append(block.anchor)
            elif isinstance(block, Table):
                rows |= {
                    row_anchor(chapter.anchor, r[0].text) for g in block.groups for r in g.rows
                }
    twins = sorted(name for name, count in Counter(found).items() if count > 1)
    if twins:
        raise ValueError(f"two places of the paper share an anchor: {', '.join(twins)}")
    return {*found, *rows}
