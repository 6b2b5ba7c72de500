"""Plain data of a label: what it says, and where each piece of it is placed.

All positions are millimetres from the top left corner of the page, y downwards; type sizes
are points of 1/72 inch.
"""

from __future__ import annotations

import math
from typing import Literal

from harness.base.data import dataclass, replace
from harness.base.refusal import Refusal


class StockError(ValueError, Refusal):
    """A label stock whose name is not known or whose dimensions cannot be."""


class LabelRefused(ValueError, Refusal):  # noqa: N818 - the builder's word for it
    """A label that would be unreadable, cut off or misprinted is not made at all."""


Side = Literal["left", "right", ""]
Direction = Literal["up", "left", "right"]

MM_PER_POINT = 25.4 / 72.0


@dataclass(frozen=True)
class Label:
    """One label for one end of a lead.

    `code` is the short unique mark ("A1-L"), `end` where this end goes ("to Rx 6"), `text` the
    function ("flap right"). `wire_diameter_mm` is the outside diameter of the wire or lead and
    is used by wrap-round flags only. Raises LabelRefused on a blank code, an unknown side or
    an impossible diameter.
    """

    code: str
    end: str = ""
    text: str = ""
    side: Side = ""
    pale_arrow: bool = False
    wire_diameter_mm: float | None = None

    def __post_init__(self) -> None:
        if not self.code.strip():
            raise LabelRefused(f"a label has no code (its text: {self.text!r}, {self.end!r})")
        if self.side not in ("left", "right", ""):
            raise LabelRefused(f"label {self.name}: side is left, right or empty, not {self.side}")
        diameter = self.wire_diameter_mm
        if diameter is not None and not (math.isfinite(diameter) and diameter > 0):
            raise LabelRefused(f"label {self.name}: a wire cannot be {diameter} mm thick")

    @property
    def name(self) -> str:
        """The code as a message can show it on any terminal line."""
        return self.code if self.code.isprintable() else ascii(self.code)


@dataclass(frozen=True)
class LabelArea:
    """An upright rectangle in mm: left, top, width, height."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """The right edge, mm."""
        return self.x + self.width

    @property
    def bottom(self) -> float:
        """The bottom edge, mm."""
        return self.y + self.height

    def moved(self, dx: float, dy: float) -> LabelArea:
        """The same rectangle elsewhere."""
        return replace(self, x=self.x + dx, y=self.y + dy)


@dataclass(frozen=True)
class TextLine:
    """A line of text: left end and baseline in mm, type size in points."""

    text: str
    x: float
    baseline: float
    size_pt: float
    bold: bool = False
    white: bool = False

    def moved(self, dx: float, dy: float) -> TextLine:
        """The same line elsewhere."""
        return replace(self, x=self.x + dx, baseline=self.baseline + dy)


@dataclass(frozen=True)
class Band:
    """The side mark: red and pointing left, or green and pointing right."""

    rect: LabelArea
    side: Side


@dataclass(frozen=True)
class Arrow:
    """The hollow arrow that points to the edge where the pale (signal) wire lies."""

    rect: LabelArea
    direction: Direction


@dataclass(frozen=True)
class Face:
    """One readable printed area; a flag has two of them with the same words."""

    rect: LabelArea
    texts: tuple[TextLine, ...]
    band: Band | None = None
    arrow: Arrow | None = None


@dataclass(frozen=True)
class PlacedLabel:
    """A label in its place on a page; `wrap` is the part that goes round the wire."""

    label: Label
    outline: LabelArea
    faces: tuple[Face, ...]
    wrap: LabelArea | None = None
    corner_radius: float = 0.0


@dataclass(frozen=True)
class Page:
    """One page of `width` by `height` mm with its labels."""

    width: float
    height: float
    labels: tuple[PlacedLabel, ...]
