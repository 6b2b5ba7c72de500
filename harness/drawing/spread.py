"""Give leads room: widen the columns between parts without moving parts against each other."""

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import replace

from harness.drawing.layout_model import Laid, LaidNode, Rect

Span = tuple[float, float]
CLEAR = 4.0  # columns narrower than this are left as they are, points


def spread(laid: Laid, width: float) -> Laid:
    """The layout stretched to `width` points; unchanged if it is that wide or has no free column.

    Only columns in which no part stands grow, so that parts keep their size and leads their order.
    """
    spans = free_columns(laid)
    if width <= laid.width or not spans:
        return laid
    shares = [_climbs(laid, span) + 1 for span in spans]
    extra = (width - laid.width) / sum(shares)
    to = _stretch(spans, [share * extra for share in shares])
    return Laid(
        {name: _node(node, to) for name, node in laid.nodes.items()},
        {name: tuple((to(x), y) for x, y in points) for name, points in laid.edges.items()},
        {name: _zone(rect, to) for name, rect in laid.clusters.items()},
        width,
        laid.height,
    )


def free_columns(laid: Laid) -> list[Span]:
    """Spans of x between parts in which no part stands, left to right."""
    rects = sorted((n.rect.x, n.rect.x + n.rect.width) for n in laid.nodes.values())
    spans: list[Span] = []
    reach = rects[0][1] if rects else 0.0
    for left, right in rects:
        if left - reach > CLEAR:
            spans.append((reach, left))
        reach = max(reach, right)
    return spans


def _climbs(laid: Laid, span: Span) -> int:
    """How many leads cross a span (ends left and right of it) on different heights."""
    return sum(
        points[0][0] <= span[0]
        and span[1] <= points[-1][0]
        and abs(points[0][1] - points[-1][1]) > 8
        for points in laid.edges.values()
    )


def _stretch(spans: list[Span], growth: list[float]) -> Callable[[float], float]:
    starts = [start for start, _ in spans]
    before = [sum(growth[:i]) for i in range(len(spans))]

    def to(x: float) -> float:
        index = bisect_right(starts, x) - 1
        if index < 0:
            return x
        start, end = spans[index]
        return x + before[index] + growth[index] * (min(x, end) - start) / (end - start)

    return to


def _node(node: LaidNode, to: Callable[[float], float]) -> LaidNode:
    shift = to(node.rect.x) - node.rect.x
    ports = {name: (x + shift, y) for name, (x, y) in node.ports.items()}
    return LaidNode(replace(node.rect, x=node.rect.x + shift), ports)


def _zone(rect: Rect, to: Callable[[float], float]) -> Rect:
    left = to(rect.x)
    return replace(rect, x=left, width=to(rect.x + rect.width) - left)
