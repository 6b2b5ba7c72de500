"""A flight on paper: charge and volts of every pack through its phases, typical and worst."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness.base.refusal import Refusal
from harness.documents.cautions import CHARGING
from harness.documents.charts.style import CAUTION, DOTS, SMALL, Page, PlotSheet, line_of, styled
from harness.drawing import look
from harness.drawing.font import text_width
from harness.electrics.endurance import Endurance, Flight, PackTime
from harness.plan.plan import Plan

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

SHADES = ("#E3EEF8", "#FFFFFF")
APART = 62.0  # between the two flights, points
LEFT = 34.0  # room for the numbers of an axis, points
NAMES = 34.0  # room for the names of phases, points


def endurance_figure(plan: Plan, found: Endurance, page: Page = "A4") -> Figure:
    """Plot charge and volts of the packs, one column a flight; raises Refusal for no flight."""
    flights = [flight for flight in found.flights if len(flight.times) and flight.times[-1] > 0]
    if not flights:
        ended = "every flight ends before it begins" if found.flights else ""
        missing = "; ".join(found.unknown) or ended or "the plan has no pack to follow"
        raise Refusal(f"no flight can be reckoned: {missing}")
    with styled():
        what = "endurance: charge and volts of each pack through the flight"
        said = [_said(flight) for flight in flights]
        sheet = PlotSheet(plan, what, page, said, f"{CHARGING} {CAUTION}")
        left, top, right, low = sheet.inner
        wide = (right - left - LEFT - APART * (len(flights) - 1)) / len(flights)
        key = 40 + 11.0 * max(len(flight.packs) for flight in flights)
        start = top + NAMES
        middle = (start + low - key) / 2
        for number, flight in enumerate(flights):
            x = left + LEFT + number * (wide + APART)
            charge = sheet.axes(x, start, x + wide, middle - 8)
            volts = sheet.axes(x, middle + 8, x + wide, low - key, sharex=charge)
            _phases(charge, volts, flight, wide)
            _charge(charge, flight)
            _volts(volts, flight)
            _key(sheet, flight, x, low - key + 36, wide)
    return sheet.figure


def _said(flight: Flight) -> str:
    lasts = "never" if flight.lasts is None else f"after {flight.lasts / 60:.1f} min"
    who = f" ({flight.first})" if flight.first else ""
    stop = f"; stops: {flight.stopped}" if flight.stopped else ""
    return f"{flight.mode}: at the reserve {lasts}{who}; {flight.about}{stop}"


def _charge(axes: Axes, flight: Flight) -> None:
    for number, pack in enumerate(flight.packs):
        color, dash, marker = line_of(number)
        axes.plot(flight.times / 60, 100 * flight.charge[pack.pack], color=color, linestyle=dash,
                  marker=marker, markevery=0.2, markersize=4, label=pack.pack)  # fmt: skip
        axes.axhline(100 * pack.reserve.number, color=color, linewidth=1.2, linestyle=DOTS)
        if pack.to_reserve is not None and pack.to_reserve <= flight.times[-1] + 1e-6:
            axes.plot([pack.to_reserve / 60], [100 * pack.reserve.number], marker="X",
                      markersize=8, color=look.INK, linestyle="none")  # fmt: skip
    reserve = max(pack.reserve.number for pack in flight.packs)
    axes.annotate(
        "reserve (dotted)", (0, 100 * reserve), (3, 3), textcoords="offset points", size=SMALL
    )
    axes.set_ylim(0, 105)
    axes.set_ylabel("charge left, %")
    axes.tick_params(labelbottom=False)
    axes.grid(axis="y")


def _volts(axes: Axes, flight: Flight) -> None:
    for number, pack in enumerate(flight.packs):
        color, dash, marker = line_of(number)
        axes.plot(flight.times / 60, flight.volts[pack.pack], color=color, linestyle=dash,
                  marker=marker, markevery=0.2, markersize=4)  # fmt: skip
    axes.set_ylabel("volts at the poles, V")
    axes.set_xlabel(f"{flight.mode}: time since take-off, min")
    axes.grid(axis="y")


def _phases(charge: Axes, volts: Axes, flight: Flight, wide: float) -> None:
    """Shade every other phase; write its name over it where it has room, else on a second line."""
    last = float(flight.times[-1]) / 60
    charge.set_xlim(0, last)
    ends = [float("-inf")] * 3
    for number, phase in enumerate(flight.phases):
        start, end = phase.start / 60, phase.end / 60
        for axes in (charge, volts):
            axes.axvspan(start, end, color=SHADES[number % 2], linewidth=0, zorder=0)
            axes.axvline(end, color=look.PALE, linewidth=0.8, zorder=0.5)
        name = phase.name + (" (on)" if phase.added else "")
        x = start / last * wide
        row = next((n for n, taken in enumerate(ends) if x >= taken), None)
        if row is None:
            continue
        name = look.shortened(name, SMALL, wide - x)
        ends[row] = x + text_width(name, SMALL) + 5
        charge.annotate(name, (start, 1.0), (1, 3 + 9.5 * row), xycoords=("data", "axes fraction"),
                        textcoords="offset points", size=SMALL)  # fmt: skip


def _key(sheet: PlotSheet, flight: Flight, left: float, top: float, wide: float) -> None:
    """Write below a flight which line is which pack, and what becomes of it."""
    from matplotlib.lines import Line2D

    handles = []
    for number, pack in enumerate(flight.packs):
        color, dash, marker = line_of(number)
        words = look.shortened(words_of(pack), SMALL, wide - 40)
        handles.append(Line2D([], [], color=color, linestyle=dash, marker=marker, markersize=4,
                              label=words))  # fmt: skip
    sheet.figure.legend(handles=handles, loc="upper left", borderpad=0, borderaxespad=0,
                        labelspacing=0.3, handlelength=3.4,
                        bbox_to_anchor=(left / sheet.wide, 1 - top / sheet.high))  # fmt: skip


def words_of(pack: PackTime) -> str:
    """Return a pack's name, its lowest volts, what it gave and when it is at its reserve."""
    reserve = "" if pack.to_reserve is None else f", reserve after {pack.to_reserve / 60:.1f} min"
    kind = "" if pack.motor else " (radio supply)"
    return (f"{pack.pack}{kind}: lowest {pack.lowest:.2f} V, {pack.milliamp_hours:.0f} mAh given"
            f"{reserve}")  # fmt: skip
