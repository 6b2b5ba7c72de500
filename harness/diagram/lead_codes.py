"""Label codes along the leads: near the plug, and again on every long straight stretch."""

from __future__ import annotations

from collections.abc import Iterator
from math import dist

from harness.base.data import dataclass
from harness.diagram.stages import DrawnLead, PartsSheet
from harness.diagram.zone_names import name_width
from harness.drawing import look
from harness.drawing.bezier import Curve, curves, is_plain, length
from harness.drawing.font import text_width
from harness.drawing.layout_model import Laid, Rect
from harness.drawing.scene import Group, Item, Path, Point, rect_path, text

TRUNK = 150.0  # a straight stretch longer than this says whose it is
SHORT = 90.0  # a lead no longer than this is told by the label at its other end
HIGH = 9.6
BESIDE = 3.0  # of bare lead before and after a code
ASIDE = 5.0  # from a code to a lead that crosses its own, so that no splinter shows between
PLUG = 16.0  # beside a plug, where a pulled pin is shown
STEP = 6.0
FAR = 22.0  # a code this near says it already


@dataclass(frozen=True)
class LeadStretch:
    """A straight piece of a lead, from its plug's end onwards."""

    start: Point
    end: Point

    @property
    def level(self) -> bool:
        """Say whether it runs from left to right or back."""
        return self.start[1] == self.end[1]

    @property
    def size(self) -> float:
        """Its length, points."""
        return abs(self.end[0] - self.start[0]) + abs(self.end[1] - self.start[1])

    def at(self, distance: float) -> Point:
        """Return the point so far from its start."""
        share = distance / self.size
        (ax, ay), (bx, by) = self.start, self.end
        return ax + (bx - ax) * share, ay + (by - ay) * share

    def box(self, middle: Point, wide: float) -> Rect:
        """Return what a code covers that is written along it."""
        across, tall = (wide, HIGH) if self.level else (HIGH, wide)
        return Rect(middle[0] - across / 2, middle[1] - tall / 2, across, tall)


class CodeWriter:
    """Finds room for the codes on the leads of one page, where they cover nothing else."""

    def __init__(self, sheet: PartsSheet, laid: Laid) -> None:
        self.sheet, self.laid = sheet, laid
        self.stretches = {s.id: list(_stretches(s, laid)) for s in sheet.strands}
        self.lines = [
            (s.id, _grown(curve, s.breadth / 2 + 0.5))
            for s in sheet.strands
            for curve in curves(laid.edges[s.id])
        ]
        self.taken = [node.rect for node in laid.nodes.values()]
        for key, (x, y) in laid.names.items():
            self.taken.append(Rect(x, y, name_width(key.partition(" ")[0]), HIGH))

    def codes(self) -> list[Group]:
        """Return one group for each lead that says its name on the way."""
        return [group for lead in self.sheet.strands if (group := self._written(lead)).items]

    def _written(self, lead: DrawnLead) -> Group:
        wide = text_width(lead.code, look.SMALL, "bold") + 3
        found: list[tuple[LeadStretch, Point]] = []
        if lead.code and length(self.laid.edges[lead.id]) > SHORT:
            found += self._first(lead, wide)
            for stretch in self.stretches[lead.id]:
                told = [at for own, at in found if own is stretch]
                found += self._middle(lead, stretch, wide, *told)
        items = [item for stretch, at in found for item in _code(lead.code, stretch, at, wide)]
        name = lead.id.replace("lead-", "code-", 1) if items else ""
        return Group(name, tuple(items), ("lead-code",), lead.title)

    def _first(self, lead: DrawnLead, wide: float) -> list[tuple[LeadStretch, Point]]:
        """Return the first place along a lead from its plug onwards."""
        gone, total = 0.0, sum(stretch.size for stretch in self.stretches[lead.id])
        for stretch in self.stretches[lead.id]:
            start = max(PLUG - gone, BESIDE)
            if total - gone - start - wide < FAR:
                break
            if spot := self._place(lead, stretch, wide, start, forward=True):
                return [spot]
            gone += stretch.size
        return []

    def _middle(
        self, lead: DrawnLead, stretch: LeadStretch, wide: float, told: Point | None = None
    ) -> list[tuple[LeadStretch, Point]]:
        """Return the middle of what is left of a long stretch behind the code it has."""
        begin = dist(stretch.start, told) + wide / 2 if told else 0.0
        start = begin + (stretch.size - begin - wide) / 2
        spot = stretch.size - begin > TRUNK and self._place(
            lead, stretch, wide, start, forward=False
        )
        return [spot] if spot else []

    def _place(
        self, lead: DrawnLead, stretch: LeadStretch, wide: float, start: float, *, forward: bool
    ) -> tuple[LeadStretch, Point] | None:
        """Return where a code has room on a stretch, nearest to a distance from its start."""
        others = [line for name, line in self.lines if name != lead.id]
        for step in range(int(stretch.size / STEP) + 1):
            for way in (1, -1)[: 1 if forward else 2]:
                begin = start + way * step * STEP
                if not BESIDE <= begin <= stretch.size - wide - BESIDE:
                    continue
                at = stretch.at(begin + wide / 2)
                box, along = stretch.box(at, wide), stretch.box(at, wide + 2 * ASIDE)
                if not any(map(box.meets, self.taken)) and not any(map(along.meets, others)):
                    self.taken.append(box)
                    return stretch, at
        return None


def _stretches(lead: DrawnLead, laid: Laid) -> Iterator[LeadStretch]:
    """Yield the straight pieces of a lead, from its plug's end onwards."""
    joined: list[LeadStretch] = []
    for a, _, _, b in filter(is_plain, curves(laid.edges[lead.id])):
        last = joined[-1] if joined else None
        if last and last.end == a and last.level == (a[1] == b[1]):
            joined[-1] = LeadStretch(last.start, b)
        elif a != b:
            joined.append(LeadStretch(a, b))
    if joined and joined[-1].level:  # as far as the label at its end
        (ax, y), (bx, _), rect = joined[-1].start, joined[-1].end, laid.nodes[lead.head[0]].rect
        rim = max(ax, min(bx, rect.x)) if ax < bx else min(ax, max(bx, rect.x + rect.width))
        joined[-1] = LeadStretch((ax, y), (rim, y))
    yield from joined


def _grown(curve: Curve, half: float) -> Rect:
    xs, ys = zip(*curve, strict=True)
    return Rect(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys)).grown(half)


def _code(code: str, stretch: LeadStretch, at: Point, wide: float) -> Iterator[Item]:
    """Yield a code on bare paper; upright it is read from below."""
    box = stretch.box(at, wide)
    yield Path(rect_path(box.x, box.y, box.width, box.height, 2), fill=look.PAPER, opacity=0.92)
    x, y = (at[0], at[1] + 2.9) if stretch.level else (at[0] + 2.9, at[1])
    turn = 0.0 if stretch.level else -90.0
    yield text(x, y, code, look.SMALL, anchor="middle", weight="bold", fill=look.INK, angle=turn)
