"""Packs joined at different volts: how the current between them dies away."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from harness.base.refusal import Refusal
from harness.documents.cautions import CHARGING
from harness.documents.charts.style import CAUTION, DOTS, SMALL, Page, PlotSheet, line_of, styled
from harness.drawing import look
from harness.electrics.equalise import Equalising
from harness.plan.plan import Plan

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

SOON = 0.1
"""s: the axis of time is even up to here, then each ten times longer takes as much room."""
WORDS = 150.0  # breadth of the words at the right, points


def equalise_figure(plan: Plan, found: Equalising, page: Page = "A4") -> Figure:
    """Plot the currents and volts of one group of packs from the moment they are joined.

    Raises Refusal where a capacity is missing, so that only the first moment is known.
    """
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
        _volts(volts, found)
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


def _volts(axes: Axes, found: Equalising) -> None:
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
