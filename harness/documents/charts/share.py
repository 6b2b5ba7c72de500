"""What is nearest to its limit: bars of the share of what each thing bears, worst first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from harness.base.colours import LEVELS, amps_text, level_of, share_text, to_hex
from harness.base.data import dataclass
from harness.base.refusal import Refusal
from harness.documents.charts import Page, PlotSheet
from harness.documents.charts.axes import SMALL, Axes, Pen
from harness.drawing import look
from harness.drawing.font import text_width
from harness.electrics.outcome import Outcome
from harness.electrics.rows import LoadRow

WORST = "worst"
MOST = 30
"""Bars on one page."""
NAMES = 236.0  # breadth of the names, points
WORDS = 196.0  # breadth of the words at the right, points
MARKS = {"": "", "warning": "▲ ", "danger": "⬣ "}


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar: a thing's share, the current and the limit it comes from, and the case."""

    kind: str
    name: str
    share: float
    amps: float
    limit: float
    case: str

    @property
    def words(self) -> str:
        """What stands at the right of the bar."""
        mark = MARKS[level_of(self.share).shape]
        said = f"{share_text(self.share)}: {amps_text(self.amps)} of {self.limit:g} A"
        return f"{mark}{said}, {self.case}"


def share_figure(
    outcome: Outcome, rows: Sequence[LoadRow], case: str, page: Page = "A4"
) -> PlotSheet:
    """Bars of the share of what things bear in one case, or each in its worst (`case` "worst").

    Raises Refusal for a case that is not in the outcome or has no solution, and where nothing has
    a limit.
    """
    every = bars_of(outcome, rows, case)
    shown = every[:MOST]
    about = {c.name: c.about for c in outcome.cases}.get(case, "each in the case worst for it")
    left_out = len(every) - len(shown)
    notes = [f"{case}: {about}"]
    notes[0] += f"; the {len(shown)} nearest to their limits of {len(every)}" if left_out else ""
    sheet = PlotSheet(outcome.plan, "share of what each thing bears, worst first", page, notes)
    left, top, right, low = sheet.inner
    _draw(sheet.axes(left + NAMES, top, right - WORDS, low - 24), shown)
    return sheet


def bars_of(outcome: Outcome, rows: Sequence[LoadRow], case: str) -> list[Bar]:
    """Return what has a limit, the largest share first; raises Refusal."""
    names = [c.name for c in outcome.cases]
    if case not in (*names, WORST):
        raise Refusal(f'no case "{case}" among {", ".join(names)}')
    for name, why in outcome.trouble.items():
        if case in (name, WORST):
            raise Refusal(f'case "{name}" has no solution, so there is nothing to plot: {why}')
    found = [bar for row in rows for bar in _bar(row, names, case)]
    if not found:
        raise Refusal("nothing in this plan has a known limit, so there is no share to plot")
    return sorted(found, key=lambda bar: (-bar.share, bar.kind, bar.name))


def _bar(row: LoadRow, names: Sequence[str], case: str) -> Iterator[Bar]:
    at = row.worst if case == WORST else names.index(case)
    share = float(row.share[at])
    if np.isfinite(share):
        amps = abs(float(row.amps[at]))
        limits = [row.steady] if row.lasting[at] > 0 else []
        known = [limit.figure.number for limit in (*limits, row.burst) if limit is not None]
        name = f"{row.label} {row.name}".strip()
        yield Bar(row.kind, name, share, amps, min(known), names[at])


def _draw(axes: Axes, bars: Sequence[Bar]) -> None:
    most = max(100.0, *(100 * bar.share for bar in bars))
    axes.x.limits, axes.y.limits = (0, most * 1.04), (max(len(bars), 8) - 0.4, -0.6)
    axes.y.ticks, axes.ticked = [(n, _named(bar)) for n, bar in enumerate(bars)], False
    axes.grid, axes.words = "x", ("share of what it bears, %  (100 % is all of it)", "")
    for level in LEVELS[1:]:
        whole = Pen(look.INK, 1.6) if level.least == 1.0 else Pen(look.SOFT_INK, 0.8, (4, 3))
        axes.upright(100 * level.least, whole)
    for place, bar in enumerate(bars):
        level = level_of(bar.share)
        hatch = {"warning": "//", "danger": "xx"}.get(level.shape, "")
        axes.bar(0, 100 * bar.share, place, 0.66, to_hex(level.status.fill), hatch)
        axes.say(
            look.shortened(bar.words, SMALL, WORDS - 8), (1.0, place), (8, 0), "x", stand="about"
        )


def _named(bar: Bar) -> str:
    kind = f"{bar.kind}  "
    return kind + look.shortened(bar.name, SMALL, NAMES - 8 - text_width(kind, SMALL))
