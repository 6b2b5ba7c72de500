"""Packs on paper: their charge and volts through a flight, and what flows when they are joined."""

from __future__ import annotations

import numpy as np

from harness.base.refusal import Refusal
from harness.documents.cautions import CHARGING
from harness.documents.charts import CAUTION, Page, PlotSheet, limit_of, line_of
from harness.documents.charts.axes import SMALL, Axes, Axis, Pen
from harness.drawing import look
from harness.drawing.font import text_width
from harness.electrics.endurance import Endurance, Flight, PackTime
from harness.electrics.equalise import Equalising
from harness.plan.plan import Plan

SOON = 0.1
"""s: the axis of time is even up to here, then each ten times longer takes as much room."""
WORDS = 150.0  # breadth of the words at the right, points


def equalise_figure(plan: Plan, found: Equalising, page: Page = "A4") -> PlotSheet:
    """Plot currents and volts of packs just joined. Raises Refusal where a capacity is missing."""
    if len(found.times) < 2:
        missing = "; ".join(found.unknown) or found.ended
        raise Refusal(f"the decay of the equalising current cannot be plotted: {missing}")
    sheet = PlotSheet(
        plan,
        f"packs {' and '.join(found.packs)} joined: equalising current",
        page,
        [_ending(found)],
        f"{CHARGING} {CAUTION}",
    )
    left, top, right, low = sheet.inner
    middle, last = top + 0.6 * (low - top), float(found.times[-1])
    decades = [0.0, *(10.0**n for n in range(-1, 7) if 10.0**n <= last)]
    time = Axis((0, last), [(tick, f"{tick:g}") for tick in decades], soon=SOON)
    amps = sheet.axes(left + 40, top + 6, right - WORDS, middle, time)
    volts = sheet.axes(left + 40, middle + 24, right - WORDS, low - 26, time)
    _currents(sheet, amps, found)
    _rest_volts(volts, found)
    return sheet


def _ending(found: Equalising) -> str:
    calm = (
        "not settled" if found.settled is None else f"settled (0.1 C) after {_time(found.settled)}"
    )
    return (
        f"{calm}; {found.ended}; {1000 * found.moved:.0f} mAh changed packs, "
        f"{found.joules:.0f} J turned to heat"
    )


def _time(seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds < 120 else f"{seconds / 60:.0f} min"


def _currents(sheet: PlotSheet, axes: Axes, found: Equalising) -> None:
    _, top, right, _ = axes.box
    for number, pack in enumerate(found.packs):
        axes.plot(found.times, found.amps[pack], line_of(number, 1.6), pack, every=0.12)
    _limits(axes, found)
    axes.level(0, Pen(look.SOFT_INK, 0.8))
    axes.grid, axes.numbered = "xy", False
    axes.words = "", "current given, A  (below 0: being charged)"
    sheet.text(right + 10, top + 8, "pack", size=SMALL)
    pens = [line_of(number, 1.6) for number in range(len(found.packs))]
    sheet.key(zip(pens, found.packs, strict=True), right + 10, top + 14)


def _limits(axes: Axes, found: Equalising) -> None:
    """Mark what each pack gives cautiously, and 1 C of charging, with their numbers."""
    lines = []
    for number, start in enumerate(found.start):
        pen = limit_of(line_of(number))
        if start.limit is not None:
            lines.append(
                (
                    start.limit.number,
                    f"{start.pack} gives cautiously {start.limit.number:.0f} A",
                    pen,
                )
            )
        if start.rate and start.amps < 0:
            one = abs(start.amps) / start.rate
            lines.append((-one, f"{start.pack} charged at 1 C: {one:.1f} A", pen))
    reach = max(float(np.abs(found.amps[pack]).max()) for pack in found.packs)
    shown = [line for line in lines if abs(line[0]) <= 3 * reach]
    for level, _, pen in shown:
        axes.level(level, pen)
    words = [
        text + ("" if line in shown else " (off the plot)") for line in lines for text in line[1:2]
    ]
    said = [part for text in words for part in (*look.wrapped(text, SMALL, WORDS - 14), "")]
    axes.say("\n".join(["dotted:", *said]), (1.0, 0.0), (10, 0), "xy", stand="above")


def _rest_volts(axes: Axes, found: Equalising) -> None:
    for number, pack in enumerate(found.packs):
        axes.plot(found.times, found.rest[pack], line_of(number, 1.4), pack, every=0.12)
    if found.settled is not None:
        axes.upright(found.settled, Pen(look.INK, 1.0))
        axes.say("settled", (found.settled, 0.5), (3, 0), "y")
    axes.grid, axes.words = "xy", ("time since joining, s", "volts at rest, V")


SHADES = ("#E3EEF8", "#FFFFFF")
APART = 62.0  # between the two flights, points
LEFT = 34.0  # room for the numbers of an axis, points
NAMES = 34.0  # room for the names of phases, points


def endurance_figure(plan: Plan, found: Endurance, page: Page = "A4") -> PlotSheet:
    """Plot charge and volts of the packs, one column a flight; raises Refusal for no flight."""
    flights = [flight for flight in found.flights if len(flight.times) and flight.times[-1] > 0]
    if not flights:
        ended = "every flight ends before it begins" if found.flights else ""
        missing = (
            found.untold or "; ".join(found.unknown) or ended or "the plan has no pack to follow"
        )
        raise Refusal(f"no flight can be reckoned: {missing}")
    what = "endurance: charge and volts of each pack through the flight"
    said = [_said(flight) for flight in flights]
    sheet = PlotSheet(plan, what, page, said, f"{CHARGING} {CAUTION}")
    left, top, right, low = sheet.inner
    wide = (right - left - LEFT - APART * (len(flights) - 1)) / len(flights)
    key = 40 + 11.6 * max(len(flight.packs) for flight in flights)
    start = top + NAMES
    middle = (start + low - key) / 2
    for number, flight in enumerate(flights):
        x = left + LEFT + number * (wide + APART)
        time = Axis(limits=(0, float(flight.times[-1]) / 60))
        charge = sheet.axes(x, start, x + wide, middle - 8, time)
        volts = sheet.axes(x, middle + 8, x + wide, low - key, time)
        _phases(charge, volts, flight, wide)
        _charge(charge, flight)
        _volts(volts, flight)
        words = [look.shortened(words_of(pack), SMALL, wide - 40) for pack in flight.packs]
        pens = [line_of(number) for number in range(len(words))]
        sheet.key(zip(pens, words, strict=True), x, low - key + 33, 26)
    return sheet


def _said(flight: Flight) -> str:
    lasts = "never" if flight.lasts is None else f"after {flight.lasts / 60:.1f} min"
    who = f" ({flight.first})" if flight.first else ""
    stop = f"; stops: {flight.stopped}" if flight.stopped else ""
    what = "cut-off" if flight.cut else "at the reserve"
    return f"{flight.mode}: {what} {lasts}{who}; {flight.about}{stop}"


def _charge(axes: Axes, flight: Flight) -> None:
    for number, pack in enumerate(flight.packs):
        pen, reserve = line_of(number), 100 * pack.reserve.number
        axes.plot(flight.times / 60, 100 * flight.charge[pack.pack], pen, pack.pack, every=0.2)
        axes.level(reserve, limit_of(pen))
        if pack.to_reserve is not None and pack.to_reserve <= flight.times[-1] + 1e-6:
            axes.plot([pack.to_reserve / 60], [reserve], Pen(look.INK, marker="X", size=8))
    reserve = max(pack.reserve.number for pack in flight.packs)
    axes.say("reserve (dotted)", (0, 100 * reserve), (3, 3))
    axes.y.limits, axes.grid, axes.numbered = (0, 105), "y", False
    axes.words = "", "charge left, %"


def _volts(axes: Axes, flight: Flight) -> None:
    for number, pack in enumerate(flight.packs):
        volts = flight.volts[pack.pack]
        axes.plot(flight.times / 60, volts, line_of(number), pack.pack, every=0.2)
    axes.grid = "y"
    axes.words = f"{flight.mode}: time since take-off, min", "volts at the poles, V"


def _phases(charge: Axes, volts: Axes, flight: Flight, wide: float) -> None:
    """Shade every other phase; write its name over it where it has room, else on a second line."""
    last = float(flight.times[-1]) / 60
    ends = [float("-inf")] * 3
    for number, phase in enumerate(flight.phases):
        start, end = phase.start / 60, phase.end / 60
        for axes in (charge, volts):
            axes.span(start, end, SHADES[number % 2])
            axes.upright(end, Pen(look.PALE, 0.8))
        name = phase.name + (" (on)" if phase.added else "")
        x = start / last * wide
        row = next((n for n, taken in enumerate(ends) if x >= taken), None)
        if row is None:
            continue
        name = look.shortened(name, SMALL, wide - x)
        ends[row] = x + text_width(name, SMALL) + 5
        charge.say(name, (start, 1.0), (1, 3 + 9.5 * row), "y")


def words_of(pack: PackTime) -> str:
    """Return a pack's name, its lowest volts, what it gave and when it is at its reserve."""
    reserve = "" if pack.to_reserve is None else f", reserve after {pack.to_reserve / 60:.1f} min"
    kind = "" if pack.motor else " (radio supply)"
    return (
        f"{pack.pack}{kind}: lowest {pack.lowest:.2f} V, {pack.milliamp_hours:.0f} mAh given"
        f"{reserve}"
    )
