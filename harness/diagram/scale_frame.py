"""An aeroplane to scale: its places, parts and runs in points on the paper, where all is known.

Nose up, seen from above, left at the left: as far out as the plan says, and as far aft.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from harness.airframe.lengths import MeasuredRun, is_measured, lengths_of
from harness.airframe.routes import Airframe
from harness.airframe.routes import Point as Spot
from harness.base.data import dataclass
from harness.diagram.page_setting import PageSetting
from harness.diagram.stages import Extract
from harness.drawing.layout_model import Rect
from harness.drawing.scene import Point
from harness.parts.part import Part
from harness.plan.airframe import Place
from harness.plan.plan import Plan

MM = 72 / 25.4
"""Points in a millimetre."""
SCALES = (1, 2, 2.5, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 500)
"""Drawn one to so many: what rulers and plans have."""
BORDER = 30.0  # of the paper that stays free round the aeroplane, points
MOST = 80  # parts whose words a page has room for at all
SPREAD = 15.0  # from one part to the next where several sit at one point, points


@dataclass(frozen=True, slots=True)
class Frame:
    """Everything in points on a page of `size`, 1 to `scale`."""

    size: Point
    scale: float
    places: Mapping[str, Rect]
    parts: Mapping[str, Point]
    runs: tuple[tuple[MeasuredRun, tuple[Point, ...]], ...]


def frame_of(setting: PageSetting, cut: Extract, size: Point) -> Frame | None:
    """Return the aeroplane of a cut on a page of `size` points; None where something is unknown.

    Known must be: position, length and width of each place with a part of the cut in it, the
    position of each part, and the way of each run between two of them.
    """
    plan = setting.report.plan
    if not is_measured(plan):
        return None
    frame = Airframe(plan)
    parts = [p for name in cut.parts if not (p := plan.parts[name]).in_line]
    if len(parts) > MOST:
        return None
    spots = {part.id: frame.point(part) for part in parts}
    places = _places(plan, frame, parts)
    runs = _runs(setting, frame, set(spots))
    if places is None or runs is None or not parts or None in spots.values():
        return None
    known = {name: spot for name, spot in spots.items() if spot is not None}
    return _on_paper(places, _apart(known), runs, size)


def _places(plan: Plan, frame: Airframe, parts: list[Part]) -> dict[str, Rect] | None:
    """Return every place with a size, mm; None where one with a part in it has none."""
    found = {p.id: rect for p in plan.places.values() if (rect := _rect(p, frame))}
    return found if all(part.place in found for part in parts) else None


def _rect(place: Place, frame: Airframe) -> Rect | None:
    point = frame.points.get(place.id)
    if point is None or place.long is None or place.wide is None:
        return None
    aft, out, _ = point
    return Rect(out - place.wide / 2, aft - place.long / 2, place.wide, place.long)


def _runs(
    setting: PageSetting, frame: Airframe, shown: set[str]
) -> list[tuple[MeasuredRun, list[Spot | str]]] | None:
    """Return the runs between parts of the cut, as parts' ids and points between; None: unknown."""
    found: list[tuple[MeasuredRun, list[Spot | str]]] = []
    for measured in lengths_of(setting.report.wiring):
        run = measured.run
        if run.device.id not in shown or run.host is None or run.host.id not in shown:
            continue
        need = measured.need
        middle = [frame.points.get(leg.other) for leg in need.way.legs[:-1]] if need else [None]
        if None in middle:
            return None
        inner = [point for point in middle if point is not None]
        found.append((measured, [run.device.id, *inner, run.host.id]))
    return found


def _apart(spots: Mapping[str, Spot]) -> dict[str, tuple[Spot, float]]:
    """Return each part's position with how far aside it is drawn, points: none on another."""
    alike: dict[tuple[float, float], list[str]] = defaultdict(list)
    for name, spot in spots.items():
        alike[spot[0], spot[1]].append(name)
    return {
        name: (spots[name], (n - (len(names) - 1) / 2) * SPREAD)
        for names in alike.values()
        for n, name in enumerate(names)
    }


def _on_paper(
    places: Mapping[str, Rect],
    parts: Mapping[str, tuple[Spot, float]],
    runs: list[tuple[MeasuredRun, list[Spot | str]]],
    size: Point,
) -> Frame | None:
    """Take the largest scale at which the whole aeroplane goes on the page, mirrored in no way."""
    xs = [x for r in places.values() for x in (r.x, r.x + r.width)]
    ys = [y for r in places.values() for y in (r.y, r.y + r.height)]
    xs += [spot[1] for spot, _ in parts.values()]
    ys += [spot[0] for spot, _ in parts.values()]
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    room = (size[0] - 2 * BORDER, size[1] - 2 * BORDER)
    fits = (n for n in SCALES if wide * MM / n <= room[0] and high * MM / n <= room[1])
    scale = next(fits, None)
    if scale is None:
        return None
    each = MM / scale
    left = size[0] / 2 - each * (min(xs) + max(xs)) / 2
    top = size[1] / 2 - each * (min(ys) + max(ys)) / 2

    def at(spot: Spot) -> Point:
        return left + each * spot[1], top + each * spot[0]

    drawn = {name: (at(spot)[0] + aside, at(spot)[1]) for name, (spot, aside) in parts.items()}
    rects = {
        name: Rect(left + each * r.x, top + each * r.y, each * r.width, each * r.height)
        for name, r in places.items()
    }
    lines = tuple(
        (measured, tuple(drawn[s] if isinstance(s, str) else at(s) for s in stops))
        for measured, stops in runs
    )
    return Frame(size, scale, rects, drawn, lines)
