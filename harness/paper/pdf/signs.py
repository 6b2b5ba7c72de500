"""The signs of cautions, warnings and dangers: each has a shape, never a colour alone."""

from __future__ import annotations

from math import cos, pi, sin

from harness.base.colours import STATUS, text_on, to_hex
from harness.drawing.scene import Point
from harness.paper.pdf.marks import BLACK, Mark, Shape, Words, breadth

STATUS_OF = {"caution": "warning", **{name: name for name in STATUS}}
LETTERS = {"ok": "✓", "note": "i", "unknown": "?"}


def sign(tone: str, x: float, y: float, radius: float) -> tuple[Mark, ...]:
    """Return the sign of a tone about a point: octagon, triangle, circle; with a mark on it."""
    status = STATUS[STATUS_OF[tone]]
    letter, size = LETTERS.get(tone, "!"), radius * 1.35
    low = 0.22 * radius if status.name == "warning" else 0.0
    shape = Shape(_corners(status.name, x, y, radius), to_hex(status.fill), BLACK, 0.5)
    ink = to_hex(text_on(status.fill))
    wide = breadth(letter, size, bold=True)
    return shape, Words(x - wide / 2, y + low + 0.36 * size, letter, size, True, ink)


def _corners(status: str, x: float, y: float, radius: float) -> tuple[Point, ...]:
    count, turn = {"warning": (3, 0.0), "danger": (8, pi / 8), "error": (4, 0.0)}.get(
        status, (24, 0.0)
    )
    big = radius * 1.25 if count == 3 else radius
    down = 0.15 * radius if count == 3 else 0.0
    angles = [turn + 2 * pi * n / count for n in range(count + 1)]
    return tuple((x + big * sin(a), y + down - big * cos(a)) for a in angles)
