"""A sequencer at work: where doors and legs are, what they draw, how low the volts go.

One run in full, or all runs small, side by side.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from math import ceil
from typing import TYPE_CHECKING

import numpy as np

from harness.base.colours import OKABE_ITO, amps_text, to_hex, volts_text
from harness.base.near import hint
from harness.base.refusal import Refusal
from harness.documents.charts import DOTS, SMALL, Page, PlotSheet, line_of, styled
from harness.drawing import look
from harness.electrics.gear.timeline import GearRun, TimeLine
from harness.electrics.solver.circuit import Array
from harness.plan.plan import Plan

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

NAMES = 84.0  # breadth of the names at the left, points
WORDS = 186.0  # breadth of the words at the right, points
CLASH = to_hex(OKABE_ITO["vermilion"])
FILL = "#B9D8EC"
STALL = to_hex(OKABE_ITO["orange"])
DOOR = to_hex(OKABE_ITO["blue"])
COLUMNS = 4
KEY = "dots: pushes or stuck; crossed: a clash"


def timeline_figure(plan: Plan, found: TimeLine, page: Page = "A4", *, run: str = "") -> Figure:
    """Plot one run of a function, or all of them small. Raises Refusal for no such run."""
    names = [one.name for one in found.runs]
    if run and run not in names:
        right = hint(run, names, most=30)
        raise Refusal(f'no run "{run}" of {found.function}; {right}'.rstrip("; "))
    with styled():
        if run or len(names) == 1:
            return _one(plan, found, found.run(run or names[0]), page)
        return _all(plan, found, page)


def _one(plan: Plan, found: TimeLine, run: GearRun, page: Page) -> Figure:
    notes = [*(clash.about for clash in run.clashes), *_brown(run)] or ["no clash, no brown-out"]
    sheet = PlotSheet(plan, f"time line of {found.function}, run {run.name}: {run.about}", page,
                  ["; ".join(notes)])  # fmt: skip
    left, top, right, low = sheet.inner
    left, right, low = left + NAMES, right - WORDS, low - 26
    lanes = top + 0.5 * (low - top)
    amps = lanes + 0.5 * (low - lanes)
    upper = sheet.axes(left, top, right, lanes - 5)
    middle = sheet.axes(left, lanes + 5, right, amps - 5, sharex=upper)
    lower = sheet.axes(left, amps + 5, right, low, sharex=upper)
    _lanes(upper, found.movers, run)
    _currents(middle, found.feeding, run)
    _volts(lower, run)
    for axes in (upper, middle, lower):
        _clashes(axes, run)
        axes.set_xlim(0, max(float(run.times[-1]), 1e-3))
        axes.grid(axis="x")
    for axes in (upper, middle):
        axes.tick_params(labelbottom=False)
    lower.set_xlabel("time, s")
    return sheet.figure


def _brown(run: GearRun) -> list[str]:
    return [f"{low.device} gets {low.volts:.2f} V at {low.time:.1f} s, needs "
            f"{low.limit.number:g} V" for low in run.brown_outs]  # fmt: skip


def _lanes(axes: Axes, movers: Sequence[str], run: GearRun) -> None:
    """Draw each mover's way between 0 and 1 in a lane of its own, first at the top."""
    shown = [name for name in movers if name in run.positions]
    for row, name in enumerate(shown):
        base = len(shown) - 1 - row
        way = base + 0.78 * run.positions[name]
        axes.fill_between(run.times, base, way, color=FILL, linewidth=0)
        axes.plot(run.times, way, color=look.INK, linewidth=1.2, label=name)
        pushing = np.array([state == "stalled" for state in run.states[name]])
        if pushing.any():
            axes.plot(run.times[pushing], way[pushing], color=STALL, marker=".", markersize=4,
                      markeredgecolor=look.INK, markeredgewidth=0.3, linestyle="none")  # fmt: skip
        axes.axhline(base, color=look.PALE, linewidth=0.6)
    axes.set_ylim(-0.1, max(len(shown), 1))
    axes.set_yticks([len(shown) - 1 - n + 0.35 for n in range(len(shown))],
                    [look.shortened(name, SMALL, NAMES - 8) for name in shown])  # fmt: skip
    axes.tick_params(axis="y", length=0)
    said = ["up in a lane: down or open", "down in a lane: up or closed", KEY.replace("; ", "\n")]
    _words(axes, "\n".join(said))


def _words(axes: Axes, said: str) -> None:
    axes.annotate(said, (1.0, 1.0), (8, 0), xycoords="axes fraction",
                  textcoords="offset points", size=SMALL, va="top")  # fmt: skip


def _currents(axes: Axes, feeding: Sequence[str], run: GearRun) -> None:
    said = []
    for number, name in enumerate(feeding):
        (color, dash, _), amps = line_of(number), run.amps[name]
        axes.step(run.times, amps, where="post", color=color, linestyle=dash, linewidth=1.5,
                  label=name)  # fmt: skip
        limit = ", gives all it can" if name in run.limited else ""
        said.append(f"{name}: at most {amps_text(float(amps.max()))}{limit}")
    _key(axes, said)
    axes.set_ylim(bottom=min(0.0, axes.get_ylim()[0]))
    axes.set_ylabel("current given, A")
    axes.grid(axis="y")


def _key(axes: Axes, said: Sequence[str]) -> None:
    lines = [line for line in axes.get_lines() if not str(line.get_label()).startswith("_")]
    words = ["\n".join(look.wrapped(text, SMALL, WORDS - 44)) for text in said]
    axes.legend(lines, words, loc="upper left", bbox_to_anchor=(1.0, 1.06), handlelength=2.4,
                labelspacing=0.35)  # fmt: skip


def _volts(axes: Axes, run: GearRun) -> None:
    """Draw for each limit the lowest volts of all the devices that have it, and the limit."""
    said = []
    groups = _by_limit(run)
    for number, (limit, devices) in enumerate(groups.items()):
        color, dash, _ = line_of(number)
        lowest = lowest_of(run, devices)
        axes.step(run.times, lowest, where="post", color=color, linestyle=dash, linewidth=1.5,
                  label=devices[0])  # fmt: skip
        axes.axhline(limit, color=color, linewidth=1.2, linestyle=DOTS, label=f"_{limit}")
        least = volts_text(float(np.nanmin(lowest)))
        more = f" and {len(devices) - 1} more" if len(devices) > 1 else ""
        said.append(f"{devices[0]}{more}: {least} at least; needs {limit:g} V (dotted)")
    _key(axes, said)
    axes.set_ylabel("lowest volts, V")
    axes.margins(y=0.12)
    axes.grid(axis="y")


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
        axes.axvspan(clash.start, clash.end, facecolor="none", edgecolor=CLASH, hatch="xx",
                     linewidth=0.8, alpha=0.55)  # fmt: skip


def _all(plan: Plan, found: TimeLine, page: Page) -> Figure:
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
    return sheet.figure


def _small(axes: Axes, plan: Plan, found: TimeLine, run: GearRun, wide: float) -> None:

    for name in found.movers:
        leg = plan.parts[name].is_leg
        axes.plot(run.times, run.positions[name], color=look.INK if leg else DOOR,
                  linewidth=2.2 if leg else 1.0, label=name)  # fmt: skip
        pushing = np.array([state == "stalled" for state in run.states[name]])
        axes.plot(run.times[pushing], run.positions[name][pushing], color=STALL, marker=".",
                  markersize=4, linestyle="none", label=f"_{name}")  # fmt: skip
    _clashes(axes, run)
    axes.set_ylim(-0.08, 1.12)
    axes.set_yticks([0, 1])
    axes.set_xlim(0, max(float(run.times[-1]), 1e-3))
    head = [run.name, figures(found, run)]
    for row, line in enumerate(head):
        axes.annotate(look.shortened(line, SMALL, wide, "bold" if not row else "normal"), (0, 1),
                      (0, 14 - 10 * row), xycoords="axes fraction", textcoords="offset points",
                      size=SMALL, weight="normal" if row else "bold")  # fmt: skip
    axes.set_xlabel("time, s", size=SMALL, labelpad=1)


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
