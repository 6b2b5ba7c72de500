"""What is asked of the layout and what comes back. Points, y downwards."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Literal

from harness.base.data import dataclass, field
from harness.base.refusal import Refusal
from harness.drawing.scene import Box, Point

Side = Literal["left", "right"]


class LayoutError(Refusal):
    """The layout could not be made; the text says why."""


class LostEdges(LayoutError):  # noqa: N818 - it names what was lost
    """Graphviz drew fewer or other edges than asked for; `ids` names them."""

    def __init__(self, ids: tuple[str, ...]) -> None:
        self.ids = ids
        super().__init__(f"the layout lost {len(ids)} edge(s): {', '.join(ids)}")


@dataclass(frozen=True, slots=True)
class LayoutPort:
    """A place on a node's rim where a lead arrives; (x, y) from the node's top left corner."""

    id: str
    side: Side
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class LayoutNode:
    """A box of fixed size."""

    id: str
    width: float
    height: float
    ports: tuple[LayoutPort, ...] = ()


@dataclass(frozen=True, slots=True)
class LayoutEdge:
    """A lead from `tail` to `head`; a heavy edge is kept short and straight."""

    id: str
    tail: str
    head: str
    tail_port: str | None = None
    head_port: str | None = None
    weight: int = 1


@dataclass(frozen=True, slots=True)
class LayoutGraph:
    """Everything the layout needs."""

    nodes: tuple[LayoutNode, ...]
    edges: tuple[LayoutEdge, ...] = ()


@dataclass(frozen=True, slots=True)
class Rect:
    """Left, top, width, height."""

    x: float
    y: float
    width: float
    height: float

    @property
    def center(self) -> Point:
        """The middle."""
        return self.x + self.width / 2, self.y + self.height / 2

    @property
    def box(self) -> Box:
        """Left, top, right, bottom."""
        return self.x, self.y, self.x + self.width, self.y + self.height

    def grown(self, by: float) -> Rect:
        """The same with a margin on all sides."""
        return Rect(self.x - by, self.y - by, self.width + 2 * by, self.height + 2 * by)

    def moved(self, dx: float, dy: float) -> Rect:
        """The same elsewhere."""
        return Rect(self.x + dx, self.y + dy, self.width, self.height)

    def meets(self, other: Rect) -> bool:
        """Say whether the two share room."""
        a, b = self.box, other.box
        return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def bounding(rects: Iterable[Rect]) -> Rect:
    """Return the smallest rectangle round some."""
    lefts, tops, rights, lows = zip(*(rect.box for rect in rects), strict=True)
    return Rect(min(lefts), min(tops), max(rights) - min(lefts), max(lows) - min(tops))


@dataclass(frozen=True, slots=True)
class LaidNode:
    """Where a node is and, in drawing coordinates, where its ports are."""

    rect: Rect
    ports: Mapping[str, Point]

    def moved(self, dx: float, dy: float) -> LaidNode:
        """The same elsewhere."""
        ports = {name: (x + dx, y + dy) for name, (x, y) in self.ports.items()}
        return LaidNode(self.rect.moved(dx, dy), ports)


@dataclass(frozen=True, slots=True)
class Laid:
    """A finished layout: edges are cubic spline control points (3n + 1) from tail to head.

    `names`: where the names of clusters stand, if the layout kept room for them.
    """

    nodes: Mapping[str, LaidNode]
    edges: Mapping[str, tuple[Point, ...]]
    clusters: Mapping[str, Rect]
    width: float
    height: float
    names: Mapping[str, Point] = field(default_factory=dict)
