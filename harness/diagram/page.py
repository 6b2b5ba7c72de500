"""One page: zones, leads, parts, markers, legend, title block; or nothing but findings in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import count

from harness.base.data import dataclass, replace
from harness.diagram.findings import Numbered, anchor_piece, markers
from harness.diagram.lead_codes import CodeWriter
from harness.diagram.printing import inner_page, is_readable, on_paper
from harness.diagram.room import FreeRoom
from harness.diagram.stages import Extract, PartsSheet
from harness.diagram.zone_names import zones_of
from harness.drawing import look
from harness.drawing.layout_model import Laid, LostEdges, Rect
from harness.drawing.marks import TITLE, legend, title_block
from harness.drawing.pill import band, scale
from harness.drawing.ribbon import ribbon
from harness.drawing.scene import (
    Commands,
    Group,
    Item,
    Path,
    Point,
    Scene,
    moved_group,
    rect_path,
    spline_path,
    walk,
)
from harness.rules.run import Report

GAP = 8.0
EDGE = 2.0
HEAD = 64.0  # title block and the space below it on a page of words, points
HALO = 6.0  # how far the tint of a marked part or lead reaches beyond it, both sides together
FRAME = 3.0  # breadth of the frame round a marked part
GROWTH = 1.02  # of a page on which words found no room
SHARES = (1.0, 0.7, 0.5, 0.36, 0.27)  # of the page's width that a legend is tried on
SCALE_NOTES = (
    "Share is current over what plug, lead or wire bears; V is what arrives or is given.",
    "No number: under 5 mA, or motor wires. Computed from the plan: meter before you fly.",
)
Block = tuple[Group, float, float]
"""Something written on a page, with its width and height."""


@dataclass(frozen=True)
class TitleWords:
    """What the title block says."""

    aircraft: str
    view: str
    revision: str
    page: str
    paper: str = "A4"
    missing: str = ""
    about: str = ""
    listed: str = "findings"

    def block(self, notes: Sequence[str] = ()) -> Block:
        """Return the title block, with its width and height."""
        words = (self.aircraft, self.view, self.revision, self.page)
        return title_block("title", *words, notes=notes)

    def scene(self, size: Point, items: Iterable[Item], more: str = "") -> Scene:
        """Return a page of white paper with these items."""
        paper = Path(rect_path(0, 0, *size), fill=look.PAPER)
        title = f"{self.aircraft}, {self.view}{more}"
        return Scene(*size, (paper, *items), title, f"plan {self.revision}, {self.page}")


def scene_of(
    report: Report,
    sheet: PartsSheet,
    laid: Laid,
    found: Sequence[Numbered],
    heading: TitleWords,
    *,
    legend: bool = True,
) -> Scene:
    """Return the finished page; without `legend` the findings' words are left to another page."""
    spoken = found if legend else ()
    laid = shifted(laid, *centred(laid, spoken, heading))
    body = [*zones_of(report, laid), *leads_and_parts(sheet, laid)]
    size, extras = furnished(laid, spoken, heading)
    marks = markers(found, sheet, laid, (*body, *extras), size)
    return heading.scene(size, (*body, *marks, *extras))


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


def page_size(laid: Laid, found: Sequence[Numbered], heading: TitleWords) -> Point:
    """Return width and height of the page, words and all, or of one too large to be read."""
    laid = shifted(laid, *centred(laid, found, heading))
    return furnished(laid, found, heading, readable=True)[0]


def centred(laid: Laid, found: Sequence[Numbered], heading: TitleWords) -> Point:
    """Return how far a small drawing moves in from the corner, words kept clear."""
    wide, high = on_paper(laid.width, laid.height + 2 * EDGE, heading.paper)
    words = 64.0 + 24.0 * len(found)
    right = max((wide - laid.width) / 2, 0.0)
    return right, max((high - laid.height - words) / 2, EDGE)


def shifted(laid: Laid, right: float, down: float) -> Laid:
    """The layout moved on a page that is larger than it."""
    return Laid(
        {name: node.moved(right, down) for name, node in laid.nodes.items()},
        {n: tuple((x + right, y + down) for x, y in points) for n, points in laid.edges.items()},
        {name: rect.moved(right, down) for name, rect in laid.clusters.items()},
        laid.width + 2 * right,
        laid.height + down + EDGE,
        {name: (x + right, y + down) for name, (x, y) in laid.names.items()},
    )


def leads_and_parts(sheet: PartsSheet, laid: Laid) -> list[Group]:
    """Return ribbons and, above them, pictures where the layout put them."""
    items = _halos(sheet, laid)
    for s in sheet.strands:
        if s.reading:
            name = s.id.replace("lead-", "band-", 1)
            items.append(band(name, laid.edges[s.id], s.breadth, s.reading.amps, s.reading.share))
    for s in sheet.strands:
        casing = None if s.reading else look.PAPER
        items.append(
            ribbon(
                s.id,
                laid.edges[s.id],
                s.wires,
                gauge=s.gauge,
                title=s.title,
                classes=s.classes,
                casing=casing,
                sets=s.sets,
            )
        )
    for name, piece in sheet.pieces.items():
        rect = laid.nodes[name].rect
        items.append(moved_group(piece.glyph.group, rect.x, rect.y))
    return items + CodeWriter(sheet, laid).codes()


def _halos(sheet: PartsSheet, laid: Laid) -> list[Group]:
    """Return what lies under marked parts and leads."""
    found: list[Group] = []
    for name, color in sheet.halos.items():
        if name in laid.nodes:
            frame = laid.nodes[name].rect.grown(HALO / 2)
            path = rect_path(frame.x, frame.y, frame.width, frame.height, HALO)
            found.append(_halo(name, path, color, FRAME))
    for s in sheet.strands:
        if s.id in sheet.halos:
            color = sheet.halos[s.id]
            wide = s.breadth + HALO
            found.append(_halo(s.id, spline_path(laid.edges[s.id]), color, wide))
    return found


def _halo(name: str, path: Commands, color: str, wide: float) -> Group:
    """Return a coloured line with a thin dark edge, so that it is seen on any ground."""
    edge = Path(path, stroke=look.INK, width=wide + 1)
    return Group(f"halo-{name}", (edge, Path(path, stroke=color, width=wide)), ("halo",))


def furnished(
    laid: Laid, found: Sequence[Numbered], heading: TitleWords, *, readable: bool = False
) -> tuple[Point, list[Group]]:
    """Return a page's size, grown until its title block and legend have free room, and these.

    `readable`: grown no further than it can be read.
    """
    size = on_paper(laid.width, laid.height, heading.paper)
    for times in count():
        wide, high = (side * GROWTH**times for side in size)
        if readable and not is_readable((wide, high), heading.paper):
            return (wide, high), []
        room = _covered(laid, wide, high)
        for share in SHARES if found else SHARES[:1]:
            if extras := _placed(_words(found, heading, wide * share), room.copy(high)):
                return (wide, high), extras
    raise AssertionError  # the endless page has room


def _words(found: Sequence[Numbered], heading: TitleWords, wide: float) -> list[Block]:
    """Return the title block and, if there is anything to say, the legend."""
    about = look.wrapped(heading.about, look.SMALL, TITLE - 18)
    notes = [*about, heading.missing] if heading.missing else about
    blocks = [heading.block(notes)]
    if heading.about:
        blocks.append(scale("scale", SCALE_NOTES))
    if found:
        breadth = max(wide - 2 * GAP, 150.0)
        said, tall = legend("legend", found, breadth)
        blocks.append((said, breadth, tall))
    return blocks


def _placed(blocks: Sequence[Block], room: FreeRoom) -> list[Group]:
    """Put blocks into free corners, all but the title elsewhere too; none if one finds no room."""
    extras: list[Group] = []
    for block, across, tall in blocks:
        spot = _corner(room, across, tall)
        if spot is None and extras:
            whole = Rect(0.0, 0.0, room.wide, room.high)
            free = next(room.spots(across + 2 * GAP, tall + 2 * GAP, whole), None)
            spot = free and (free[0] + GAP, free[1] + GAP)
        if spot is None:
            return []
        room.cover([Rect(*spot, across, tall).grown(GAP)])
        extras.append(moved_group(block, *spot))
    return extras


def _covered(laid: Laid, wide: float, high: float) -> FreeRoom:
    room = FreeRoom(wide, high)
    rects = [*laid.clusters.values(), *(node.rect for node in laid.nodes.values())]
    room.cover(rect.grown(GAP) for rect in rects)
    room.cover_lines(laid.edges.values(), 6.0 + GAP)
    return room


def _corner(room: FreeRoom, across: float, tall: float) -> Point | None:
    far, low = room.wide - across - GAP, room.high - tall - GAP
    spots = ((GAP, GAP), (GAP, low), (far, low), (far, GAP), (GAP, low / 2), (far, low / 2))
    fits = far >= GAP and low >= GAP
    return next((s for s in spots if fits and room.is_free(Rect(*s, across, tall))), None)


def portions(found: Sequence[Numbered], paper: str) -> list[list[Numbered]]:
    """Share findings out among pages, in their order."""
    wide, high = inner_page(paper)
    pages: list[list[Numbered]] = []
    left = 0.0
    for finding in found:
        _, tall = legend("legend", [finding], wide - 2 * GAP)
        if not pages or tall > left:
            pages.append([])
            left = high - HEAD - GAP
        pages[-1].append(finding)
        left -= tall
    return pages


def words_scene(found: Sequence[Numbered], heading: TitleWords) -> Scene:
    """Return one page of findings in words."""
    size = inner_page(heading.paper)
    heading = replace(heading, view=f"{heading.view}, {heading.listed}")
    block, _, _ = heading.block()
    words, _ = legend("legend", found, size[0] - 2 * GAP)
    return heading.scene(size, (moved_group(block, GAP, GAP), moved_group(words, GAP, HEAD)))
