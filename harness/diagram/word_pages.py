"""Pages of words: the findings of a drawing that leaves them no room."""

from __future__ import annotations

from collections.abc import Sequence

from harness.diagram.findings import Numbered
from harness.diagram.page import GAP, TitleWords
from harness.diagram.page_size import inner_page
from harness.drawing import glyphs as g
from harness.drawing import look
from harness.drawing.scene import Path, Scene, moved_group, rect_path

HEAD = 64.0  # title block and the space below it, points


def portions(found: Sequence[Numbered], paper: str) -> list[list[Numbered]]:
    """Share findings out among pages, in their order."""
    wide, high = inner_page(paper)
    pages: list[list[Numbered]] = []
    left = 0.0
    for finding in found:
        _, tall = g.legend("legend", [finding.remark], wide - 2 * GAP)
        if not pages or tall > left:
            pages.append([])
            left = high - HEAD - GAP
        pages[-1].append(finding)
        left -= tall
    return pages


def words_scene(found: Sequence[Numbered], heading: TitleWords) -> Scene:
    """Return one page of findings in words."""
    wide, high = inner_page(heading.paper)
    view = f"{heading.view}, {heading.listed}"
    block, _, _ = g.title_block("title", heading.aircraft, view, heading.revision, heading.page)
    words, _ = g.legend("legend", [n.remark for n in found], wide - 2 * GAP)
    paper = Path(rect_path(0, 0, wide, high), fill=look.PAPER)
    items = (paper, moved_group(block, GAP, GAP), moved_group(words, GAP, HEAD))
    title = f"{heading.aircraft}, {view}"
    return Scene(wide, high, items, title, f"plan {heading.revision}, {heading.page}")
