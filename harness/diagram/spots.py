"""Where parts that may stand anywhere stand, so that few leads cross and none lies on a sign.

Each free part is tried on a grid of spots in its own rectangle, a few times round; its mirror image
goes with it. What is weighed, in points: crossings, signs under leads, signs on signs, length.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from harness.base.data import dataclass, field
from harness.diagram.from_above import Aeroplane, twins_of
from harness.drawing.layout_model import Rect
from harness.drawing.scene import Point

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Numbers = NDArray[np.float64]

ROUNDS = 6
ABREAST = 5  # parts at one point that stand side by side, at most
ACROSS, ALONG = 11, 19  # spots tried in a rectangle's shorter and longer side
CROSSING, ON_SIGN, ON_PART, FAR, ASTRAY, OFF_AXIS = 200.0, 40.0, 400.0, 0.15, 0.03, 0.1
WRONG = 300.0  # two joined parts in one column, or on the wrong side: as bad as so many points
CLEAR = 7.0  # from a sign's middle to a lead that passes, points
APART = 17.0  # between the middles of two signs, points


@dataclass(frozen=True)
class Columns:
    """Parts stand in columns so far apart, and those that are joined not in one of them.

    `lean`: parts that stand left (-1) or right (1) of what they are joined to.
    """

    pitch: float = 0.0
    lean: Mapping[str, int] = field(default_factory=dict)


def settled(
    plane: Aeroplane, leads: Sequence[tuple[str, str]], each: float, columns: Columns | None = None
) -> dict[str, Point]:
    """Return all parts' positions, mm; `leads`: the parts at their ends; `each`: points a mm."""
    board = _Board(plane, leads, each, columns or Columns())
    return board.settle() if plane.free else dict(plane.parts)


def apart(plane: Aeroplane, each: float) -> dict[str, Point]:
    """Return all parts' positions with those at one point side by side, mm."""
    alike: dict[Point, list[str]] = defaultdict(list)
    for name, spot in plane.parts.items():
        if name not in plane.free:
            alike[spot].append(name)
    found = dict(plane.parts)
    for (x, y), names in alike.items():
        for n, name in enumerate(names):
            row = names[n // ABREAST * ABREAST :][:ABREAST]
            aside = (n % ABREAST - (len(row) - 1) / 2) * APART / each
            found[name] = (x + aside, y + n // ABREAST * APART / each)
    return found


class _Board:
    """All parts and leads as arrays."""

    def __init__(
        self, plane: Aeroplane, leads: Sequence[tuple[str, str]], each: float, columns: Columns
    ) -> None:
        import numpy as np

        self.np, self.plane, self.each, self.columns = np, plane, each, columns
        self.names = list(plane.parts)
        at = {name: n for n, name in enumerate(self.names)}
        self.spots = np.array([plane.parts[n] for n in self.names], float) * each
        self.wish = self.spots.copy()
        ends = [(at[a], at[b]) for a, b in leads if a in at and b in at and a != b]
        self.ends = np.array(sorted(set(ends)), int).reshape(-1, 2)
        twins = twins_of(plane.free)
        self.lean = [columns.lean.get(name, 0) for name in self.names]
        self.twin = {at[a]: at[b] for a, b in twins.items() if a in at and b in at}

    def settle(self) -> dict[str, Point]:
        """Try every free part a few times round, those with the most leads first."""
        at = {name: n for n, name in enumerate(self.names)}
        degree = {n: int((self.ends == at[n]).sum()) for n in self.plane.free}
        order = sorted(self.plane.free, key=lambda n: (-degree[n], at[n]))
        once = [n for n in order if not (at[n] in self.twin and self.twin[at[n]] < at[n])]
        tried = []
        for names in (once,) if self.columns.pitch else (once, once[::-1], sorted(once)):
            self.spots = self.wish.copy()
            for _ in range(ROUNDS):
                before = self.spots.copy()
                for name in names:
                    self._move(at[name], self.plane.free[name])
                if (before == self.spots).all():
                    break
            tried.append(self.spots)
        self.spots = min(tried, key=self._crossings)
        return {
            n: (float(x) / self.each, float(y) / self.each)
            for n, (x, y) in zip(self.names, self.spots, strict=True)
        }

    def _crossings(self, spots: Numbers) -> int:
        """Return how many pairs of leads cross."""
        a, b = spots[self.ends[:, 0]], spots[self.ends[:, 1]]
        crossed = [_crossed(a[n : n + 1, None], b[n], a, b).sum() for n in range(len(a))]
        return int(sum(crossed))

    def _move(self, part: int, room: Rect) -> None:
        np, twin = self.np, self.twin.get(part)
        tried = np.vstack([self.spots[part : part + 1], self._between(part), self._grid(room)])
        cost = self._cost(part, tried, twin)
        if twin is not None:
            cost = cost + self._cost(twin, self._mirrored(tried), part)
        best = int(np.argmin(np.round(cost, 3)))
        self.spots[part] = tried[best]
        if twin is not None:
            self.spots[twin] = self._mirrored(tried[best : best + 1])[0]

    def _between(self, part: int) -> Numbers:
        """Spots on the straight way between the two that a part is joined to."""
        far = self.ends[(self.ends == part).any(axis=1)].sum(axis=1) - part
        if len(far) != 2:
            return self.spots[:0]
        shares = self.np.array([[0.25], [0.4], [0.5], [0.6], [0.75]])
        return self.spots[far[0]] * (1 - shares) + self.spots[far[1]] * shares  # type: ignore[no-any-return]

    def _mirrored(self, spots: Numbers) -> Numbers:
        return self.np.stack([-spots[:, 0], spots[:, 1]], axis=1)

    def _grid(self, room: Rect) -> Numbers:
        """Spots in a rectangle, a sign's breadth from its edge."""
        np, edge = self.np, 7.0
        left, top, right, low = (v * self.each for v in room.box)
        wide, high = right - left, low - top
        counts = (ALONG, ACROSS) if wide > high else (ACROSS, ALONG)
        if pitch := self.columns.pitch:
            edge, counts = 0.0, (round(wide / pitch) + 1, ALONG)
        xs = np.linspace(left + min(edge, wide / 2), right - min(edge, wide / 2), counts[0])
        ys = np.linspace(top + min(edge, high / 2), low - min(edge, high / 2), counts[1])
        grid: Numbers = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
        return grid

    def _cost(self, part: int, tried: Numbers, twin: int | None) -> Numbers:
        """Return what each spot tried for a part costs."""
        np = self.np
        own = (self.ends == part).any(axis=1)
        others = self.ends[~own]
        far = self.ends[own].sum(axis=1) - part
        away = np.hypot(*(tried - self.wish[part]).T) * ASTRAY
        if twin is None:
            away = away + OFF_AXIS * np.abs(tried[:, 0])
        rest = [n for n in range(len(self.names)) if n not in (part, twin)]
        gaps = np.hypot(*np.moveaxis(tried[:, None] - self.spots[rest][None], -1, 0))
        cost = away + ON_PART * np.clip(1 - gaps / APART, 0, 1).sum(axis=1)
        a, b = self.spots[others[:, 0]], self.spots[others[:, 1]]
        if len(others):
            near = _away(tried[:, None], a[None], b[None])
            cost = cost + ON_SIGN * (near < CLEAR).sum(axis=1)
        for other in far:
            end = self.spots[other]
            cost = cost + FAR * np.hypot(*(tried - end).T)
            if pitch := self.columns.pitch:
                aside, way = tried[:, 0] - end[0], self.lean[part] - self.lean[other]
                near = (aside * way if way else abs(aside)) < pitch / 2
                cost = cost + WRONG * (1 + abs(way)) * near
            free = (others != other).all(axis=1)
            cost = cost + CROSSING * _crossed(tried[:, None], end, a[free], b[free]).sum(axis=1)
            seen = [n for n in rest if n != other]
            passed = _away(self.spots[seen][None], tried[:, None], end)
            cost = cost + ON_SIGN * (passed < CLEAR).sum(axis=1)
        found: Numbers = cost
        return found


def _crossed(p: Numbers, q: Numbers, a: Numbers, b: Numbers) -> NDArray[np.bool_]:
    """Say of each line from p to q which lines from a to b it crosses."""
    (px, py), (qx, qy), (ax, ay), (bx, by) = ((one[..., 0], one[..., 1]) for one in (p, q, a, b))
    rx, ry, sx, sy, ux, uy = qx - px, qy - py, bx - ax, by - ay, ax - px, ay - py
    apart = (rx * uy - ry * ux) * (rx * (by - py) - ry * (bx - px)) < 0
    return apart & ((sx * uy - sy * ux) * (sx * (ay - qy) - sy * (ax - qx)) < 0)


def _away(p: Numbers, a: Numbers, b: Numbers) -> Numbers:
    """Return how far points lie from lines between two ends."""
    import numpy

    (px, py), (ax, ay), (bx, by) = ((one[..., 0], one[..., 1]) for one in (p, a, b))
    x, y = bx - ax, by - ay
    share = ((px - ax) * x + (py - ay) * y) / numpy.maximum(x * x + y * y, 1e-9)
    share = numpy.minimum(numpy.maximum(share, 0), 1)
    return numpy.hypot(ax + x * share - px, ay + y * share - py)
