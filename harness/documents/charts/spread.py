"""How far figures spread between aeroplanes built to one plan, and how often limits are passed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Literal

from harness.base.colours import OKABE_ITO, to_hex
from harness.base.data import dataclass
from harness.base.refusal import Refusal
from harness.documents.charts import SMALL, Page, PlotSheet, styled
from harness.documents.figures.tolerance import RowKey, key_of
from harness.drawing import look
from harness.drawing.font import text_width
from harness.electrics.margins import LOWEST
from harness.electrics.tolerance import Passing, Tolerance, ToleranceBand
from harness.plan.plan import Plan

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MOST = 26
"""Rows on one page."""
NAMES = 216.0  # breadth of the names, points
WORDS = 232.0  # breadth of the words at the right, points
FILL = to_hex(OKABE_ITO["sky blue"])
LIMIT = to_hex(OKABE_ITO["vermilion"])
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
) -> Figure:
    """Plot the spread of shares, or of volts, worst first. Raises Refusal where there is none."""
    every = spread_rows(found, quantity)
    if not every:
        raise Refusal(f"no {quantity} with a limit came out of the draws, so there is no plot")
    rows = every[:MOST]
    what = "share of what each thing bears" if quantity == "share" else "volts at each device"
    with styled():
        sheet = PlotSheet(plan, f"tolerance: spread of {what}, worst first", page, [_said(found)])
        left, top, right, low = sheet.inner
        axes = sheet.axes(left + NAMES, top + 14, right - WORDS, low - 26)
        _draw(axes, rows)
        _key(axes)
    return sheet.figure


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
        axes.plot([k * band.least, k * band.most], [place, place], color=look.INK, linewidth=1.2,
                  marker="|", markersize=6, label="_range")  # fmt: skip
        axes.barh(place, k * (band.high - band.low), left=k * band.low, height=0.5, color=FILL,
                  edgecolor=look.INK, linewidth=0.6, zorder=2.5)  # fmt: skip
        axes.plot([k * band.median] * 2, [place - 0.27, place + 0.27], color=look.INK,
                  linewidth=2.0, label="_median", zorder=3)  # fmt: skip
        axes.plot([k * band.nominal], [place], color="white", marker="o", markersize=4, zorder=4,
                  markeredgecolor=look.INK, linestyle="none", label="_nominal")  # fmt: skip
        if row.limit is not None:
            axes.plot([k * row.limit] * 2, [place - 0.42, place + 0.42], color=LIMIT,
                      linewidth=2.2, label="_limit", zorder=2)  # fmt: skip
        axes.annotate(words_of(row), (1.0, place), (8, 0), textcoords="offset points",
                      xycoords=("axes fraction", "data"), va="center", size=SMALL)  # fmt: skip
    axes.set_ylim(max(len(rows), 8) - 0.4, -0.6)
    axes.set_yticks(range(len(rows)), [_named(row.band) for row in rows])
    axes.tick_params(axis="y", length=0)
    axes.grid(axis="x")
    share = rows[0].band.quantity == "share"
    axes.set_xlabel("share of what it bears, %" if share else "volts at the device, V")


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


def _key(axes: Axes) -> None:
    from matplotlib.lines import Line2D
    from matplotlib.patches import Patch

    handles = [
        Line2D([], [], color=look.INK, marker="|", markersize=6, linewidth=1.2,
               label="least to most"),
        Patch(facecolor=FILL, edgecolor=look.INK, linewidth=0.6, label="5 % to 95 % of draws"),
        Line2D([], [], color=look.INK, marker="|", markersize=8, markeredgewidth=2.0,
               linestyle="none", label="median"),
        Line2D([], [], color="white", marker="o", markersize=4, markeredgecolor=look.INK,
               linestyle="none", label="everything as in the catalogue"),
        Line2D([], [], color=LIMIT, marker="|", markersize=9, markeredgewidth=2.2,
               linestyle="none", label="limit"),
    ]  # fmt: skip
    axes.legend(handles=handles, loc="lower left", bbox_to_anchor=(-0.01, 1.0), ncols=5,
                columnspacing=1.4, handletextpad=0.5)  # fmt: skip
