"""Label stocks of a plan's own, by their dimensions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from harness.base.span import START, Span
from harness.base.units import LENGTH
from harness.reading.kinds import Amount, Whole
from harness.reading.records import key, keys_of

_MM = Amount(LENGTH)


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelStock:
    """A sheet of labels; with `tape-width` a tape; with `wire-diameter` a flag round the wire."""

    page_width: float | None = key(_MM, "sheet: width of the page")
    page_height: float | None = key(_MM, "sheet: height of the page")
    label_width: float | None = key(_MM, "sheet: width of one label")
    label_height: float | None = key(_MM, "sheet: height of one label")
    columns: int | None = key(Whole(1, 100), "sheet: labels side by side")
    rows: int | None = key(Whole(1, 100), "sheet: labels one below the other")
    left_margin: float | None = key(_MM, "sheet: from the page's left edge to the first label")
    top_margin: float | None = key(_MM, "sheet: from the page's upper edge to the first label")
    horizontal_pitch: float | None = key(_MM, "sheet: from label to label, the width if left out")
    vertical_pitch: float | None = key(_MM, "sheet: from label to label, the height if left out")
    corner_radius: float | None = key(_MM, "sheet: radius of the labels' corners")
    tape_width: float | None = key(_MM, "tape: its width")
    printable_height: float | None = key(_MM, "tape: what the printer reaches of its width")
    min_length: float | None = key(_MM, "tape: shortest label")
    max_length: float | None = key(_MM, "tape: longest label")
    end_margin: float | None = key(_MM, "tape: what stays blank at each end")
    wire_diameter: float | None = key(_MM, "flag: diameter of the wire it is folded round")
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)

    def dimensions(self) -> dict[str, float]:
        """Return what is given, in mm or as a count, by the words of the plan."""
        given = {word: getattr(self, k.attribute) for word, k in keys_of(LabelStock).items()}
        return {word: value for word, value in given.items() if value is not None}
