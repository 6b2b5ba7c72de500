"""Plots of a solved harness, drawn by matplotlib: the look they share, and how they are written.

The same figures give the same bytes. Every function of these modules raises Refusal where there
is nothing to plot. matplotlib is imported inside functions only, as it takes long.
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from harness.base.colours import OKABE_ITO, STATUS, to_hex
from harness.drawing import look
from harness.drawing.scene import PAPERS
from harness.plan.plan import Plan

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


To = Literal["svg", "pdf", "png"]
Page = Literal["A4", "Letter"]

SIZE = 8.0  # of running text, points
SMALL = 7.5  # of the smallest, points
MARGIN = 26.0  # of the sheet, points
HEAD = 48.0  # what the title takes below the margin, points
FOOT = 26.0  # what the caution takes above the margin, points
GRID = "#C9D0D5"
CAUTION = (
    "Computed from the plan, not measured: meter it before you fly. "
    "The makers' instructions and your local rules come first."
)


class Line(NamedTuple):
    """How one line of a plot looks, so that it differs from the others in grey print too."""

    color: str
    dash: tuple[float, Sequence[float]]
    marker: str


LINES = (
    Line(to_hex(OKABE_ITO["blue"]), (0, ()), "o"),
    Line(to_hex(OKABE_ITO["vermilion"]), (0, (5, 2)), "s"),
    Line(to_hex(OKABE_ITO["green"]), (0, (6, 2, 1, 2)), "^"),
    Line(to_hex(OKABE_ITO["purple"]), (0, (1.5, 1.5)), "D"),
    Line(to_hex(OKABE_ITO["orange"]), (0, (9, 3)), "v"),
    Line(to_hex(OKABE_ITO["black"]), (0, (3, 1, 1, 1, 1, 1)), "P"),
)
DOTS = (0, (2, 2))
"""The dash of limits."""


def line_of(number: int) -> Line:
    """Return the look of the line with this number; they repeat after the last."""
    return LINES[number % len(LINES)]


RC: dict[str, Any] = {
    "font.family": ["DejaVu Sans"], "font.size": SIZE, "svg.fonttype": "none",
    "svg.hashsalt": "harness", "pdf.fonttype": 42, "pdf.compression": 6, "path.simplify": False,
    "text.color": look.INK, "axes.labelcolor": look.INK, "axes.edgecolor": look.SOFT_INK,
    "axes.titlesize": SIZE, "axes.labelsize": SIZE, "axes.spines.top": False,
    "axes.spines.right": False, "axes.linewidth": 0.8, "axes.axisbelow": True,
    "xtick.color": look.INK, "ytick.color": look.INK, "xtick.labelsize": SMALL,
    "ytick.labelsize": SMALL, "grid.color": GRID, "grid.linewidth": 0.6, "hatch.linewidth": 0.6,
    "legend.fontsize": SMALL, "legend.frameon": False,
}  # fmt: skip


@contextmanager
def styled() -> Iterator[None]:
    """Draw and write with our look, whatever the user's own settings are."""
    from matplotlib import style

    with style.context(["default", RC]):
        yield


class PlotSheet:
    """One landscape page with its title and caution; places on it are given in points."""

    def __init__(
        self, plan: Plan, what: str, page: Page, notes: Sequence[str] = (), caution: str = CAUTION
    ) -> None:
        from matplotlib.figure import Figure

        self.wide, self.high = PAPERS[page]
        self.figure: Figure = Figure(figsize=(self.wide / 72, self.high / 72), facecolor="white")
        self.top = MARGIN + HEAD
        self._title(plan, what, notes)
        self.low = self._caution(caution)

    def _title(self, plan: Plan, what: str, notes: Sequence[str]) -> None:
        room = self.wide - 2 * MARGIN
        self.text(MARGIN, MARGIN + 11, look.shortened(plan.aircraft, 12, room - 130, "bold"),
                  size=12, weight="bold")  # fmt: skip
        self.text(self.wide - MARGIN, MARGIN + 11, f"plan {plan.revision}", ha="right")
        self.text(MARGIN, MARGIN + 24, look.shortened(what, 9, room), size=9)
        lines = [line for note in notes for line in look.wrapped(note, SMALL, room)]
        for number, line in enumerate(lines):
            self.text(MARGIN, MARGIN + 36 + 10 * number, line, size=SMALL, color=look.SOFT_INK)
        self.top += 10 * max(len(lines) - 1, 0)

    def _caution(self, caution: str) -> float:
        lines = look.wrapped(caution, SMALL, self.wide - 2 * MARGIN)
        for number, line in enumerate(reversed(lines)):
            self.text(MARGIN, self.high - MARGIN - 10 * number, line, size=SMALL)
        return MARGIN + FOOT + 10 * (len(lines) - 1)

    def text(self, x: float, y: float, words: str, **kind: Any) -> None:
        """Write at a place in points from the top left; `y` is the baseline."""
        kind = {"size": SIZE, "va": "baseline", **kind}
        self.figure.text(x / self.wide, 1 - y / self.high, _plain(words), **kind)

    def axes(self, left: float, top: float, right: float, low: float, **kind: Any) -> Axes:
        """Add axes; all edges in points from the top left, inside title and caution."""
        box = (left / self.wide, 1 - low / self.high, (right - left) / self.wide,
               (low - top) / self.high)  # fmt: skip
        return self.figure.add_axes(box, **kind)

    @property
    def inner(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of what title and caution leave, points."""
        return MARGIN, self.top, self.wide - MARGIN, self.high - self.low


def _plain(words: str) -> str:
    """Text in which a dollar sign starts no formula."""
    return words.replace("$", r"\$")


def warned(figure: Figure, words: str) -> Figure:
    """Write above all else what must be known of the figures."""
    wide, high = (inches * 72 for inches in figure.get_size_inches())
    lines = look.wrapped(words, SMALL, wide - 2 * MARGIN)
    with styled():
        for number, line in enumerate(reversed(lines)):
            figure.text(MARGIN / wide, 1 - (MARGIN - 2 - 9 * number) / high, _plain(line),
                        size=SMALL, color=to_hex(STATUS["danger"].text))  # fmt: skip
    return figure


def written(figure: Figure, to: To) -> str | bytes:
    """Write a figure: SVG as text, PDF and PNG as bytes; no clock, no version in it."""
    buffer = io.BytesIO()
    notes: dict[str, dict[str, str | None]] = {
        "svg": {"Date": None, "Creator": "harness"},
        "pdf": {"CreationDate": None, "ModDate": None, "Creator": "harness", "Producer": "harness"},
        "png": {"Software": None},
    }
    with styled():
        figure.savefig(buffer, format=to, metadata=notes[to], dpi=150)
    data = buffer.getvalue()
    return data.decode() if to == "svg" else data
