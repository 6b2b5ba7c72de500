"""The page of the airframe to scale: places at their true size, leads along their routes."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import cos, dist, pi, sin

from harness.airframe.lengths import MeasuredRun, plugs_on
from harness.airframe.runs import RunPiece
from harness.diagram.page import GAP, TitleWords
from harness.diagram.page_setting import PageSetting
from harness.diagram.part_words import spoken_id
from harness.diagram.room import FreeRoom
from harness.diagram.routes import rounded
from harness.diagram.scale_frame import MM, Frame
from harness.diagram.silhouette import outline_to_scale
from harness.diagram.zone_names import tint_of
from harness.drawing import look
from harness.drawing.layout_model import LostEdges, Rect
from harness.drawing.marks import zone
from harness.drawing.ribbon import Gauge, RibbonWire, ribbon
from harness.drawing.scene import (
    Group,
    Item,
    Path,
    Point,
    Scene,
    Text,
    bounds,
    circle_path,
    line_path,
    moved,
    moved_group,
    rect_path,
    text,
)
from harness.parts.contacts import Form
from harness.parts.part import Part

CONTROL, POWER, MOTOR = Gauge(0.8, 0.25), Gauge(1.4, 0.3, 0.2), Gauge(1.0, 0.3, 0.2)
LANE = 5.0  # from one run to the next on a stretch they share, points
REACH = 3.5  # of a run, kept free of words, points
RINGS = (*range(12, 120, 6), *range(120, 420, 14))  # how far from its part a label is tried
PLUG = 2.3  # radius of a plug's sign, points
BAR = 90.0  # about how long the scale bar is, points
NICE = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000)
TURNS = 20  # directions that are tried at each distance
WITHOUT = "Signs of parts and plugs are not to scale, nor is the pale outline."


class NoRoom(Exception):  # noqa: N818 - no fault: the page is left out
    """The words of a part find no free spot on the page."""


def has_room(setting: PageSetting, frame: Frame, heading: TitleWords) -> bool:
    """Say whether the words of all parts find room."""
    try:
        scale_scene(setting, frame, heading)
    except NoRoom:
        return False
    return True


def scale_scene(setting: PageSetting, frame: Frame, heading: TitleWords) -> Scene:
    """Return the page. Raises NoRoom, and LostEdges when a run or a part would be missing."""
    return _Page(setting, frame, heading).scene()


class _Page:
    """Draws one page; `room` knows what is covered already."""

    def __init__(self, setting: PageSetting, frame: Frame, heading: TitleWords) -> None:
        self.setting, self.frame, self.heading = setting, frame, heading
        self.plan = setting.report.plan
        self.room = FreeRoom(*frame.size)
        self.lines = list(zip(_names_of(frame), _in_lanes(frame), strict=True))
        self.labels: list[Rect] = []
        self.signs: dict[str, Rect] = {}

    def scene(self) -> Scene:
        """Lowest first: outline, places, runs, plugs, parts; words where nothing lies."""
        runs = [self._run(name, *line) for name, line in self.lines]
        plugs = [plug for name, line in self.lines for plug in self._plugs(name, *line)]
        parts = [self._part(self.plan.parts[name], at) for name, at in self.frame.parts.items()]
        words = [*self._blocks(), *self._names(), *self._labels()]
        below = [outline_to_scale(self.plan, self.frame), *self._places()]
        groups = (*below, *runs, *plugs, *parts, *words)
        self._whole(groups)
        return self.heading.scene(self.frame.size, groups, ", to scale")

    def _whole(self, groups: Iterable[Group]) -> None:
        drawn = {group.id for group in groups if group.items}
        wanted = [f"there-{name}" for name in self.frame.parts]
        wanted += [name for name, _ in self.lines]
        wanted += [f"told-{name}" for name in self.frame.parts]
        lost = tuple(name for name in wanted if name not in drawn)
        if lost:
            raise LostEdges(lost)

    def _places(self) -> Iterator[Group]:
        order = list(self.plan.places)
        for name in sorted(self.frame.places, key=order.index):
            tint = tint_of(self.plan, name)
            yield zone(f"bay-{name}", self.frame.places[name], spoken_id(name), tint)

    def _run(self, ident: str, measured: MeasuredRun, line: Sequence[Point]) -> Group:
        run = measured.run
        self.room.cover(_along(line, REACH))
        assert measured.need is not None
        length = f"{measured.need.way.length:.0f} mm"
        title = f"{run.name} to {run.host.id if run.host else ''}: {length} of way"
        wires, gauge = _wires(run.pieces[0])
        return ribbon(ident, rounded(line), wires, gauge=gauge, title=title,
                      classes=("way",))  # fmt: skip

    def _plugs(self, ident: str, measured: MeasuredRun, line: Sequence[Point]) -> Iterator[Group]:
        """A dot in the middle of where each plug can lie."""
        need = measured.need
        for n, plug in enumerate(plugs_on(self.plan, measured)):
            if need is None or not need.way.length:
                continue
            share = (plug.nearest + plug.furthest) / 2 / need.way.length
            x, y = _at_share(line, share)
            self.room.cover([Rect(x, y, 0, 0).grown(PLUG)])
            name = plug.mate.plug.short
            yield plug_sign((x, y), f"joint-{ident}-{n}", f"plug of {name}")

    def _part(self, part: Part, at: Point) -> Group:
        wide, high, _ = part.footprint
        here = Rect(at[0] - wide / 2, at[1] - high / 2, wide, high)
        self.signs[part.id] = here
        self.room.cover([here.grown(2)])
        tail = max(r.y + r.height / 2 for r in self.frame.places.values())
        behind = "pusher" in part.id.split("-") or at[1] > tail - 60 / self.frame.scale
        return sign(part, at, f"{part.named()} in {spoken_id(part.place)}", behind=behind)

    def _blocks(self) -> Iterator[Group]:
        """Title block and scale bar, in free corners."""
        size = f"to scale 1:{self.frame.scale:g} on {self.heading.paper}"
        block = self.heading.block([size, *look.wrapped(WITHOUT, look.SMALL, 150)])
        for drawn, wide, high in (block, scale_bar(self.frame)):
            x, y = self._corner(wide, high)
            self._take(Rect(x, y, wide, high).grown(GAP / 2))
            yield moved_group(drawn, x, y)

    def _corner(self, wide: float, high: float) -> Point:
        right, low = self.frame.size[0] - wide - GAP, self.frame.size[1] - high - GAP
        places = [*self.frame.places.values(), *self.labels]
        spots = [(GAP, GAP), (right, low), (GAP, low), (right, GAP)]
        free = (s for s in spots if not any(Rect(*s, wide, high).meets(r) for r in places))
        return next(free, spots[0])

    def _take(self, rect: Rect) -> None:
        self.room.cover([rect])
        self.labels.append(rect)

    def _names(self) -> Iterator[Group]:
        """The names of the places, inside them or just outside, where nothing lies."""
        for name, rect in self.frame.places.items():
            shown = spoken_id(name).upper()
            words = text(0, 0, shown, look.SMALL, weight="bold", fill=look.SOFT_INK)
            wide = words.width + 4
            around = Rect(rect.x - wide, rect.y - 14, rect.width + 2 * wide, rect.height + 28)
            spot = next((s for area in (rect.grown(-2), around)
                         for s in self.room.spots(wide, 11.0, area)), None)  # fmt: skip
            if spot:
                self._take(Rect(spot[0], spot[1], wide, 11.0))
                inked = moved(words, spot[0] + 2, spot[1] + 8.5)
                yield Group(f"bay-name-{name}", (inked,), ("place-name",))

    def _labels(self) -> Iterator[Group]:
        """Each part's name, and the length of its way, with a line to its sign."""
        ways = {m.run.device.id: m for m, _ in reversed(self.frame.runs)}
        for name, at in self._order():
            lines = self._words(self.plan.parts[name], ways.get(name))
            wide, high = max(line.width for line in lines) + 4, 10.5 * len(lines) + 1
            barred = [rect for other, rect in self.signs.items() if other != name]
            box = self._spot(at, (wide, high), barred)
            self._take(box)
            edge = _edge(box, at)
            self.room.cover(_along((edge, at), 1.0))
            inked = [moved(one, box.x + 2, box.y + 8.5 + 10.5 * n) for n, one in enumerate(lines)]
            leader = Path(line_path((edge, at)), stroke=look.SOFT_INK, width=0.6)
            dot = Path(rect_path(at[0] - 0.8, at[1] - 0.8, 1.6, 1.6, 0.8), fill=look.SOFT_INK)
            yield Group(f"told-{name}", (leader, dot, *inked), ("told",), spoken_id(name))

    def _order(self) -> list[tuple[str, Point]]:
        """Those with the least room round them first."""
        spots = self.frame.parts
        near = {n: sum(dist(at, other) < 60 for other in spots.values()) for n, at in spots.items()}
        return sorted(spots.items(), key=lambda row: -near[row[0]])

    def _words(self, part: Part, measured: MeasuredRun | None) -> list[Text]:
        name = look.shortened(spoken_id(part.id), look.SMALL, 110, "bold")
        found = [text(0, 0, name, look.SMALL, weight="bold", fill=look.INK)]
        need = measured.need if measured else None
        if measured and need and need.way.length and measured.run.host:
            host = look.shortened(spoken_id(measured.run.host.id), look.SMALL, 80)
            words = f"{need.way.length:.0f} mm to {host}"
            found.append(text(0, 0, words, look.SMALL, fill=look.SOFT_INK))
        return found

    def _spot(self, at: Point, size: Point, barred: Sequence[Rect]) -> Rect:
        """Return the nearest free room whose line crosses no other words and nothing barred."""
        fallback: Rect | None = None
        for box in _around(at, *size):
            if self.room.is_free(box):
                fallback = fallback or box
                line = _edge(box, at), at
                if not any(_crosses(*line, rect) for rect in (*self.labels, *barred)):
                    return box
        if fallback is None:
            raise NoRoom
        return fallback


def _names_of(frame: Frame) -> list[str]:
    """The id of each run: that of its device's own lead; numbered where a fork makes more."""
    count: Counter[str] = Counter()
    found = []
    for measured, _ in frame.runs:
        name = f"lead-{measured.run.port.part.id}.{measured.run.port.name}"
        count[name] += 1
        found.append(name if count[name] == 1 else f"{name}~{count[name]}")
    return found


def _wires(piece: RunPiece) -> tuple[tuple[RibbonWire, ...], Gauge]:
    port = piece.port
    if port.form is Form.MOTOR:
        return tuple(RibbonWire("BK") for _ in port.order), MOTOR
    colours = port.colours or {"positive": "RD", "negative": "BK"}
    gauge = CONTROL if port.form is Form.THREE_PIN else POWER
    return tuple(RibbonWire(colours.get(pin, "GY")) for pin in port.order), gauge


def _in_lanes(frame: Frame) -> list[tuple[MeasuredRun, tuple[Point, ...]]]:
    """Runs side by side on each stretch they share."""
    keys = [[_key(a, b) for a, b in pairwise(line)] for _, line in frame.runs]
    count = Counter(key for row in keys for key in row)
    taken: dict[tuple[Point, Point], int] = defaultdict(int)
    found = []
    for (measured, line), row in zip(frame.runs, keys, strict=True):
        points: list[Point] = []
        for (a, b), key in zip(pairwise(line), row, strict=True):
            shift = (taken[key] - (count[key] - 1) / 2) * LANE
            taken[key] += 1
            dx, dy = _normal(*key)
            points += [(x + dx * shift, y + dy * shift) for x, y in (a, b)]
        found.append((measured, tuple(points)))
    return found


def _key(a: Point, b: Point) -> tuple[Point, Point]:
    one, other = sorted(((round(a[0], 1), round(a[1], 1)), (round(b[0], 1), round(b[1], 1))))
    return one, other


def _normal(a: Point, b: Point) -> Point:
    size = dist(a, b)
    return ((a[1] - b[1]) / size, (b[0] - a[0]) / size) if size else (0.0, 0.0)


def _along(line: Sequence[Point], reach: float) -> Iterator[Rect]:
    """Yield small boxes along a polyline."""
    for a, b in pairwise(line):
        for x, y in _stepped(a, b, 3):
            yield Rect(x, y, 0.0, 0.0).grown(reach)


def _stepped(a: Point, b: Point, step: float) -> list[Point]:
    """Return points along a line, both ends among them."""
    count = max(int(dist(a, b) / step), 1)
    ways = range(count + 1)
    return [(a[0] + (b[0] - a[0]) * n / count, a[1] + (b[1] - a[1]) * n / count) for n in ways]


def _at_share(line: Sequence[Point], share: float) -> Point:
    """Return the point at a share of a polyline's length."""
    left = share * sum(dist(a, b) for a, b in pairwise(line))
    for a, b in pairwise(line):
        size = dist(a, b)
        if left <= size and size:
            return a[0] + (b[0] - a[0]) * left / size, a[1] + (b[1] - a[1]) * left / size
        left -= size
    return line[-1]


def _around(at: Point, wide: float, high: float) -> Iterator[Rect]:
    """Yield boxes about a point, nearer ones first; beside it before above and below it."""
    angles = sorted(range(TURNS), key=lambda n: (abs(sin(2 * pi * n / TURNS)), n))
    for ring in RINGS:
        for n in angles:
            dx, dy = cos(2 * pi * n / TURNS), sin(2 * pi * n / TURNS)
            x, y = at[0] + dx * (ring + wide / 2), at[1] + dy * (ring + high / 2)
            yield Rect(x - wide / 2, y - high / 2, wide, high)


def _edge(box: Rect, at: Point) -> Point:
    """Return where the line from a box to a point begins: at its nearest side."""
    x = min(max(at[0], box.x), box.x + box.width)
    y = min(max(at[1], box.y), box.y + box.height)
    return x, y


def _crosses(a: Point, b: Point, box: Rect) -> bool:
    left, top, right, low = box.box
    return any(left <= x <= right and top <= y <= low for x, y in _stepped(a, b, 2))


def sign(part: Part, at: Point, title: str, *, behind: bool) -> Group:
    """Return the sign of a part; a motor has its propeller before it, a pusher `behind` it."""
    items = tuple(part.sign(*at, backwards=behind))
    return Group(f"there-{part.id}", items, ("there",), title)


def plug_sign(at: Point, ident: str, title: str) -> Group:
    """A dot on a run where two of its leads meet."""
    dot = Path(circle_path(*at, PLUG), fill=look.CASE, stroke=look.PAPER, width=0.8)
    return Group(ident, (dot,), ("plug-there",), title)


def scale_bar(frame: Frame) -> tuple[Group, float, float]:
    """Return a bar of a round number of millimetres, with its width and height."""
    each = MM / frame.scale
    whole = max((n for n in NICE if n * each <= BAR), default=NICE[0])
    wide = whole * each
    halves = [(0.0, look.INK), (wide / 2, look.PAPER)]
    items: list[Item] = [
        Path(rect_path(12 + x, 6, wide / 2, 5), fill=fill, stroke=look.INK, width=0.8)
        for x, fill in halves
    ]
    for share, words in ((0.0, "0"), (1.0, f"{whole} mm")):
        items.append(text(12 + share * wide, 21, words, look.SMALL, anchor="middle", fill=look.INK))
    broad = max(bounds([items[-1]])[2], 12 + wide) + 4
    return Group("scale-bar", tuple(items), ("scale-bar",), f"{whole} mm to scale"), broad, 26.0
