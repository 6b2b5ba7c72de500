"""Plots of a solved harness as scenes: their sheet, the look they share, and how they are written.

The same figures give the same bytes. Every function of these modules raises Refusal where there
is nothing to plot.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from harness.base.colours import OKABE_ITO, STATUS, to_hex
from harness.documents.charts.axes import SIZE, SMALL, Axes, Axis, Pen
from harness.drawing import look
from harness.drawing.font import Weight
from harness.drawing.scene import PAPERS, Anchor, Item, Path, Scene, rect_path, text
from harness.plan.plan import Plan

To = Literal["svg", "pdf", "png"]
Page = Literal["A4", "Letter"]

MARGIN = 26.0  # of the sheet, points
HEAD = 48.0  # what the title takes below the margin, points
FOOT = 26.0  # what the caution takes above the margin, points
CAUTION = (
    "Computed from the plan, not measured: meter it before you fly. "
    "The makers' instructions and your local rules come first."
)


LINES = (
    ("blue", (), "o"), ("vermilion", (5, 2), "s"), ("green", (6, 2, 1, 2), "^"),
    ("purple", (1.5, 1.5), "D"), ("orange", (9, 3), "v"), ("black", (3, 1, 1, 1, 1, 1), "P"),
)  # fmt: skip
"""Colour, dash and marker, so that lines differ in grey print too; they repeat after the last."""


def line_of(number: int, width: float = 1.5, *, marked: bool = True) -> Pen:
    """Return the look of the line with this number."""
    colour, dash, marker = LINES[number % len(LINES)]
    return Pen(to_hex(OKABE_ITO[colour]), width, dash, marker if marked else "")


def limit_of(pen: Pen) -> Pen:
    """Return the look of the limit of a line: dots."""
    return Pen(pen.colour, 1.2, (2, 2))


class PlotSheet:
    """One landscape page with its title and caution; places on it are given in points."""

    def __init__(
        self, plan: Plan, what: str, page: Page, notes: Sequence[str] = (), caution: str = CAUTION
    ) -> None:
        self.plan, self.about = plan, what
        self.wide, self.high = PAPERS[page]
        self.items: list[Item] = [Path(rect_path(0, 0, self.wide, self.high), fill="#FFFFFF")]
        self.plots: list[Axes] = []
        self.top = MARGIN + HEAD
        self._title(plan, what, notes)
        self.low = self._caution(caution)

    def _title(self, plan: Plan, what: str, notes: Sequence[str]) -> None:
        room = self.wide - 2 * MARGIN
        self.text(
            MARGIN,
            MARGIN + 11,
            look.shortened(plan.aircraft, 12, room - 130, "bold"),
            size=12,
            weight="bold",
        )
        self.text(self.wide - MARGIN, MARGIN + 11, f"plan {plan.revision}", anchor="end")
        self.text(MARGIN, MARGIN + 24, look.shortened(what, 9, room), size=9)
        lines = [line for note in notes for line in look.wrapped(note, SMALL, room)]
        for number, line in enumerate(lines):
            self.text(MARGIN, MARGIN + 36 + 10 * number, line, size=SMALL, fill=look.SOFT_INK)
        self.top += 10 * max(len(lines) - 1, 0)

    def _caution(self, caution: str) -> float:
        lines = look.wrapped(caution, SMALL, self.wide - 2 * MARGIN)
        for number, line in enumerate(reversed(lines)):
            self.text(MARGIN, self.high - MARGIN - 10 * number, line, size=SMALL)
        return MARGIN + FOOT + 10 * (len(lines) - 1)

    def text(
        self,
        x: float,
        y: float,
        words: str,
        *,
        size: float = SIZE,
        anchor: Anchor = "start",
        weight: Weight = "normal",
        fill: str = look.INK,
    ) -> None:
        """Write at a place in points from the top left; `y` is the baseline."""
        self.items.append(text(x, y, words, size, anchor=anchor, weight=weight, fill=fill))

    def axes(
        self, left: float, top: float, right: float, low: float, x: Axis | None = None
    ) -> Axes:
        """Add axes; all edges in points from the top left, inside title and caution.

        `x`: an axis shared with others.
        """
        self.plots.append(Axes(left, top, right, low, x))
        return self.plots[-1]

    def key(
        self, entries: Iterable[tuple[Pen, str]], left: float, top: float, wide: float = 18.0
    ) -> None:
        """Write below each other what lines are, each beside a piece of it."""
        for pen, words in entries:
            y = top + 0.36 * SMALL + 1
            self.items += pen.along([(left, y), (left + wide, y)], [(left + wide / 2, y)])
            for line in words.split("\n"):
                self.text(left + wide + 6, top + 6.5, line, size=SMALL)
                top += SMALL * look.LEADING
            top += 2.4

    def warned(self, words: str) -> PlotSheet:
        """Write above all else what must be known of the figures."""
        lines = look.wrapped(words, SMALL, self.wide - 2 * MARGIN)
        for number, line in enumerate(reversed(lines)):
            self.text(
                MARGIN,
                MARGIN - 2 - 9 * number,
                line,
                size=SMALL,
                fill=to_hex(STATUS["danger"].text),
            )
        return self

    def scene(self, title: str = "") -> Scene:
        """Return the finished page."""
        plotted = (item for axes in self.plots for item in axes.items())
        said = "computed from the plan, not measured"
        return Scene(self.wide, self.high, (*self.items, *plotted), title or self.about, said)

    @property
    def inner(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of what title and caution leave, points."""
        return MARGIN, self.top, self.wide - MARGIN, self.high - self.low


def written(scene: Scene, to: To) -> str | bytes:
    """Write a chart: SVG as text, PDF and PNG as bytes; no clock, no version in it."""
    if to == "svg":
        from harness.drawing.svg import to_svg

        return to_svg(scene, paper="scene")
    from harness.drawing.pdf import pdf_to_png, to_pdf

    data = to_pdf([scene], paper="scene")
    return data if to == "pdf" else pdf_to_png(data)
