"""Packs on paper: their charge and volts through a flight, and what flows when they are joined."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from harness.base.refusal import Refusal
from harness.documents.cautions import CHARGING
from harness.documents.charts import CAUTION, DOTS, SMALL, Page, PlotSheet, line_of, styled
from harness.drawing import look
from harness.drawing.font import text_width
from harness.electrics.endurance import Endurance, Flight, PackTime
from harness.electrics.equalise import Equalising
from harness.plan.plan import Plan

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure


SOON = 0.1
"""s: the axis of time is even up to here, then each ten times longer takes as much room."""
WORDS = 150.0  # breadth of the words at the right, points


def equalise_figure(plan: Plan, found: Equalising, page: Page = "A4") -> Figure:
    """Plot currents and volts of packs just joined. Raises Refusal where a capacity is missing."""
    if len(found.times) < 2:
        missing = "; ".join(found.unknown) or found.ended
        raise Refusal(f"the decay of the equalising current cannot be plotted: {missing}")
    with styled():
        sheet = PlotSheet(plan, f"packs {' and '.join(found.packs)} joined: equalising current",
                      page, [_ending(found)], f"{CHARGING} {CAUTION}")  # fmt: skip
        left, top, right, low = sheet.inner
        middle = top + 0.6 * (low - top)
        amps = sheet.axes(left + 40, top + 6, right - WORDS, middle)
        volts = sheet.axes(left + 40, middle + 24, right - WORDS, low - 26, sharex=amps)
        _currents(amps, found)
        _rest_volts(volts, found)
    return sheet.figure


def _ending(found: Equalising) -> str:
    calm = (
        "not settled" if found.settled is None else f"settled (0.1 C) after {_time(found.settled)}"
    )
    return (f"{calm}; {found.ended}; {1000 * found.moved:.0f} mAh changed packs, "
            f"{found.joules:.0f} J turned to heat")  # fmt: skip


def _time(seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds < 120 else f"{seconds / 60:.0f} min"


def _currents(axes: Axes, found: Equalising) -> None:
    for number, pack in enumerate(found.packs):
        color, dash, marker = line_of(number)
        axes.plot(found.times, found.amps[pack], color=color, linestyle=dash, linewidth=1.6,
                  marker=marker, markevery=0.12, markersize=4, label=pack)  # fmt: skip
    _limits(axes, found)
    axes.axhline(0, color=look.SOFT_INK, linewidth=0.8)
    axes.set_ylabel("current given, A  (below 0: being charged)")
    axes.grid(visible=True)
    axes.tick_params(labelbottom=False)
    axes.legend(loc="upper left", bbox_to_anchor=(1.01, 1.0), title="pack")


def _limits(axes: Axes, found: Equalising) -> None:
    """Mark what each pack gives cautiously, and 1 C of charging, with their numbers."""
    lines = []
    for number, start in enumerate(found.start):
        color = line_of(number).color
        if start.limit is not None:
            lines.append((start.limit.number, f"{start.pack} gives cautiously "
                          f"{start.limit.number:.0f} A", color))  # fmt: skip
        if start.rate and start.amps < 0:
            one = abs(start.amps) / start.rate
            lines.append((-one, f"{start.pack} charged at 1 C: {one:.1f} A", color))
    reach = max(float(np.abs(found.amps[pack]).max()) for pack in found.packs)
    shown = [line for line in lines if abs(line[0]) <= 3 * reach]
    for level, _, color in shown:
        axes.axhline(level, color=color, linewidth=1.2, linestyle=DOTS)
    words = [text + ("" if line in shown else " (off the plot)") for line in lines
             for text in line[1:2]]  # fmt: skip
    said = [part for text in words for part in (*look.wrapped(text, SMALL, WORDS - 14), "")]
    axes.annotate("\n".join(["dotted:", *said]), (1.0, 0.0), (10, 0), xycoords="axes fraction",
                  textcoords="offset points", size=SMALL, va="bottom")  # fmt: skip


def _rest_volts(axes: Axes, found: Equalising) -> None:
    for number, pack in enumerate(found.packs):
        color, dash, marker = line_of(number)
        axes.plot(found.times, found.rest[pack], color=color, linestyle=dash, linewidth=1.4,
                  marker=marker, markevery=0.12, markersize=4)  # fmt: skip
    if found.settled is not None:
        axes.axvline(found.settled, color=look.INK, linewidth=1.0)
        axes.annotate("settled", (found.settled, 0.5), (3, 0), xycoords=("data", "axes fraction"),
                      textcoords="offset points", size=SMALL)  # fmt: skip
    last = float(found.times[-1])
    axes.set_xscale("symlog", linthresh=SOON, linscale=0.4)
    axes.set_xlim(0, last)
    ticks = [0.0, *(10.0**n for n in range(-1, 7) if 10.0**n <= last)]
    axes.set_xticks(ticks, [f"{tick:g}" for tick in ticks])
    axes.set_xticks([], minor=True)
    axes.set_xlabel("time since joining, s")
    axes.set_ylabel("volts at rest, V")
    axes.grid(visible=True)


SHADES = ("#E3EEF8", "#FFFFFF")
APART = 62.0  # between the two flights, points
LEFT = 34.0  # room for the numbers of an axis, points
NAMES = 34.0  # room for the names of phases, points


def endurance_figure(plan: Plan, found: Endurance, page: Page = "A4") -> Figure:
    """Plot charge and volts of the packs, one column a flight; raises Refusal for no flight."""
    flights = [flight for flight in found.flights if len(flight.times) and flight.times[-1] > 0]
    if not flights:
        ended = "every flight ends before it begins" if found.flights else ""
        missing = (
            found.untold or "; ".join(found.unknown) or ended or "the plan has no pack to follow"
        )
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
    what = "cut-off" if flight.cut else "at the reserve"
    return f"{flight.mode}: {what} {lasts}{who}; {flight.about}{stop}"


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
