"""The aeroplane seen from above, nose up: its places and where each part sits, mm.

As the plan states it; where it does not, a nominal aeroplane by rule: motors at the leading edge
or in the nose, ailerons outboard at the trailing edge, flaps inboard, elevator halves and rudder at
the tail, the rest along the fuselage; left and right mirrored. x is mm to the right, y mm aft.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cached_property

from harness.airframe.lengths import is_measured, lengths_of, plugs_on
from harness.airframe.routes import Airframe
from harness.base.data import dataclass
from harness.diagram.page_setting import PageSetting
from harness.diagram.zone_names import FUSELAGE, NOSE, TAIL
from harness.drawing.layout_model import Rect, bounding
from harness.drawing.scene import Point
from harness.parts.part import Part
from harness.plan.plan import Plan

REGIONS: Mapping[str, Rect] = {
    "nose": Rect(-60, 30, 120, 190), "body": Rect(-85, 240, 170, 330),
    "tail": Rect(-230, 880, 460, 130), "left": Rect(-760, 290, 660, 270),
    "right": Rect(100, 290, 660, 270),
}  # fmt: skip
"""The nominal aeroplane."""
ROW = {"spins": 0.04, "drives": 0.34, "moves": 0.88}
"""How far behind the leading edge a part sits in a nominal wing, of its depth; others midway."""
MIDWAY = 0.62
SLENDER = 1.5  # a place without a side so many times wider than long is a wing in one piece
ASIDE = 40.0  # from a part to what is soldered across it, mm in a nominal aeroplane


@dataclass(frozen=True, slots=True)
class Aeroplane:
    """Places, wing panels (their side by rectangle), bodies on the centre line, and parts, mm.

    `free`: the parts that may stand anywhere in a rectangle; `region` of every part: left, right,
    tail or body. `scaled`: positions are stated, so that it can be drawn to scale.
    """

    places: Mapping[str, Rect]
    wings: tuple[tuple[Rect, str], ...]
    middle: tuple[Rect, ...]
    parts: Mapping[str, Point]
    free: Mapping[str, Rect]
    region: Mapping[str, str]
    scaled: bool

    @property
    def whole(self) -> Rect:
        """What it covers."""
        spots = (Rect(x, y, 0.0, 0.0) for x, y in self.parts.values())
        wings = (rect for rect, _ in self.wings)
        return bounding([*self.places.values(), *wings, *self.middle, *spots])


def bare_name(name: str) -> str:
    """Return an id without its side: the same for what is mirrored."""
    return "-".join(word for word in name.split("-") if word not in {"left", "right"})


def twins_of(parts: Iterable[str]) -> dict[str, str]:
    """Return for each part that has a mirror image the other one."""
    known, swap = set(parts), {"left": "right", "right": "left"}
    pairs = ((n, "-".join(swap.get(word, word) for word in n.split("-"))) for n in known)
    return {one: other for one, other in pairs if one != other and other in known}


def aeroplane_of(setting: PageSetting) -> Aeroplane:
    """Return the aeroplane of a plan, to scale if all it takes is stated."""
    return _Stated(setting).aeroplane() or _Nominal(setting).aeroplane()


class Regions:
    """In which part of the aeroplane places and parts are."""

    def __init__(self, setting: PageSetting) -> None:
        self.setting, self.plan = setting, setting.report.plan

    def of_place(self, place: str) -> str:
        """Return left, right, wing (both), nose, tail or body."""
        chain = self.plan.holds(place)
        for name in chain:
            words = {*name.lower().replace("_", "-").split("-")}
            side = self.plan.places[name].side or next((s for s in SIDES if s in words), "")
            found = side or _called(
                words, {"tail": TAIL, "nose": NOSE, "body": FUSELAGE, "wing": {"wing", "wings"}}
            )
            if found:
                return found
        return "body"

    def of(self, part: Part) -> str:
        """Return left, right, nose, tail or body."""
        function, side = part.words.find(part.moves), self.plan.side(part)
        if part.place or not (function or side or part.spins):
            home = self.setting.home(part)
            found = self.of_place(home) if home else ("nose" if part.spins else "body")
            return (side or "body") if found == "wing" else found
        if function and function.tail and not part.drives:
            return "tail"
        return side or ("nose" if part.spins else "body")


SIDES = ("left", "right")


def _called(words: set[str], kinds: Mapping[str, Iterable[str]]) -> str:
    return next((kind for kind, names in kinds.items() if words & set(names)), "")


def has_tail(plan: Plan) -> bool:
    """Say whether the aeroplane has a tail: a place called so, or something that moves one."""
    words = {word for place in plan.places for word in place.lower().split("-")}
    moved = (part.words.find(part.moves) for part in plan.parts.values() if part.swings)
    return bool(words & TAIL) or any(function and function.tail for function in moved)


class _Stated:
    """An aeroplane of stated positions; None where one of a place or of a device is missing."""

    def __init__(self, setting: PageSetting) -> None:
        self.setting, self.plan = setting, setting.report.plan
        self.regions = Regions(setting)

    def aeroplane(self) -> Aeroplane | None:
        if not is_measured(self.plan):
            return None
        frame = self.frame = Airframe(self.plan)
        sizes = ((p, frame.points.get(p.id)) for p in self.plan.places.values())
        places = {
            p.id: Rect(at[1] - p.wide / 2, at[0] - p.long / 2, p.wide, p.long)
            for p, at in sizes
            if at and p.long and p.wide
        }
        devices = [p for p in self.plan.parts.values() if not p.in_line]
        spots = {p.id: at for p in devices if (at := frame.point(p))}
        if len(spots) < len(devices) or any(p.place not in places for p in devices):
            return None
        wings = [w for name, rect in places.items() for w in self._wings(name, rect)]
        middle = [rect for name, rect in places.items() if self._is_middle(name, rect)]
        parts = {name: (at[1], at[0]) for name, at in spots.items()}
        lying = {
            p.id: at
            for p in self.plan.parts.values()
            if p.in_line
            for at in [self._lying(p, parts)]
        }
        homes = {n: places.get(self.setting.home(self.plan.parts[n])) for n in lying}
        free = {n: home or bounding(middle or places.values()) for n, home in homes.items()}
        region = {p.id: _region(self.regions.of(p)) for p in self.plan.parts.values()}
        return Aeroplane(
            places, tuple(wings), tuple(middle), {**parts, **lying}, free, region, scaled=True
        )

    def _wings(self, name: str, rect: Rect) -> Iterator[tuple[Rect, str]]:
        place, half = self.plan.places[name], rect.width / 2
        side = self.regions.of_place(name)
        if side in SIDES and not place.within:
            yield rect, side
        elif not place.side and not place.within and rect.width > SLENDER * rect.height:
            yield Rect(rect.x, rect.y, half, rect.height), "left"
            yield Rect(rect.x + half, rect.y, half, rect.height), "right"

    def _is_middle(self, name: str, rect: Rect) -> bool:
        return self.regions.of_place(name) not in SIDES and not list(self._wings(name, rect))

    @cached_property
    def _lie(self) -> Mapping[str, list[Point]]:
        """Where the sockets of leads can lie: amid the stretch where each of their plugs is."""
        found: dict[str, list[Point]] = defaultdict(list)
        for measured in lengths_of(self.setting.report.wiring):
            host, need = measured.run.host, measured.need
            if not (host and need and need.way.length):
                continue
            start, end = self.frame.point(measured.run.device), self.frame.point(host)
            for plug in plugs_on(self.plan, measured):
                if start and end and plug.mate.socket:
                    share = (plug.nearest + plug.furthest) / 2 / need.way.length
                    at = [a + (b - a) * share for a, b in zip(start, end, strict=True)]
                    found[plug.mate.socket.part.id].append((at[1], at[0]))
        return found

    def _lying(self, part: Part, parts: Mapping[str, Point]) -> Point:
        lies = self._lie.get(part.id) or list(_near(self.setting, part, parts))
        at = self.frame.point(part)
        return _mean(lies) if lies else (at[1], at[0]) if at else _mean(list(parts.values()))


def _region(found: str) -> str:
    return "body" if found == "nose" else found


def _near(setting: PageSetting, part: Part, parts: Mapping[str, Point]) -> Iterator[Point]:
    """Yield where those parts sit that a part is joined to, through others in line if need be."""
    wiring, seen, todo = setting.report.wiring, {part.id}, [part.id]
    while todo:
        name = todo.pop()
        for port in wiring.by_part[name]:
            mates = [wiring.by_plug.get(port.id), *wiring.by_socket.get(port.id, ())]
            ends = (end for m in mates if m for end in (m.plug, m.socket) if end)
            for other in [e.part.id for e in ends if e.part.id not in seen]:
                seen.add(other)
                if other in parts:
                    yield parts[other]
                else:
                    todo.append(other)


def _mean(points: Sequence[Point]) -> Point:
    xs, ys = zip(*(points or [(0.0, 0.0)]), strict=True)
    return sum(xs) / len(xs), sum(ys) / len(ys)


class _Nominal:
    """An aeroplane made by rule."""

    def __init__(self, setting: PageSetting) -> None:
        self.setting, self.plan = setting, setting.report.plan
        self.regions = Regions(setting)
        self.region = {p.id: self.regions.of(p) for p in self.plan.parts.values()}

    def aeroplane(self) -> Aeroplane:
        parts: dict[str, Point] = {}
        for region, put in (
            ("left", self._wing),
            ("right", self._wing),
            ("tail", self._tail),
            ("nose", self._column),
            ("body", self._column),
        ):
            devices = [self.plan.parts[n] for n, r in self.region.items() if r == region]
            parts |= put(region, [p for p in devices if not p.in_line and not p.across])
        for part in self.plan.parts.values():
            if part.across in parts:
                x, y = parts[part.across]
                parts[part.id] = (x - ASIDE if self.region[part.id] == "left" else x + ASIDE, y)
        free = {
            n: self._room(r)
            for n, r in self.region.items()
            if self.plan.parts[n].in_line or (r == "body" and n in parts)
        }
        lying = {
            n: _mean(
                list(_near(self.setting, self.plan.parts[n], parts))
                or [self._room(self.region[n]).center]
            )
            for n in self.region
            if n not in parts
        }
        wings = tuple((REGIONS[side], side) for side in SIDES)
        tail = Rect(-28, 860, 56, 130)
        middle = (REGIONS["nose"], REGIONS["body"], tail)
        regions = {n: _region(r) for n, r in self.region.items()}
        return Aeroplane(
            self._places(), wings, middle, {**parts, **lying}, free, regions, scaled=False
        )

    def _room(self, region: str) -> Rect:
        return REGIONS[region]

    def _places(self) -> dict[str, Rect]:
        """Share each region among the places in it, outer places left out where inner ones are."""
        inside: dict[str, list[str]] = defaultdict(list)
        for name in self.plan.places:
            inside[self.regions.of_place(name)].append(name)
        found: dict[str, Rect] = {}
        for region, names in inside.items():
            rect = bounding([REGIONS[s] for s in SIDES]) if region == "wing" else REGIONS[region]
            leaves = [n for n in names if not any(self.plan.places[o].within == n for o in names)]
            for k, name in enumerate(leaves):
                wide, high = rect.width / len(leaves), rect.height / len(leaves)
                across = region in SIDES or region == "wing"
                at = (
                    Rect(rect.x + k * wide, rect.y, wide, rect.height)
                    if across
                    else Rect(rect.x, rect.y + k * high, rect.width, high)
                )
                found[name] = at.grown(-4)
        return found

    def _wing(self, side: str, parts: Sequence[Part]) -> dict[str, Point]:
        """Rows from the leading edge back, each from the root out: flaps before ailerons."""
        rect, found = REGIONS[side], dict[str, Point]()
        rows: dict[float, list[Part]] = defaultdict(list)
        for part in parts:
            kind = "spins" if part.spins else "drives" if part.drives else "moves"
            moves = part.words.find(part.moves) if part.swings else None
            known = kind != "moves" or bool(moves and moves.pair in {"same", "opposite", "own"})
            rows[ROW[kind] if known else MIDWAY].append(part)
        for depth, row in rows.items():
            for k, part in enumerate(sorted(row, key=_outward)):
                out = (k + 0.5) / len(row) * rect.width
                x = rect.x + out if side == "right" else rect.x + rect.width - out
                found[part.id] = (x, rect.y + depth * rect.height)
        return found

    def _tail(self, _: str, parts: Sequence[Part]) -> dict[str, Point]:
        """Halves out on their side, what has none in the middle."""
        rect, found = REGIONS["tail"], dict[str, Point]()
        rows: dict[str, list[Part]] = defaultdict(list)
        for part in sorted(parts, key=_outward):
            rows[self.plan.side(part)].append(part)
        for side, row in rows.items():
            sign = -1 if side == "left" else 1
            for k, part in enumerate(row):
                share = (k + 0.5) / len(row)
                x = sign * (60 + share * 150) if side else (share - 0.5) * 100
                found[part.id] = (x, rect.y + (0.6 if side else 0.35) * rect.height)
        return found

    def _column(self, region: str, parts: Sequence[Part]) -> dict[str, Point]:
        """One behind the other: motor, packs, what makes volts, receivers, the rest."""
        rect = REGIONS[region]
        orders: list[Callable[[Part], object]] = [
            lambda p: not p.spins,
            lambda p: not p.holds_cells,
            lambda p: not p.regulates,
            lambda p: not p.drives,
            lambda p: not p.has_channels,
        ]
        row = sorted(parts, key=lambda p: [bool(order(p)) for order in orders])
        return {
            part.id: (0.0, rect.y + (k + 0.5) / len(row) * rect.height)
            for k, part in enumerate(row)
        }


def _outward(part: Part) -> tuple[bool, str]:
    """What moves opposite to the other side sits outboard: ailerons; flaps inboard of them."""
    function = part.words.find(part.moves)
    return bool(function and function.pair in {"opposite", "own"}), bare_name(part.id)
