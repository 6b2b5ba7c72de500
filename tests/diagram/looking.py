"""Reports of the examples, and their pictures."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import kept

from harness.diagram import DrawnPage
from harness.drawing.bezier import Spline, curves, looks
from harness.drawing.scene import Group, Point, Text, walk
from harness.rules.run import Report

EXAMPLES = kept.FOLDER
GOOD = [path.stem for path in kept.GOOD]
BROKEN = [f"broken/{path.stem}" for path in kept.BROKEN]
VIEWS = ("run", "airframe", "power", "control")


def report_of(name: str) -> Report:
    return kept.report_at(kept.path_of(name))


def pages_of(name: str, view: str, page: str = "A4", case: str = "") -> tuple[DrawnPage, ...]:
    return kept.drawing(kept.path_of(name), view, page, case)[1]


def groups(pictures: Iterable[DrawnPage]) -> list[Group]:
    return [
        item
        for p in pictures
        for item in walk(p.scene.items)
        if isinstance(item, Group) and item.id
    ]


def ids(pictures: Iterable[DrawnPage]) -> set[str]:
    return {group.id for group in groups(pictures)}


def words(pictures: Iterable[DrawnPage], within: str = "") -> str:
    """All text, or that of the groups whose id starts with `within`, in one line."""
    found: list[str] = []
    for p in pictures:
        items = list(p.scene.items)
        if within:
            items = [g for g in walk(items) if isinstance(g, Group) and g.id.startswith(within)]
        found += [item.text for item in walk(items) if isinstance(item, Text)]
    return " ".join(found)


def along_spline(spline: Spline) -> Iterator[Point]:
    """Yield points along a chain of cubic curves, about STEP points apart."""
    for curve in curves(spline):
        yield from looks(curve)
