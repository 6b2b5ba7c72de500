"""One page: zones, leads, parts, markers, legend, title block."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from harness.checks.run import Report
from harness.documents.diagram.findings import Numbered, markers
from harness.documents.diagram.model import Sheet
from harness.documents.diagram.paper import on_paper, scale_on
from harness.documents.diagram.room import Room, along_spline
from harness.documents.diagram.words import spoken_id
from harness.drawing import glyphs as g
from harness.drawing import look
from harness.drawing.font import text_width
from harness.drawing.layout_model import Laid, LaidNode, Rect
from harness.drawing.ribbon import ribbon
from harness.drawing.scene import Group, Path, Point, Scene, moved_group, rect_path, text

GAP = 8.0
EDGE = 2.0
NAME_HIGH = 11.0  # of a place's name


@dataclass(frozen=True)
class Heading:
    """What the title block says."""

    aircraft: str
    view: str
    revision: str
    page: str
    paper: str = "A4"


def scene_of(
    report: Report,
    sheet: Sheet,
    laid: Laid,
    found: Sequence[Numbered],
    heading: Heading,
    behind: Callable[[Laid], list[Group]] = lambda _: [],
) -> Scene:
    """Return the finished page; `behind` draws what lies under everything else."""
    laid = lowered(laid, EDGE)
    body = [*behind(laid), *zones_of(report, sheet, laid), *leads_and_parts(sheet, laid)]
    body += markers(found, sheet, laid, body)
    size, extras = furnished(laid, found, heading)
    paper = Path(rect_path(0, 0, *size), fill=look.PAPER)
    title = f"{heading.aircraft}, {heading.view}"
    return Scene(*size, (paper, *body, *extras), title, f"plan {heading.revision}, {heading.page}")


def lowered(laid: Laid, by: float) -> Laid:
    """The layout with room for the edge of the page above and below it."""
    nodes = {
        name: LaidNode(
            replace(node.rect, y=node.rect.y + by),
            {port: (x, y + by) for port, (x, y) in node.ports.items()},
        )
        for name, node in laid.nodes.items()
    }
    edges = {name: tuple((x, y + by) for x, y in points) for name, points in laid.edges.items()}
    zones = {name: replace(rect, y=rect.y + by) for name, rect in laid.clusters.items()}
    return Laid(nodes, edges, zones, laid.width, laid.height + 2 * by)


def leads_and_parts(sheet: Sheet, laid: Laid) -> list[Group]:
    """Return ribbons and, above them, pictures where the layout put them."""
    items = [
        ribbon(s.id, laid.edges[s.id], s.wires, gauge=s.gauge, title=s.title, classes=s.classes)
        for s in sheet.strands
    ]
    for name, piece in sheet.pieces.items():
        rect = laid.nodes[name].rect
        items.append(moved_group(piece.glyph.group, rect.x, rect.y))
    return items


def zones_of(report: Report, sheet: Sheet, laid: Laid) -> list[Group]:
    """Return the tinted places, then their names where nothing covers them."""
    order = list(report.plan.places)
    room = Room(laid.width, laid.height)
    room.cover(node.rect for node in laid.nodes.values())
    for points in laid.edges.values():
        room.cover_line(along_spline(points), 5.0)
    shapes: list[Group] = []
    names: list[Group] = []
    for name in sorted(laid.clusters, key=order.index):
        words, rect = _zone_name(name, laid.clusters[name], room)
        zone = g.zone(f"place-{name}", rect, spoken_id(name), order.index(name))
        shapes.append(Group(zone.id, zone.items[:1], zone.classes, zone.title))
        names.append(words)
    return [*shapes, *names]


def _zone_name(name: str, rect: Rect, room: Room) -> tuple[Group, Rect]:
    """Return a place's name inside it, or in a strip added to it, and its shape."""
    wide = text_width(spoken_id(name).upper(), look.SMALL, "bold") + 4
    inner = Rect(rect.x + 6, rect.y + 2, rect.width - 10, rect.height - 4)
    above = Rect(rect.x + 2, rect.y - NAME_HIGH, rect.width - 4, NAME_HIGH)
    below = Rect(rect.x + 2, rect.y + rect.height, rect.width - 4, NAME_HIGH)
    grown = Rect(rect.x, rect.y - NAME_HIGH, rect.width, rect.height + NAME_HIGH)
    tall = Rect(rect.x, rect.y, rect.width, rect.height + NAME_HIGH)
    x, y, shape = rect.x + 6, rect.y + 2, rect
    for strip, larger in ((inner, rect), (above, grown), (below, tall)):
        if spot := next(room.spots(wide, NAME_HIGH, strip), None):
            (x, y), shape = spot, larger
            break
    room.cover([Rect(x, y, wide, NAME_HIGH)])
    shown = spoken_id(name).upper()
    words = text(x + 2, y + 8.2, shown, look.SMALL, weight="bold", fill=look.SOFT_INK)
    return Group("", (words,), ("place-name",)), shape


def furnished(
    laid: Laid, found: Sequence[Numbered], heading: Heading
) -> tuple[tuple[float, float], list[Group]]:
    """Return the page's size and its title block and legend, in free corners if there are any."""
    best: tuple[float, tuple[float, float], list[Group]] | None = None
    for share in (1.0, 0.7, 0.5, 0.36, 0.27):
        size, extras = _with_legend(laid, found, heading, share)
        fit = scale_on(size, heading.paper)
        if best is None or fit > best[0] + 1e-9:
            best = (fit, size, extras)
        if not found:
            break
    assert best is not None
    return best[1], best[2]


def _with_legend(
    laid: Laid, found: Sequence[Numbered], heading: Heading, share: float
) -> tuple[tuple[float, float], list[Group]]:
    wide, high = on_paper(laid.width, laid.height, heading.paper)
    blocks: list[tuple[Group, float, float]] = [
        g.title_block("title", heading.aircraft, heading.view, f"{heading.revision}", heading.page)
    ]
    if found:
        breadth = max(wide * share - 2 * GAP, 150.0)
        words, tall = g.legend("legend", [n.remark for n in found], breadth)
        blocks.append((words, breadth, tall))
    room = _covered(laid, wide, high)
    extras: list[Group] = []
    bottom = high
    for block, across, tall in blocks:
        spot = _corner(room, across, tall, wide, high)
        if spot is None:
            spot = (GAP, bottom + GAP)
            bottom += tall + 2 * GAP
        room.cover([Rect(spot[0] - GAP, spot[1] - GAP, across + 2 * GAP, tall + 2 * GAP)])
        extras.append(moved_group(block, *spot))
    return (on_paper(wide, bottom, heading.paper) if bottom > high else (wide, high)), extras


def _covered(laid: Laid, wide: float, high: float) -> Room:
    room = Room(wide, high)
    rects = [*laid.clusters.values(), *(node.rect for node in laid.nodes.values())]
    room.cover(Rect(r.x - GAP, r.y - GAP, r.width + 2 * GAP, r.height + 2 * GAP) for r in rects)
    for points in laid.edges.values():
        room.cover_line(along_spline(points), 6.0 + GAP)
    return room


def _corner(room: Room, across: float, tall: float, wide: float, high: float) -> Point | None:
    far, low = wide - across - GAP, high - tall - GAP
    spots = ((GAP, GAP), (GAP, low), (far, low), (far, GAP), (GAP, high / 2), (far, high / 2))
    fits = far >= GAP and low >= GAP
    free = (s for s in spots if fits and room.is_free(Rect(s[0], s[1], across, tall)))
    return next(free, None)


