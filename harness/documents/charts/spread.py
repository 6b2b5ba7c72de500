"""How far figures spread between aeroplanes built to one plan, and how often limits are passed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from harness.base.colours import OKABE_ITO, to_hex
from harness.base.data import dataclass, replace
from harness.base.refusal import Refusal
from harness.documents.charts import Page, PlotSheet
from harness.documents.charts.axes import SMALL, Axes, Pen
from harness.documents.figures.tolerance import RowKey, key_of
from harness.drawing import look
from harness.drawing.font import text_width
from harness.drawing.scene import Path, rect_path
from harness.electrics.margins import LOWEST
from harness.electrics.tolerance import Passing, Tolerance, ToleranceBand
from harness.plan.plan import Plan

MOST = 26
"""Rows on one page."""
NAMES = 216.0  # breadth of the names, points
WORDS = 232.0  # breadth of the words at the right, points
FILL = to_hex(OKABE_ITO["sky blue"])
RANGE = Pen(look.INK, 1.2, marker="|", size=6, edge_width=1.2)
MEDIAN, LIMIT = Pen(look.INK, 2.0), Pen(to_hex(OKABE_ITO["vermilion"]), 2.2)
NOMINAL = Pen("#FFFFFF", marker="o", edge=look.INK, bare=True)
Quantity = Literal["share", "volts"]


@dataclass(frozen=True, slots=True)
class Row:
    """One band to be drawn: its limit where it has one, and how often that is passed, 0 to 1."""

    band: ToleranceBand
    limit: float | None
    passed: float | None
    scale: float = 1.0

    @property
    def spare(self) -> float:
        """How far the band stays from its limit; the least is drawn first."""
        band = self.band
        if band.quantity == "volts":
            return band.least - (self.limit or 0.0)
        return -band.most


def spread_figure(
    plan: Plan, found: Tolerance, page: Page = "A4", *, quantity: Quantity = "share"
) -> PlotSheet:
    """Plot the spread of shares, or of volts, worst first. Raises Refusal where there is none."""
    every = spread_rows(found, quantity)
    if not every:
        raise Refusal(f"no {quantity} with a limit came out of the draws, so there is no plot")
    rows = every[:MOST]
    what = "share of what each thing bears" if quantity == "share" else "volts at each device"
    sheet = PlotSheet(plan, f"tolerance: spread of {what}, worst first", page, [_said(found)])
    left, top, right, low = sheet.inner
    _draw(sheet.axes(left + NAMES, top + 14, right - WORDS, low - 26), rows)
    _key(sheet, left + NAMES, top)
    return sheet


def _said(found: Tolerance) -> str:
    made = f"{found.draws} draws" if found.kind != "corners" else f"{found.draws} corners"
    seed = f", seed {found.seed}" if found.kind != "corners" else ""
    bad = f"; {found.unsolved_draws} of them without a solution are left out"
    return f"{found.kind}: {made}{seed}{bad * bool(found.unsolved_draws)}; each in its worst case"


def spread_rows(found: Tolerance, quantity: Quantity) -> list[Row]:
    """Return the bands of a quantity with their limits, the worst first."""
    passed = _passed(found, quantity)
    rows = []
    for band in found.bands:
        if band.quantity == quantity and (quantity == "share" or band.row.kind == "part"):
            limit = passed.get(key_of(band.row))
            often = limit.share if limit else None
            if quantity == "share":
                rows.append(Row(band, 1.0, often, 100.0))
            elif limit:
                rows.append(Row(band, limit.margin.limit.figure.number, often))
    return sorted(rows, key=lambda row: (row.spare, key_of(row.band.row)))


def _passed(found: Tolerance, quantity: Quantity) -> Mapping[RowKey, Passing]:
    """The limit of each row that is passed most often (volts: the highest lower limit)."""
    best: dict[RowKey, Passing] = {}
    for passing in found.limits:
        margin, key = passing.margin, key_of(passing.row)
        fits = margin.what == LOWEST if quantity == "volts" else margin.quantity == "amps"
        if fits and (key not in best or _rank(passing) > _rank(best[key])):
            best[key] = passing
    return best


def _rank(passing: Passing) -> tuple[int, float]:
    number = passing.margin.limit.figure.number
    return passing.draws, number if passing.margin.quantity == "volts" else -number


def _draw(axes: Axes, rows: Sequence[Row]) -> None:
    for place, row in enumerate(rows):
        band, k = row.band, row.scale
        if row.limit is not None:
            axes.plot([k * row.limit] * 2, [place - 0.42, place + 0.42], LIMIT, "limit")
        axes.plot([k * band.least, k * band.most], [place, place], RANGE, "range")
        axes.bar(k * band.low, k * band.high, place, 0.5, FILL)
        axes.plot([k * band.median] * 2, [place - 0.27, place + 0.27], MEDIAN, "median")
        axes.plot([k * band.nominal], [place], NOMINAL)
        axes.say(words_of(row), (1.0, place), (8, 0), "x", stand="about")
    axes.y.limits, axes.ticked = (max(len(rows), 8) - 0.4, -0.6), False
    axes.y.ticks = [(n, _named(row.band)) for n, row in enumerate(rows)]
    share = rows[0].band.quantity == "share"
    axes.grid = "x"
    axes.words = "share of what it bears, %" if share else "volts at the device, V", ""


def words_of(row: Row) -> str:
    """What stands behind a band: median, both ends, how often the limit is passed, the case."""
    band, k = row.band, row.scale
    unit, places = ("%", 0) if band.quantity == "share" else ("V", 2)
    low, median, high = (f"{k * value:.{places}f}" for value in (band.low, band.median, band.high))
    often = "" if row.passed is None else f"; limit {_often(row.passed)}"
    words = f"{median} ({low} to {high}) {unit}{often}, {band.case}"
    return look.shortened(words, SMALL, WORDS - 8)


def _often(share: float) -> str:
    return "never passed" if not share else f"passed in {100 * share:.1f} %"


def _named(band: ToleranceBand) -> str:
    kind = f"{band.row.kind}  "
    name = f"{band.row.label} {band.row.name}".strip()
    return kind + look.shortened(name, SMALL, NAMES - 8 - text_width(kind, SMALL))


def _key(sheet: PlotSheet, left: float, top: float) -> None:
    """Say above the bands, side by side, what their marks are."""
    entries = (
        (RANGE, "least to most"),
        (None, "5 % to 95 % of draws"),
        (replace(MEDIAN, marker="|", size=8, edge_width=2.0, bare=True), "median"),
        (NOMINAL, "everything as in the catalogue"),
        (replace(LIMIT, marker="|", size=9, edge_width=2.2, bare=True), "limit"),
    )
    for pen, words in entries:
        if pen is None:
            box = rect_path(left, top + 0.5, 15, 6.5)
            sheet.items.append(Path(box, FILL, look.INK, 0.6, join="miter"))
        sheet.key([(pen or Pen(look.INK, bare=True), words)], left, top, 15)
        left += 35 + text_width(words, SMALL)
