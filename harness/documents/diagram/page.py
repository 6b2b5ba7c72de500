"""One page: zones, leads, parts, markers, legend, title block."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from harness.checks.run import Report
from harness.documents.diagram.findings import Numbered, markers
from harness.documents.diagram.model import Sheet
from harness.documents.diagram.paper import on_paper, scale_on
from harness.documents.diagram.room import Room
from harness.documents.diagram.words import spoken_id
from harness.drawing import glyphs as g
from harness.drawing import look
from harness.drawing.font import text_width
from harness.drawing.layout_model import Laid, LaidNode, Rect
from harness.drawing.ribbon import ribbon
from harness.drawing.scene import Group, Path, Point, Scene, moved_group, rect_path, text
from harness.reader.plan import Plan

GAP = 8.0
EDGE = 2.0
NAME_HIGH = 11.0  # of a place's name
SHARES = (1.0, 0.7, 0.5, 0.36, 0.27)  # of the page's width that a legend is tried on
Block = tuple[Group, float, float]
"""Something written on a page, with its width and height."""


@dataclass(frozen=True)
class Heading:
    """What the title block says."""

    aircraft: str
    view: str
    revision: str
    page: str
    paper: str = "A4"
    missing: str = ""


def scene_of(
    report: Report,
    sheet: Sheet,
    laid: Laid,
    found: Sequence[Numbered],
    heading: Heading,
    behind: Callable[[Laid], list[Group]] = lambda _: [],
    *,
    legend: bool = True,
) -> Scene:
    """Return the finished page; `behind` draws what lies under everything else.

    Without `legend` the findings are marked and their words left to another page.
    """
    spoken = found if legend else ()
    laid = shifted(laid, *centred(laid, spoken, heading))
    body = [*behind(laid), *zones_of(report, sheet, laid), *leads_and_parts(sheet, laid)]
    body += markers(found, sheet, laid, body)
    size, extras = furnished(laid, spoken, heading)
    paper = Path(rect_path(0, 0, *size), fill=look.PAPER)
    title = f"{heading.aircraft}, {heading.view}"
    return Scene(*size, (paper, *body, *extras), title, f"plan {heading.revision}, {heading.page}")


def page_size(laid: Laid, found: Sequence[Numbered], heading: Heading) -> Point:
    """Return width and height of the page, words and all, without drawing it."""
    return furnished(shifted(laid, *centred(laid, found, heading)), found, heading)[0]


def centred(laid: Laid, found: Sequence[Numbered], heading: Heading) -> Point:
    """Return how far a small drawing moves in from the corner, words kept clear."""
    wide, high = on_paper(laid.width, laid.height + 2 * EDGE, heading.paper)
    words = 64.0 + 24.0 * len(found)
    right = max((wide - laid.width) / 2, 0.0)
    return right, max((high - laid.height - words) / 2, EDGE)


def shifted(laid: Laid, right: float, down: float) -> Laid:
    """The layout moved on a page that is larger than it."""

    def moved(rect: Rect) -> Rect:
        return replace(rect, x=rect.x + right, y=rect.y + down)

    def moved_node(node: LaidNode) -> LaidNode:
        ports = {name: (x + right, y + down) for name, (x, y) in node.ports.items()}
        return LaidNode(moved(node.rect), ports)

    return Laid(
        {name: moved_node(node) for name, node in laid.nodes.items()},
        {n: tuple((x + right, y + down) for x, y in points) for n, points in laid.edges.items()},
        {name: moved(rect) for name, rect in laid.clusters.items()},
        laid.width + 2 * right,
        laid.height + down + EDGE,
    )


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
    room.cover_lines(laid.edges.values(), 5.0)
    shapes: list[Group] = []
    names: list[Group] = []
    for name in sorted(laid.clusters, key=order.index):
        words, rect = _zone_name(name, laid.clusters, room, report.plan)
        zone = g.zone(f"place-{name}", rect, spoken_id(name), order.index(name))
        shapes.append(Group(zone.id, zone.items[:1], zone.classes, zone.title))
        names.append(words)
    return [*shapes, *names]


def _zone_name(name: str, zones: Mapping[str, Rect], room: Room, plan: Plan) -> tuple[Group, Rect]:
    """Return a place's name inside it, or in a strip added to it, and its shape."""
    shown, rect = spoken_id(name).upper(), zones[name]
    wide = text_width(shown, look.SMALL, "bold") + 4
    others = [z for other, z in zones.items() if other not in plan.holds(name)]
    for strip, grown in _strips(rect):
        free = (s for s in room.spots(wide, NAME_HIGH, strip) if not _hits(s, wide, others))
        inside = strip.width <= rect.width
        spot = next(free, None) if inside else min(free, key=lambda s: _away(s, wide, rect),
                                                   default=None)  # fmt: skip
        if spot:
            (x, y), shape = spot, grown
            break
    else:
        return Group("", (), ("place-name",)), rect
    room.cover([Rect(x, y, wide, NAME_HIGH)])
    words = text(x + 2, y + 8.2, shown, look.SMALL, weight="bold", fill=look.SOFT_INK)
    return Group("", (words,), ("place-name",)), shape


def _away(spot: Point, wide: float, rect: Rect) -> float:
    """Return how far a name stands from a place's edge."""
    x, y = spot
    across = max(rect.x - x - wide, x - rect.x - rect.width, 0.0)
    return across + max(rect.y - y - NAME_HIGH, y - rect.y - rect.height, 0.0)


def _strips(rect: Rect) -> Iterator[tuple[Rect, Rect]]:
    """Yield where a place's name may stand, best first, each with the place's shape then."""
    across, tall = rect.width - 10, rect.height - 4
    yield Rect(rect.x + 6, rect.y + 2, across, NAME_HIGH + 3), rect
    above = Rect(rect.x + 2, rect.y - NAME_HIGH, rect.width - 4, NAME_HIGH)
    yield above, replace(rect, y=above.y, height=rect.height + NAME_HIGH)
    yield Rect(rect.x + 6, rect.y + 2, across, tall), rect
    below = Rect(rect.x + 2, rect.y + rect.height, rect.width - 4, NAME_HIGH)
    yield below, replace(rect, height=rect.height + NAME_HIGH)
    yield Rect(rect.x - 60, rect.y - 30, rect.width + 120, rect.height + 60), rect


def _hits(spot: Point, wide: float, zones: Sequence[Rect]) -> bool:
    x, y = spot
    return any(
        x < z.x + z.width and z.x < x + wide and y < z.y + z.height and z.y < y + NAME_HIGH
        for z in zones
    )


def furnished(laid: Laid, found: Sequence[Numbered], heading: Heading) -> tuple[Point, list[Group]]:
    """Return the page's size and its title block and legend, in free corners if there are any."""
    wide, high = on_paper(laid.width, laid.height, heading.paper)
    room = _covered(laid, wide, high)
    best: tuple[float, Point, list[Group]] | None = None
    for share in SHARES if found else SHARES[:1]:
        size, extras = _placed(_words(found, heading, wide * share), room.copy(), heading.paper)
        fit = scale_on(size, heading.paper)
        if best is None or fit > best[0] + 1e-9:
            best = (fit, size, extras)
    assert best is not None
    return best[1], best[2]


def _words(found: Sequence[Numbered], heading: Heading, wide: float) -> list[Block]:
    """Return the title block and, if there is anything to say, the legend."""
    words = (heading.aircraft, heading.view, heading.revision, heading.page)
    blocks = [g.title_block("title", *words, note=heading.missing)]
    if found:
        breadth = max(wide - 2 * GAP, 150.0)
        legend, tall = g.legend("legend", [n.remark for n in found], breadth)
        blocks.append((legend, breadth, tall))
    return blocks


def _placed(blocks: Sequence[Block], room: Room, paper: str) -> tuple[Point, list[Group]]:
    """Put blocks into free corners, else below the drawing; return the page's size too."""
    wide, high = room.wide, room.high
    extras: list[Group] = []
    bottom = high
    for block, across, tall in blocks:
        spot = _corner(room, across, tall)
        if spot is None:
            spot = (GAP, bottom + GAP)
            bottom += tall + 2 * GAP
        room.cover([Rect(spot[0] - GAP, spot[1] - GAP, across + 2 * GAP, tall + 2 * GAP)])
        extras.append(moved_group(block, *spot))
    return (on_paper(wide, bottom, paper) if bottom > high else (wide, high)), extras


def _covered(laid: Laid, wide: float, high: float) -> Room:
    room = Room(wide, high)
    rects = [*laid.clusters.values(), *(node.rect for node in laid.nodes.values())]
    room.cover(Rect(r.x - GAP, r.y - GAP, r.width + 2 * GAP, r.height + 2 * GAP) for r in rects)
    room.cover_lines(laid.edges.values(), 6.0 + GAP)
    return room


def _corner(room: Room, across: float, tall: float) -> Point | None:
    far, low, middle = room.wide - across - GAP, room.high - tall - GAP, room.high / 2
    spots = ((GAP, GAP), (GAP, low), (far, low), (far, GAP), (GAP, middle), (far, middle))
    fits = far >= GAP and low >= GAP
    free = (s for s in spots if fits and room.is_free(Rect(s[0], s[1], across, tall)))
    return next(free, None)
