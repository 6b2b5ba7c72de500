"""The airframe view: the whole aeroplane first, then a page a panel where that is too dense."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from math import ceil, dist, inf

from harness.base.data import dataclass, replace
from harness.diagram.cuts import cut_around
from harness.diagram.findings import Numbered
from harness.diagram.from_above import SIDES, Aeroplane, aeroplane_of
from harness.diagram.lead_ribbons import turned_plugs
from harness.diagram.page import TitleWords
from harness.diagram.page_setting import PageSetting
from harness.diagram.scale_frame import (
    Borders,
    Frame,
    LeadEnds,
    area_of,
    bare_frame,
    bend_of,
    spread,
)
from harness.diagram.scale_page import AbovePage, marked_on
from harness.diagram.sheets import loose_end, off_page
from harness.diagram.spots import apart, settled
from harness.diagram.stages import DrawnLead, Extract
from harness.drawing.glyph import Glyph
from harness.drawing.layout_model import Rect
from harness.drawing.scene import Point, Scene
from harness.wiring.build import Mate

PANELS: Mapping[str, str] = {
    "left": "left wing", "right": "right wing", "body": "fuselage", "tail": "tail",
}  # fmt: skip
JOINT = 5.0  # breadth of the dot where leads are joined, points
ABOVE, BESIDE = 50.0, 80.0  # of the paper for words round a panel, points
STUB = 150.0  # of the paper for the ends of leads that go on elsewhere, points
EDGE = 22.0  # from what is shown to those ends, points
CLOSER = 1.3  # how much larger than the whole a panel is shown, about
ASIDE = 90.0  # more of that to either side, where the page is broad, points
EVEN = 1e-6  # less than this is upright, or level, points
DEEPEST = 3  # how often a panel is halved at most


@dataclass(frozen=True, slots=True)
class Panel:
    """Some parts with their leads; `name` is empty for the whole aeroplane."""

    cut: Extract
    name: str = ""


class FromAbove:
    """Makes the pages of one wish on paper of a size; `drawn` are those that it made."""

    def __init__(self, setting: PageSetting, size: Point, found: Sequence[Numbered]) -> None:
        self.setting, self.size, self.found = setting, size, found
        self.turned = turned_plugs(setting.report.wiring)
        self.drawn: dict[str, AbovePage] = {}
        self.silent: set[str] = set()

    @cached_property
    def plane(self) -> Aeroplane:
        """The aeroplane with all its parts in their places."""
        plane = aeroplane_of(self.setting)
        mates = [m for m in self.setting.report.wiring.mates if m.socket]
        leads = [(m.plug.part.id, m.socket.part.id) for m in mates if m.socket]
        each = bare_frame(plane, plane.whole, self.size, Borders()).each
        plane = replace(plane, parts=apart(plane, each))
        return replace(plane, parts=settled(plane, leads, each * (CLOSER if plane.scaled else 1)))

    def panels(self, cut: Extract, heading: TitleWords, *, place: str) -> list[Panel]:
        """Return the whole, and each panel where that is too dense; of a place its panel alone."""
        self.heading = heading
        if place:
            return list(self._halved(Panel(cut, place), 0))
        page = self._tried(whole := Panel(cut))
        dense = {self._region(page, name) for name in page.missed | page.far}
        dense |= set(SIDES) if dense & set(SIDES) else set()
        self.silent = {name for name in page.missed | page.far | page.beside
                       if self._region(page, name) in dense}  # fmt: skip
        region = self.plane.region
        groups = {PANELS[key]: [p for p in cut.parts if region[p] == key]
                  for key in PANELS if key in dense}  # fmt: skip
        return [whole, *(half for name, parts in groups.items() if parts
                         for half in self._halved(self._panel(cut, parts, name), 0))]  # fmt: skip

    def _region(self, page: AbovePage, name: str) -> str:
        """Return where there is too little room: the body, if a lead goes from there elsewhere."""
        ends = _ends(page.mates[name]) if name in page.mates else {name.removeprefix("part-")}
        found = {self.plane.region[part] for part in ends}
        return "body" if "body" in found else min(found)

    def _panel(self, cut: Extract, parts: Sequence[str], name: str) -> Panel:
        return Panel(cut_around(cut.mates, parts), name)

    def _tried(self, panel: Panel) -> AbovePage:
        """Return a page drawn to see what finds no room."""
        page = self._page(panel)
        page.scene(self.heading, ())
        return page

    def _halved(self, panel: Panel, depth: int) -> Iterator[Panel]:
        """Yield a panel, or its halves where not all words find room on it."""
        parts, spots = panel.cut.parts, self.plane.parts
        if depth == DEEPEST or len(parts) < 4 or not self._tried(panel).missed:
            yield panel
            return
        xs, ys = zip(*(spots[p] for p in parts), strict=True)
        axis = 0 if max(xs) - min(xs) >= max(ys) - min(ys) else 1
        row = sorted(parts, key=lambda p: (round(spots[p][axis], 3), p))
        for half in (row[: len(row) // 2], row[len(row) // 2 :]):
            kept = [p for p in parts if p in half]
            yield from self._halved(self._panel(panel.cut, kept, panel.name), depth + 1)

    def scene(
        self, panel: Panel, heading: TitleWords, panels: Sequence[Panel]
    ) -> tuple[Scene, list[Numbered]]:
        """Return the page, and the findings whose words found no room on it."""
        first = panel is panels[0]
        silent = self.silent if len(panels) > 1 and not panel.name else ()
        found = marked_on(self.found, panel.cut.parts, first=first)
        page = self.drawn[heading.page] = self._page(panel)
        scene = page.scene(heading, found, silent=silent, legend=first)
        return scene, [] if page.listed else found

    def _page(self, panel: Panel) -> AbovePage:
        return _Laying(self, panel).page()


class _Laying:
    """Lays one page out: signs, the ends of leads that go on elsewhere, and ways."""

    def __init__(self, maker: FromAbove, panel: Panel) -> None:
        self.setting, self.plane, self.size = maker.setting, maker.plane, maker.size
        self.cut, self.turned, self.panel = panel.cut, maker.turned, panel
        self.shown, self.plan = set(panel.cut.parts), self.setting.report.plan
        self.glyphs: dict[str, Glyph] = {}
        self.nodes: dict[str, Rect] = {}
        self.fixed: dict[str, Point] = {}
        homes = {self.setting.home(self.plan.parts[n]) for n in self.shown}
        homes |= {self.plan.root(home) for home in homes}
        self.area = area_of(self.plane, self.cut.parts, homes)
        self.frame = self._bare()

    def page(self) -> AbovePage:
        for name in self.cut.parts:
            part = self.plan.parts[name]
            wide, high, _ = (JOINT, JOINT, "") if part.is_lead else part.footprint
            self.nodes[f"part-{name}"] = _round(self.frame.at(self.plane.parts[name]), wide, high)
        self._stubs()
        mates = {f"lead-{'.'.join(m.plug.id)}": m for m in self.cut.mates}
        leads = {name: self._lead(mate) for name, mate in mates.items()}
        ways = {name: (lead.tail[0], lead.head[0]) for name, lead in leads.items()}
        bends = {name: self._bends(mates[name], ways[name]) for name in leads}
        joints = [f"part-{name}" for name in self.cut.parts if self.plan.parts[name].is_lead]
        ends = LeadEnds(self.nodes, ways, bends, self.fixed, joints)
        lines = {name: ends.line(name) for name in leads}
        frame = replace(self.frame, nodes=ends.nodes, lines=lines)
        return AbovePage(self.setting, self.plane, frame, leads, mates, self.glyphs)

    def _bare(self) -> Frame:
        if not self.panel.name:
            return bare_frame(self.plane, self.plane.whole, self.size, Borders())
        area = self.area
        beyond = [self.plane.parts[p] for m in self.cut.mates for p in _ends(m) - self.shown]
        left = any(x < area.x for x, _ in beyond)
        right = any(x > area.x + area.width for x, _ in beyond)
        low = any(y > area.y + area.height for _, y in beyond)
        sides = (STUB if some else BESIDE for some in (left, right))
        borders = Borders(next(sides), ABOVE, next(sides), ABOVE + 10.0 * low)
        return bare_frame(self.plane, area, self.size, borders)

    def _lead(self, mate: Mate) -> DrawnLead:
        """Return a lead from its socket to its part, or the way it is drawn in the run view."""
        name = ".".join(mate.plug.id)
        plug = self._node(mate.plug.part.id, name)
        socket = self._node(mate.socket.part.id, name) if mate.socket else f"nowhere-{name}"
        own, other = (plug, mate.plug.name), (socket, mate.socket.name if mate.socket else "lead")
        tail, head = (own, other) if mate.plug.id in self.turned else (other, own)
        return self.setting.strander.strand(mate, tail, head)

    def _node(self, part: str, lead: str) -> str:
        return f"part-{part}" if part in self.shown else f"beyond-{lead}"

    def _bends(self, mate: Mate, way: tuple[str, str]) -> tuple[Point, ...]:
        if mate.socket is None:
            return ()
        own, other = f"part-{mate.plug.part.id}", f"part-{mate.socket.part.id}"
        found = bend_of(self.plane, self.plane.parts[own[5:]], self.plane.parts[other[5:]])
        turned = way[0] == own or way[1] == other
        bends = [self.frame.at(at) for at in (found if turned else found[::-1])]
        signs = [self.nodes[end] for end in way]
        outer = Rect(0, 0, *self.size)
        return tuple(b for b in bends if _holds(outer, b) and all(not _holds(s, b) for s in signs)
                     and not any(n in self.fixed and self._beyond(b, n) for n in way))  # fmt: skip

    def _beyond(self, at: Point, node: str) -> bool:
        """Say whether a bend lies nearer to the edge than the end that stands there."""
        x, y = self.fixed[node]
        wide, high = self.size
        return dist(at, (wide / 2, high / 2)) >= dist((x, y), (wide / 2, high / 2))

    def _stubs(self) -> None:
        """Put the ends of leads that go on elsewhere along the edges, in the order they arrive."""
        sides: dict[str, list[tuple[float, str, Mate, str]]] = {}
        for mate in self.cut.mates:
            name = ".".join(mate.plug.id)
            if mate.socket is None:
                self._nowhere(mate, f"nowhere-{name}")
                continue
            for far in _ends(mate) - self.shown:
                near = next(iter(_ends(mate) & self.shown))
                side, at = self._exit(near, far)
                sides.setdefault(side, []).append((at, f"beyond-{name}", mate, far))
        for side, row in sides.items():
            self._stand(side, sorted(row, key=lambda r: (round(r[0], 2), r[1])))

    def _nowhere(self, mate: Mate, ident: str) -> None:
        """Where a plug should go but nothing is: beside its part."""
        glyph = self.glyphs[ident] = loose_end(mate, "").glyph
        x, y = self.nodes[f"part-{mate.plug.part.id}"].center
        tried = ((x + dx * glyph.width, y + dy) for dy in (0, -40, 40, -80, 80, -120, 120)
                 for dx in (0.9, -0.9))  # fmt: skip
        boxes = [_round(at, glyph.width, glyph.height) for at in tried]
        inside = [b for b in boxes if b.x > 0 and b.x + b.width < self.size[0]]
        free = (b for b in inside if not any(b.grown(6).meets(n) for n in self.nodes.values()))
        self.nodes[ident] = next(free, inside[0] if inside else boxes[0])

    def _exit(self, near: str, far: str) -> tuple[str, float]:
        """Return the edge by which a lead leaves the page, and how far along it."""
        region = self.plane.region[near]
        (ax, ay), (bx, by) = (self.frame.at(self.plane.parts[n]) for n in (near, far))
        left, top, right, low = self._rim().box
        dx, dy = bx - ax, by - ay
        across, along = ("right", right) if dx > 0 else ("left", left), ("low", low)
        along = along if dy > 0 else ("top", top)
        ways = {
            across[0]: (across[1] - ax) / dx if abs(dx) > EVEN else inf,
            along[0]: (along[1] - ay) / dy if abs(dy) > EVEN else inf,
        }
        side = {"left": "right", "right": "left"}.get(region, min(ways, key=lambda s: ways[s]))
        if ways.get(side, 2.0) > 1.0:
            return (side if region in SIDES else "right" if dx > 0 else "left"), by
        at = (ax + dx * ways[side], ay + dy * ways[side])
        return side, at[1] if side in SIDES else at[0]

    def _rim(self) -> Rect:
        """Where the ends of leads that go on elsewhere stand, if the page is broad enough."""
        left, top, right, low = self.frame.rect(self.area).grown(EDGE).box
        left, right = max(left - ASIDE, min(left, STUB)), right + ASIDE
        right = min(right, max(right - ASIDE, self.size[0] - STUB))
        return Rect(left, top, right - left, low - top)

    def _stand(self, side: str, row: Sequence[tuple[float, str, Mate, str]]) -> None:
        made = [off_page(self.setting, mate, self.plan.parts[far], at_right=side != "left").glyph
                for _, _, mate, far in row]  # fmt: skip
        level = side in SIDES
        gaps = [glyph.height + 4 if level else glyph.width + 6 for glyph in made]
        room = self.size[level] - 8.0
        shelves = ceil(sum(gaps) / room)
        gaps = [gap / shelves for gap in gaps]
        least = max(gaps) * (shelves - 1) / 2 + 4.0  # the outer ones reach beyond their own share
        places = spread([r[0] for r in row], gaps, least, self.size[level] - least)
        step = max(g.width if level else g.height for g in made) + 4.0
        for n, (at, (_, ident, _, _), glyph) in enumerate(zip(places, row, made, strict=True)):
            self.glyphs[ident] = glyph
            edge = self._edge(side, glyph, step * (shelves - 1))
            edge += step * (n % shelves) * (-1 if side in {"left", "top"} else 1)
            end = self.fixed[ident] = (edge, at) if level else (at, edge)
            back = {"left": -glyph.width, "top": -glyph.height}.get(side, 0.0)
            x = end[0] + back if level else at - glyph.width / 2
            y = at - glyph.height / 2 if level else end[1] + back
            self.nodes[ident] = Rect(x, y, glyph.width, glyph.height)

    def _edge(self, side: str, glyph: Glyph, more: float) -> float:
        """Return where leads end at an edge, its words still on the page, and `more` beyond."""
        left, top, right, low = self._rim().box
        return {
            "left": max(left, glyph.width + 4 + more), "top": max(top, glyph.height + 4 + more),
            "right": min(right, self.size[0] - glyph.width - 4 - more),
            "low": min(low, self.size[1] - glyph.height - 4 - more),
        }[side]  # fmt: skip


def _ends(mate: Mate) -> set[str]:
    return {mate.plug.part.id, *([mate.socket.part.id] if mate.socket else [])}


def _round(at: Point, wide: float, high: float) -> Rect:
    return Rect(at[0] - wide / 2, at[1] - high / 2, wide, high)


def _holds(rect: Rect, at: Point) -> bool:
    return rect.x <= at[0] <= rect.x + rect.width and rect.y <= at[1] <= rect.y + rect.height
