"""A sequencer at work: where doors and legs are, what they draw, how low the volts go.

One run in full, or all runs small, side by side.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from math import ceil

import numpy as np

from harness.base.colours import OKABE_ITO, amps_text, to_hex, volts_text
from harness.base.near import hint
from harness.base.refusal import Refusal
from harness.documents.charts import Page, PlotSheet, limit_of, line_of
from harness.documents.charts.axes import SMALL, Axes, Axis, Pen
from harness.drawing import look
from harness.drawing.font import Weight
from harness.electrics.gear.timeline import GearRun, TimeLine
from harness.electrics.solver.circuit import Array
from harness.plan.plan import Plan

NAMES = 84.0  # breadth of the names at the left, points
WORDS = 186.0  # breadth of the words at the right, points
CLASH = to_hex(OKABE_ITO["vermilion"])
FILL = "#B9D8EC"
STALL = to_hex(OKABE_ITO["orange"])
DOOR = to_hex(OKABE_ITO["blue"])
COLUMNS = 4
KEY = "dots: pushes or stuck; crossed: a clash"


def timeline_figure(plan: Plan, found: TimeLine, page: Page = "A4", *, run: str = "") -> PlotSheet:
    """Plot one run of a function, or all of them small. Raises Refusal for no such run."""
    names = [one.name for one in found.runs]
    if run and run not in names:
        right = hint(run, names, most=30)
        raise Refusal(f'no run "{run}" of {found.function}; {right}'.rstrip("; "))
    if run or len(names) == 1:
        return _one(plan, found, found.run(run or names[0]), page)
    return _all(plan, found, page)


def _one(plan: Plan, found: TimeLine, run: GearRun, page: Page) -> PlotSheet:
    notes = [*(clash.about for clash in run.clashes), *_brown(run)] or ["no clash, no brown-out"]
    sheet = PlotSheet(
        plan,
        f"time line of {found.function}, run {run.name}: {run.about}",
        page,
        ["; ".join(notes)],
    )
    left, top, right, low = sheet.inner
    left, right, low = left + NAMES, right - WORDS, low - 26
    lanes = top + 0.5 * (low - top)
    amps = lanes + 0.5 * (low - lanes)
    time = Axis(limits=(0, max(float(run.times[-1]), 1e-3)))
    upper = sheet.axes(left, top, right, lanes - 5, time)
    middle = sheet.axes(left, lanes + 5, right, amps - 5, time)
    lower = sheet.axes(left, amps + 5, right, low, time)
    _lanes(upper, found.movers, run)
    _currents(sheet, middle, found.feeding, run)
    _volts(sheet, lower, run)
    for axes in (upper, middle, lower):
        _clashes(axes, run)
        axes.grid, axes.numbered = axes.grid + "x", axes is lower
    return sheet


def _brown(run: GearRun) -> list[str]:
    return [
        f"{low.device} gets {low.volts:.2f} V at {low.time:.1f} s, needs {low.limit.number:g} V"
        for low in run.brown_outs
    ]


def _lanes(axes: Axes, movers: Sequence[str], run: GearRun) -> None:
    """Draw each mover's way between 0 and 1 in a lane of its own, first at the top."""
    shown = [name for name in movers if name in run.positions]
    for row, name in enumerate(shown):
        base = len(shown) - 1 - row
        way = base + 0.78 * run.positions[name]
        axes.area(run.times, base, way, FILL)
        axes.plot(run.times, way, Pen(look.INK, 1.2), name)
        pushing = np.array([state == "stalled" for state in run.states[name]])
        axes.plot(
            run.times[pushing],
            way[pushing],
            Pen(STALL, marker=".", edge=look.INK, edge_width=0.3, bare=True),
        )
        axes.level(base, Pen(look.PALE, 0.6))
    axes.y.limits = (-0.1, max(len(shown), 1))
    axes.y.ticks = [
        (len(shown) - 1 - n + 0.35, look.shortened(name, SMALL, NAMES - 8))
        for n, name in enumerate(shown)
    ]
    axes.ticked = False
    said = ["up in a lane: down or open", "down in a lane: up or closed", KEY.replace("; ", "\n")]
    axes.say("\n".join(said), (1.0, 1.0), (8, 0), "xy", stand="below")


def _currents(sheet: PlotSheet, axes: Axes, feeding: Sequence[str], run: GearRun) -> None:
    said = []
    for number, name in enumerate(feeding):
        amps = run.amps[name]
        axes.plot(run.times, amps, line_of(number, marked=False), name, step=True)
        limit = ", gives all it can" if name in run.limited else ""
        said.append(f"{name}: at most {amps_text(float(amps.max()))}{limit}")
    _key(sheet, axes, said)
    axes.y.least, axes.grid, axes.words = 0.0, "y", ("", "current given, A")


def _key(sheet: PlotSheet, axes: Axes, said: Sequence[str]) -> None:
    _, top, right, _ = axes.box
    words = ["\n".join(look.wrapped(text, SMALL, WORDS - 44)) for text in said]
    pens = [line_of(number, marked=False) for number in range(len(said))]
    sheet.key(zip(pens, words, strict=True), right + 7, top - 2)


def _volts(sheet: PlotSheet, axes: Axes, run: GearRun) -> None:
    """Draw for each limit the lowest volts of all the devices that have it, and the limit."""
    said = []
    groups = _by_limit(run)
    for number, (limit, devices) in enumerate(groups.items()):
        pen, lowest = line_of(number, marked=False), lowest_of(run, devices)
        axes.plot(run.times, lowest, pen, devices[0], step=True)
        axes.level(limit, limit_of(pen), str(limit))
        least = volts_text(float(np.nanmin(lowest)))
        more = f" and {len(devices) - 1} more" if len(devices) > 1 else ""
        said.append(f"{devices[0]}{more}: {least} at least; needs {limit:g} V (dotted)")
    _key(sheet, axes, said)
    axes.y.margin, axes.grid, axes.words = 0.12, "y", ("time, s", "lowest volts, V")


def _by_limit(run: GearRun) -> Mapping[float, list[str]]:
    """Devices by what they need, the one with the least volts to spare first."""
    found: dict[float, list[str]] = defaultdict(list)
    for low in sorted(run.lowest, key=lambda low: (low.volts - low.limit.number, low.device)):
        if low.device not in found[low.limit.number]:
            found[low.limit.number].append(low.device)
    return found


def lowest_of(run: GearRun, devices: Sequence[str]) -> Array:
    """Return the lowest volts of some devices at each moment."""
    return np.asarray(np.min([run.volts[device] for device in devices], axis=0))


def _clashes(axes: Axes, run: GearRun) -> None:
    for clash in run.clashes:
        axes.span(clash.start, clash.end, hatch=CLASH)


def _all(plan: Plan, found: TimeLine, page: Page) -> PlotSheet:
    """Draw every run small: legs thick, doors and the rest thin, clashes crossed."""
    said = "each curve: 0 up or closed, 1 down or open; legs thick, all else thin; " + KEY
    sheet = PlotSheet(plan, f"time line of {found.function}: all runs", page, [said])
    left, top, right, low = sheet.inner
    rows = ceil(len(found.runs) / COLUMNS)
    wide, high = (right - left - 14) / COLUMNS, (low - top) / rows
    for number, run in enumerate(found.runs):
        x, y = left + 14 + number % COLUMNS * wide, top + number // COLUMNS * high
        axes = sheet.axes(x, y + 26, x + wide - 16, y + high - 27)
        _small(axes, plan, found, run, wide - 16)
    return sheet


def _small(axes: Axes, plan: Plan, found: TimeLine, run: GearRun, wide: float) -> None:
    for name in found.movers:
        leg = plan.parts[name].is_leg
        pen = Pen(look.INK, 2.2) if leg else Pen(DOOR, 1.0)
        axes.plot(run.times, run.positions[name], pen, name)
        pushing = np.array([state == "stalled" for state in run.states[name]])
        stuck = Pen(STALL, marker=".", bare=True)
        axes.plot(run.times[pushing], run.positions[name][pushing], stuck)
    _clashes(axes, run)
    axes.x.limits, axes.y.limits = (0, max(float(run.times[-1]), 1e-3)), (-0.08, 1.12)
    axes.y.ticks, axes.words = [(0, "0"), (1, "1")], ("time, s", "")
    for row, line in enumerate((run.name, figures(found, run))):
        weight: Weight = "normal" if row else "bold"
        axes.say(
            look.shortened(line, SMALL, wide, weight),
            (0, 1),
            (0, 14 - 10 * row),
            "xy",
            weight=weight,
        )


def figures(found: TimeLine, run: GearRun) -> str:
    """Return the most current of what feeds it, and the volts nearest to a limit."""
    said = [f"{name} {amps_text(float(run.amps[name].max()))}" for name in found.feeding[:1]]
    if run.lowest:
        least = min(run.lowest, key=lambda low: (low.volts - low.limit.number, low.device))
        short = " TOO LOW" if least.short else ""
        said.append(f"{least.device} {volts_text(least.volts)}{short}")
    if run.clashes:
        said.append(f"{len(run.clashes)} clash" + "es" * (len(run.clashes) > 1))
    return ", ".join(said)
