"""What a finding's marker covers, where it stands and where its leader ends, read from a scene."""

from __future__ import annotations

from collections.abc import Iterator
from math import dist

import kept

from harness.diagram.draw import Press
from harness.diagram.findings import anchor_piece
from harness.diagram.lead_ribbons import turned_plugs
from harness.diagram.stages import DrawnPage
from harness.drawing import look
from harness.drawing.bezier import point_at
from harness.drawing.scene import Box, Group, Path, Point, Scene, Text, bounds, text_box, walk
from harness.rules.run import Report

PLUG = (9.0, 9.6)  # breadth and height of a three-pin plug as it is drawn, points
TOUCH = 0.3  # what two shapes may share, points
WORDY = frozenset(("flag", "note", "current", "lead-code"))
BESIDE = 24.0  # farther from what it is about a marker needs a leader, points


def marks_of(scene: Scene) -> list[Group]:
    """Return the markers on the drawing, not those of its legend."""
    return [item for item in scene.items if isinstance(item, Group) and "finding" in item.classes]


def shape_of(mark: Group) -> Box:
    return bounds([mark.items[-2]])


def leader_of(mark: Group) -> tuple[Point, Point] | None:
    """Return the ends of the line from a marker to what it is about, if it has one."""
    lines = [i for i in mark.items[:-3] if isinstance(i, Path) and i.stroke == look.INK]
    if not lines:
        return None
    (_, a), *_, (_, b) = lines[0].commands
    return (a[0], a[1]), (b[-2], b[-1])


def faults(name: str, view: str, paper: str = "A4", case: str = "") -> list[str]:
    """Return in words what is wrong with any marker of a drawing."""
    press, pages = kept.drawing(kept.path_of(name), view, paper, case)
    report = press.report
    found = [f"{page.name}: {fault}" for page in pages for fault in covered(page.scene)]
    return found + [f for page in pages for f in _astray(report, press, page)]


def covered(scene: Scene) -> Iterator[str]:
    marks = marks_of(scene)
    own = {id(item) for mark in marks for item in walk(mark.items)}
    boxes = [(f"text {i.text}", text_box(i)) for i in walk(scene.items)
             if isinstance(i, Text) and i.text.strip() and id(i) not in own]  # fmt: skip
    boxes += [
        (f"{g.classes[0]} {g.id}", bounds(g.items))
        for g in walk(scene.items)
        if isinstance(g, Group) and WORDY & set(g.classes) and "finding" not in g.classes
    ]
    boxes += [("a plug", box) for box in plugs(scene)]
    boxes += [(f"marker {m.id}", shape_of(m)) for m in marks]
    leads = list(lead_lines(scene))
    for mark in marks:
        shape = shape_of(mark)
        for what, box in boxes:
            if what != f"marker {mark.id}" and _meet(shape, box):
                yield f"{mark.id} covers {what}"
        for name, half, line in leads:
            if any(_within(shape, p, half) for p in line):
                yield f"{mark.id} covers lead {name}"
        if leader := leader_of(mark):
            way = [_between(*leader, n / 40) for n in range(41)]
            for what, box in boxes:
                if what[:4] in {"text", "flag", "note"} and any(_within(box, p, 0) for p in way):
                    yield f"leader of {mark.id} crosses {what}"


def _astray(report: Report, press: Press, page: DrawnPage) -> Iterator[str]:
    """Yield the markers that stand away from what they are about, or point at something else."""
    groups = {g.id: g for g in walk(page.scene.items) if isinstance(g, Group) and g.id}
    for mark in marks_of(page.scene):
        finding = next(n for n in press.findings if f"finding-{n.number}" == mark.id)
        target = _target(report, press, finding, groups)
        if target is None:
            continue
        leader, shape = leader_of(mark), shape_of(mark)
        if leader:
            if not _within(target, leader[1], 1.0):
                yield f"{page.name}: leader of {mark.id} ends at {leader[1]}, not at {target}"
        elif _apart(shape, target) > BESIDE / 4:
            yield f"{page.name}: {mark.id} stands {_apart(shape, target):.0f} from its spot"


def _target(report: Report, press: Press, finding: object, groups: dict[str, Group]) -> Box | None:
    """Return the box of the plug, else of the part, that a finding is about."""
    part, spot = finding.parts[0], finding.spot  # type: ignore[attr-defined]
    wiring = report.wiring
    into = [wiring.by_plug[part, spot]] if (part, spot) in wiring.by_plug else []
    mates = into or wiring.by_socket.get((part, spot), [])
    leads = [(groups[name], m.plug.id) for m in mates
             if (name := f"lead-{'.'.join(m.plug.id)}") in groups]  # fmt: skip
    if leads:
        end = -1 if leads[0][1] in turned_plugs(wiring) else 0
        lines = [i for i in walk(leads[0][0].items) if isinstance(i, Path) and not i.fill]
        ends = [(*line.commands[end][1][-2:],) for line in lines]
        x = (max if end else min)(x for x, _ in ends)
        return x - 12, min(y for _, y in ends) - 4, x + 12, max(y for _, y in ends) + 4
    sheets = [sheet for sheet, _ in press.drawn.values()]
    pieces = [anchor_piece(finding, sheet) for sheet in sheets]  # type: ignore[arg-type]
    names = [p for p in pieces if p in groups]
    return bounds(groups[names[0]].items) if names else None


def plugs(scene: Scene) -> Iterator[Box]:
    for item in walk(scene.items):
        if isinstance(item, Path) and item.fill == look.CASE:
            left, top, right, low = box = bounds([item])
            if abs(right - left - PLUG[0]) < 0.1 and abs(low - top - PLUG[1]) < 0.1:
                yield box


def lead_lines(scene: Scene) -> Iterator[tuple[str, float, list[Point]]]:
    """Yield every wire of every lead: between parts, and of Y-leads and extensions themselves."""
    for group in walk(scene.items):
        if not isinstance(group, Group):
            continue
        if group.id.startswith("lead-") or "/way-" in group.id or group.id.endswith("/trunk"):
            for item in walk(group.items):
                if isinstance(item, Path) and item.stroke not in {None, look.PAPER}:
                    yield group.id, item.width / 2, list(_points(item))


def _points(path: Path) -> Iterator[Point]:
    at: Point = (0.0, 0.0)
    for name, v in path.commands:
        if name == "C":
            curve = (at, (v[0], v[1]), (v[2], v[3]), (v[4], v[5]))
            yield from (point_at(curve, n / 24) for n in range(25))
        elif name == "L":
            count = int(dist(at, v) / 2) + 1
            yield from (_between(at, (v[0], v[1]), n / count) for n in range(count + 1))
        at = (v[-2], v[-1]) if v else at


def _between(a: Point, b: Point, t: float) -> Point:
    return a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t


def _meet(a: Box, b: Box) -> bool:
    across = min(a[2], b[2]) - max(a[0], b[0])
    return across > TOUCH and min(a[3], b[3]) - max(a[1], b[1]) > TOUCH


def _within(box: Box, at: Point, more: float) -> bool:
    return (box[0] - more < at[0] < box[2] + more) and (box[1] - more < at[1] < box[3] + more)


def _apart(a: Box, b: Box) -> float:
    return max(a[0] - b[2], b[0] - a[2], a[1] - b[3], b[1] - a[3], 0.0)
