"""One readable face of a label: side band, words, arrow, within a printer's margin of its edge."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from harness.documents.labels.fit import FaceRoom, FaceWords, fit
from harness.documents.labels.label import Arrow, Band, Direction, Face, Label, LabelArea

# What a desk printer may be off, kept free along every edge; a tape has its own margins.
EDGE_MM = 1.0
LONG_EDGE_MM = 0.8
WIRE_EDGE_MM = 0.5
GAP_MM = 0.9
ARROW_GAP_MM = 1.3
SMALL_ARROW_MM = (3.0, 4.6)
LARGE_ARROW_MM = (4.2, 6.4)
LARGE_FROM_MM = 18.0


@dataclass(frozen=True)
class Ends:
    """Which end of the face meets the wire (flags), and whether the margins are outside it."""

    wire: Literal["left", "right", ""] = ""
    snug: bool = False

    def box(self, rect: LabelArea) -> LabelArea:
        """The part of the face that may be printed."""
        across, above = (0.0, 0.0) if self.snug else (EDGE_MM, LONG_EDGE_MM)
        left = WIRE_EDGE_MM if self.wire == "left" else across
        right = WIRE_EDGE_MM if self.wire == "right" else across
        return LabelArea(
            rect.x + left, rect.y + above, rect.width - left - right, rect.height - 2 * above
        )

    @property
    def direction(self) -> Direction:
        """Where the arrow points: up to the long edge; on a flag away from the wire."""
        if self.wire == "":
            return "up"
        return "left" if self.wire == "right" else "right"


def dress(label: Label, rect: LabelArea, ends: Ends, first: int = 0) -> Face | None:
    """The face of a label filled in, or None when its words do not fit legibly.

    `first` is the number of the style the other labels on the sheet have.
    """
    inner, band = _take_band(label, ends.box(rect))
    block = fit(*_request(label, inner, ends), first)
    if block is None:
        return None
    top = inner.y + (inner.height - block.height) / 2
    texts = tuple(line.moved(inner.x, top) for line in block.lines)
    return Face(rect, texts, band, _arrow(label, inner, ends))


def face_length(label: Label, rect: LabelArea, ends: Ends, first: int = 0) -> float | None:
    """How much of the face's length in mm the label needs; None if there is too little."""
    inner, _ = _take_band(label, ends.box(rect))
    block = fit(*_request(label, inner, ends), first)
    # A hair more, so that the same words fit again after sums in another order.
    return None if block is None else rect.width - inner.width + block.width + 0.01


def request(label: Label, rect: LabelArea, ends: Ends) -> tuple[FaceWords, FaceRoom]:
    """What the label says and the room its face leaves for it."""
    return _request(label, _take_band(label, ends.box(rect))[0], ends)


def _request(label: Label, inner: LabelArea, ends: Ends) -> tuple[FaceWords, FaceRoom]:
    arrow = _arrow_size(inner, ends)[0] + ARROW_GAP_MM if label.pale_arrow else 0.0
    return FaceWords(label.code, label.end, label.text), FaceRoom(inner.width, inner.height, arrow)


def _take_band(label: Label, box: LabelArea) -> tuple[LabelArea, Band | None]:
    """The box without its side band: at the left end for left, at the right end for right."""
    if not label.side:
        return box, None
    width = min(max(0.4 * box.height, 3.0), 6.0)
    rest = box.width - width - GAP_MM
    if label.side == "left":
        band = LabelArea(box.x, box.y, width, box.height)
        return LabelArea(box.x + width + GAP_MM, box.y, rest, box.height), Band(band, "left")
    band = LabelArea(box.right - width, box.y, width, box.height)
    return LabelArea(box.x, box.y, rest, box.height), Band(band, "right")


def _arrow_size(inner: LabelArea, ends: Ends) -> tuple[float, float]:
    across, along = LARGE_ARROW_MM if inner.height > LARGE_FROM_MM else SMALL_ARROW_MM
    if ends.direction == "up":
        return across, min(along, inner.height)
    return along, min(across, inner.height)


def _arrow(label: Label, inner: LabelArea, ends: Ends) -> Arrow | None:
    if not label.pale_arrow:
        return None
    width, height = _arrow_size(inner, ends)
    return Arrow(LabelArea(inner.right - width, inner.y, width, height), ends.direction)
