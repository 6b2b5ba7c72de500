"""Reports of the examples, and their pictures, made once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

from harness.diagram import DrawnPage, ViewWish, draw_pages
from harness.diagram.lead_points import along
from harness.drawing.bezier import Spline, curves
from harness.drawing.scene import Group, Point, Text, walk
from harness.plan.load import load_plan
from harness.rules.run import Report, check

EXAMPLES = Path(__file__).parents[2] / "examples"
GOOD = sorted(p.stem for p in EXAMPLES.glob("*.yaml") if "." not in p.stem)
BROKEN = sorted(f"broken/{path.stem}" for path in (EXAMPLES / "broken").glob("*.yaml"))
VIEWS = ("run", "airframe", "power", "control")


@cache
def report_of(name: str) -> Report:
    return check(load_plan(str(EXAMPLES / f"{name}.yaml")))


@cache
def pages_of(name: str, view: str, page: str = "A4") -> tuple[DrawnPage, ...]:
    return draw_pages(report_of(name), ViewWish(view=view, page=page))  # type: ignore[arg-type]


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
        yield from along(curve)
