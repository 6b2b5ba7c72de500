"""The airframe view: the whole aeroplane first, then a page a panel where that is too dense."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property

from harness.base.data import dataclass, replace
from harness.diagram.cuts import cut_around
from harness.diagram.findings import Numbered
from harness.diagram.from_above import SIDES, Aeroplane, aeroplane_of
from harness.diagram.lead_ribbons import turned_plugs
from harness.diagram.page import TitleWords, guard, page_size, scene_of
from harness.diagram.page_setting import PageSetting
from harness.diagram.panel_sheet import PanelSheet
from harness.diagram.printing import is_readable
from harness.diagram.run_layout import LARGEST, excess
from harness.diagram.scale_frame import Frame, LeadEnds, bare_frame, bend_of
from harness.diagram.scale_page import AbovePage, marked_on
from harness.diagram.sheets import loose_end
from harness.diagram.spots import apart, settled
from harness.diagram.stages import DrawnLead, Extract, PartsSheet
from harness.drawing.glyph import Glyph
from harness.drawing.layout_model import Laid, Rect
from harness.drawing.scene import Point, Scene
from harness.wiring.build import Mate

PANELS: Mapping[str, str] = {
    "left": "left wing", "right": "right wing", "body": "fuselage", "tail": "tail",
}  # fmt: skip
JOINT = 5.0  # breadth of the dot where leads are joined, points
CLOSER = 1.3  # how much larger than the whole free parts are moved about
SPREAD = "nose up, spread out: not to scale"
CROWD = 24  # more parts than this are halved untried
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
        self.sheets: dict[tuple[str, ...], PanelSheet] = {}
        self.spread: dict[str, tuple[PartsSheet, Laid]] = {}
        self.silent: set[str] = set()

    @cached_property
    def plane(self) -> Aeroplane:
        """The aeroplane with all its parts in their places."""
        plane = aeroplane_of(self.setting)
        mates = [m for m in self.setting.report.wiring.mates if m.socket]
        leads = [(m.plug.part.id, m.socket.part.id) for m in mates if m.socket]
        each = bare_frame(plane, self.size).each
        plane = replace(plane, parts=apart(plane, each))
        return replace(plane, parts=settled(plane, leads, each * (CLOSER if plane.scaled else 1)))

    def panels(self, cut: Extract, heading: TitleWords, *, place: str) -> list[Panel]:
        """Return the whole, and each panel where that is too dense; of a place its panel alone."""
        if place:
            return list(self._halved(Panel(cut, place), 0))
        page = self._page(whole := Panel(cut))
        page.scene(heading, ())
        dense = {self._region(page, name) for name in page.missed}
        dense |= set(SIDES) if dense & set(SIDES) else set()
        self.silent = {n for n in page.missed | page.beside if self._region(page, n) in dense}
        region = self.plane.region
        groups = {
            PANELS[key]: [p for p in cut.parts if region[p] == key]
            for key in PANELS
            if key in dense
        }
        return [
            whole,
            *(
                half
                for name, parts in groups.items()
                if parts
                for half in self._halved(self._panel(cut, parts, name), 0)
            ),
        ]

    def _region(self, page: AbovePage, name: str) -> str:
        """Return where there is too little room: the body, if a lead goes from there elsewhere."""
        ends = _ends(page.mates[name]) if name in page.mates else {name.removeprefix("part-")}
        found = {self.plane.region[part] for part in ends}
        return "body" if "body" in found else min(found)

    def _panel(self, cut: Extract, parts: Sequence[str], name: str) -> Panel:
        return Panel(cut_around(cut.mates, parts), name)

    def _halved(self, panel: Panel, depth: int) -> Iterator[Panel]:
        """Yield a panel, or its halves where it cannot be read on one page."""
        parts, spots = panel.cut.parts, self.plane.parts
        few, many = depth == DEEPEST or len(parts) < 4, len(parts) > CROWD
        if few or (not many and excess(self._spread(panel)[1], self.size) <= LARGEST):
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
        found = marked_on(self.found, panel.cut.parts, first=first)
        if panel.name:
            return self._spread_out(panel, heading, found, first=first)
        silent = self.silent if len(panels) > 1 else ()
        page = self.drawn[heading.page] = self._page(panel)
        scene = page.scene(heading, found, silent=silent)
        return scene, [] if page.listed else found

    def _spread_out(
        self, panel: Panel, heading: TitleWords, found: list[Numbered], *, first: bool
    ) -> tuple[Scene, list[Numbered]]:
        sheet, laid = self.spread[heading.page] = self._spread(panel)
        heading = replace(heading, missing=SPREAD)
        told = first and is_readable(page_size(laid, found, heading), heading.paper)
        scene = scene_of(self.setting.report, sheet, laid, found, heading, legend=told)
        guard(scene, panel.cut, sheet, found)
        return scene, [] if told else found

    def _spread(self, panel: Panel) -> tuple[PartsSheet, Laid]:
        key = panel.cut.parts
        if key not in self.sheets:
            self.sheets[key] = PanelSheet(self.setting, self.plane, panel.cut, self.turned)
        return self.sheets[key].laid(self.size)

    def _page(self, panel: Panel) -> AbovePage:
        """Lay the whole aeroplane out: signs and ways."""
        plan, cut, bare = self.setting.report.plan, panel.cut, bare_frame(self.plane, self.size)
        nodes, glyphs = dict[str, Rect](), dict[str, Glyph]()
        joints = [f"part-{name}" for name in cut.parts if plan.parts[name].is_lead]
        for name in cut.parts:
            wide, high, _ = plan.parts[name].footprint
            size = (JOINT, JOINT) if plan.parts[name].is_lead else (wide, high)
            nodes[f"part-{name}"] = _round(bare.at(self.plane.parts[name]), *size)
        for mate in cut.mates:
            if mate.socket is None:
                ident = f"nowhere-{'.'.join(mate.plug.id)}"
                glyphs[ident] = loose_end(mate, "").glyph
                nodes[ident] = self._nowhere(mate, glyphs[ident], nodes)
        mates = {f"lead-{'.'.join(m.plug.id)}": m for m in cut.mates}
        leads = {name: self._lead(mate) for name, mate in mates.items()}
        ways = {name: (lead.tail[0], lead.head[0]) for name, lead in leads.items()}
        bends = {n: self._bends(mates[n], ways[n], nodes, bare) for n in leads}
        ends = LeadEnds(nodes, ways, bends, joints)
        lines = {name: ends.line(name) for name in leads}
        frame = replace(bare, nodes=ends.nodes, lines=lines)
        return AbovePage(self.setting, self.plane, frame, leads, mates, glyphs)

    def _lead(self, mate: Mate) -> DrawnLead:
        """Return a lead from its socket to its part, or the way it is drawn in the run view."""
        name = ".".join(mate.plug.id)
        plug = f"part-{mate.plug.part.id}"
        socket = f"part-{mate.socket.part.id}" if mate.socket else f"nowhere-{name}"
        own, other = (plug, mate.plug.name), (socket, mate.socket.name if mate.socket else "lead")
        tail, head = (own, other) if mate.plug.id in self.turned else (other, own)
        return self.setting.strander.strand(mate, tail, head)

    def _bends(
        self, mate: Mate, way: tuple[str, str], nodes: Mapping[str, Rect], bare: Frame
    ) -> tuple[Point, ...]:
        if mate.socket is None:
            return ()
        own, other = mate.plug.part.id, mate.socket.part.id
        found = bend_of(self.plane, self.plane.parts[own], self.plane.parts[other])
        turned = way[0] == f"part-{own}" or way[1] == f"part-{other}"
        bends = [bare.at(at) for at in (found if turned else found[::-1])]
        return tuple(b for b in bends if not any(_holds(nodes[end], b) for end in way))

    def _nowhere(self, mate: Mate, glyph: Glyph, nodes: Mapping[str, Rect]) -> Rect:
        """Return where a plug should go but nothing is: beside its part."""
        x, y = nodes[f"part-{mate.plug.part.id}"].center
        tried = (
            (x + dx * glyph.width, y + dy)
            for dy in (0, -40, 40, -80, 80, -120, 120)
            for dx in (0.9, -0.9)
        )
        boxes = [_round(at, glyph.width, glyph.height) for at in tried]
        inside = [b for b in boxes if b.x > 0 and b.x + b.width < self.size[0]] or boxes
        free = (b for b in inside if not any(b.grown(6).meets(n) for n in nodes.values()))
        return next(free, inside[0])


def _ends(mate: Mate) -> set[str]:
    return {mate.plug.part.id, *([mate.socket.part.id] if mate.socket else [])}


def _round(at: Point, wide: float, high: float) -> Rect:
    return Rect(at[0] - wide / 2, at[1] - high / 2, wide, high)


def _holds(rect: Rect, at: Point) -> bool:
    return rect.x <= at[0] <= rect.x + rect.width and rect.y <= at[1] <= rect.y + rect.height
