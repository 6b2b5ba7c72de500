"""Plots: the figures drawn are those computed, nothing is cut off, the same bytes every time."""

from __future__ import annotations

import io
import re
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path as File
from typing import Any

import numpy as np
import pypdf
import pytest
from documents.charts.looking import drawn_at_random, figures, figures_again, gear, solved, wiring

from harness.base.colours import contrast
from harness.base.refusal import Refusal
from harness.documents.charts import CAUTION, PlotSheet, written
from harness.documents.charts.axes import Axes
from harness.documents.charts.packs import equalise_figure
from harness.documents.charts.share import bars_of, share_figure
from harness.documents.charts.spread import spread_rows
from harness.documents.charts.timeline import lowest_of, timeline_figure
from harness.drawing.scene import Path, Text, bounds, text_box, walk
from harness.electrics.endurance import endurance
from harness.electrics.equalise import equalise
from harness.electrics.outcome import Outcome
from harness.electrics.solver.circuit import Array, NotSolved

SVG = "{http://www.w3.org/2000/svg}"
# ISO 216: A4 is 210 x 297 mm. ANSI Y14.1: Letter is 8.5 x 11 in.
SHEETS = {"A4": (297.0, 210.0), "Letter": (279.4, 215.9)}
MM = 72 / 25.4
NAMES = ("cruise", "down", "endurance", "joined", "runs", "share", "spread", "volts")


def texts(figure: PlotSheet) -> list[Text]:
    return [item for item in walk(figure.scene().items) if isinstance(item, Text)]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("page", SHEETS)
def test_no_text_is_cut_off_or_lies_on_text(name: str, page: str) -> None:
    figure = figures(page)[name]
    found = [(item.text, text_box(item)) for item in texts(figure)]
    assert len(found) > 8
    for words, (left, top, right, low) in found:
        assert left >= 0 and top >= 0 and right <= figure.wide and low <= figure.high, words
    for number, (words, a) in enumerate(found):
        for other, b in found[number + 1 :]:
            across, down = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
            assert across <= 0.5 or down <= 1.0, (words, other)


def test_the_names_are_those_of_the_figures() -> None:
    assert sorted(figures()) == list(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_outside_the_page(name: str) -> None:
    shapes = [item for item in figures()[name].scene().items if isinstance(item, Path)]
    left, top, right, low = bounds(shapes)  # texts: above
    assert left >= 0 and top >= 0
    assert right <= figures()[name].wide and low <= figures()[name].high


@pytest.mark.parametrize("name", NAMES)
def test_texts_are_legible(name: str) -> None:
    # WCAG 2.2, 1.4.3: 4.5 to 1 for text. Texts stand on white or on the palest shade.
    for text in texts(figures()[name]):
        red, green, blue = bytes.fromhex(text.fill.removeprefix("#"))
        assert contrast((red, green, blue), (227, 238, 248)) >= 4.5, text.text
        # NUREG-0700: 16 minutes at 500 mm are 2.33 mm, the floor of the other pictures (6.6 pt).
        assert text.size >= 7.4


@pytest.mark.parametrize("name", NAMES)
def test_the_same_bytes_twice_and_no_clock(name: str) -> None:
    again = figures_again()[name]
    for to in ("svg", "pdf"):
        first, second = (written(one.scene(), to) for one in (figures()[name], again))  # type: ignore[arg-type]
        assert first == second
        data = first.encode() if isinstance(first, str) else first
        assert re.findall(rb"Date \(([^)]*)", data) == []


def test_the_same_bytes_in_processes_with_other_hash_seeds() -> None:
    code = (
        "import hashlib\n"
        "from documents.charts.looking import every_figure\n"
        "from harness.documents.charts import written\n"
        "h = hashlib.sha256()\n"
        "for name, figure in every_figure().items():\n"
        "    h.update(written(figure.scene(), 'svg').encode() + written(figure.scene(), 'pdf'))\n"
        "print(h.hexdigest())\n"
    )
    sums = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(File(__file__).parents[2])},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("0", "4711")
    }
    assert len(sums) == 1


@pytest.mark.parametrize("page", SHEETS)
def test_pages_are_landscape_sheets_with_title_caution_and_one_font(page: str) -> None:
    outcome, rows = solved()
    data = written(share_figure(outcome, rows, "worst", page).scene(), "pdf")  # type: ignore[arg-type]
    assert isinstance(data, bytes)
    (sheet,) = pypdf.PdfReader(io.BytesIO(data)).pages
    assert float(sheet.mediabox.width) / MM == pytest.approx(SHEETS[page][0], abs=0.01)
    assert float(sheet.mediabox.height) / MM == pytest.approx(SHEETS[page][1], abs=0.01)
    fonts = sheet["/Resources"]["/Font"]  # type: ignore[index]
    contents = sheet.get_contents()
    assert contents is not None
    times = {name: contents.get_data().count(f"{name} ".encode()) for name in fonts}
    other = {n for n in times if "DejaVuSans" not in fonts[n].get_object()["/BaseFont"]}
    assert all(times[n] <= 1 for n in other)  # the library sets its own first and writes nothing
    assert any(times[n] > 1 for n in times.keys() - other)
    svg = written(share_figure(outcome, rows, "worst", page).scene(), "svg")  # type: ignore[arg-type]
    assert isinstance(svg, str)
    said = [node.text for node in ET.fromstring(svg).iter(f"{SVG}text")]
    assert {"Test $5 & <plane>", f"plan {outcome.plan.revision}", CAUTION} <= set(said)


def bars(figure: PlotSheet) -> list[float]:
    return [end - start for start, end, _ in figure.plots[0].bars]


def test_bars_are_the_shares_of_the_rows_worst_first() -> None:
    _, rows = solved()
    known = [float(np.nanmax(r.share)) for r in rows if np.isfinite(r.share).any()]
    assert bars(figures()["share"]) == pytest.approx([100 * s for s in sorted(known)[::-1][:30]])


def test_a_bar_says_amps_of_limit_and_case() -> None:
    outcome, rows = solved()
    for bar in bars_of(outcome, rows, "cruise"):
        assert bar.case == "cruise"
        assert bar.amps / bar.limit == pytest.approx(bar.share)
        assert f"of {bar.limit:g} A, cruise" in bar.words


def test_a_case_without_solution_or_name_is_refused() -> None:
    outcome, rows = solved()
    broken = Outcome(outcome.net, outcome.solution)
    broken.__dict__["trouble"] = {"cruise": NotSolved("pack one", "it breaks down")}
    for case in ("cruise", "worst"):
        with pytest.raises(Refusal, match=r'case "cruise" has no solution.*pack one'):
            share_figure(broken, rows, case)
    with pytest.raises(Refusal, match="no case"):
        share_figure(outcome, rows, "crusie")


def line(axes: Axes, name: str) -> tuple[Array, Array]:
    return next((x, y) for label, x, y in axes.curves if label == name)


def test_a_run_shows_positions_currents_and_volts_as_followed() -> None:
    run = gear().run("slow-up")
    lanes, amps, volts = figures()["down"].plots
    for row, name in enumerate(reversed(gear().movers)):
        base = line(lanes, name)[1] - row
        assert base == pytest.approx(0.78 * run.positions[name])
    for name in gear().feeding:
        assert line(amps, name)[1] == pytest.approx(run.amps[name])
    limits = {low.limit.number for low in run.lowest}
    for limit in limits:
        level = line(volts, str(limit))[1]
        assert set(level) == {limit}
        devices = [low.device for low in run.lowest if low.limit.number == limit]
        lowest = np.min([run.volts[d] for d in devices], axis=0)
        assert lowest_of(run, devices) == pytest.approx(lowest)
        curves = [y for _, _, y in volts.curves if len(y) == len(lowest)]
        assert any(np.allclose(curve, lowest) for curve in curves)


def test_a_clash_is_shaded_for_as_long_as_it_lasts_and_told() -> None:
    run = gear().run("slow-up")
    assert run.clashes
    for axes in figures()["down"].plots:
        assert sorted(axes.spans) == sorted((c.start, c.end) for c in run.clashes)
    said = " ".join(t.text for t in texts(figures()["down"]))
    assert run.clashes[0].about in said


def test_every_run_has_its_small_plot() -> None:
    assert len(figures()["runs"].plots) == len(gear().runs)
    said = {t.text for t in texts(figures()["runs"])}
    assert {run.name for run in gear().runs} <= said


def test_a_run_that_is_not_there_is_refused() -> None:
    with pytest.raises(Refusal, match='no run "dwon" of gear; did you mean "down"'):
        timeline_figure(wiring().plan, gear(), run="dwon")


def test_the_decay_is_drawn_as_solved() -> None:
    (found,) = equalise(wiring())
    amps, volts = figures()["joined"].plots
    for number, pack in enumerate(found.packs):
        assert line(amps, pack)[0] == pytest.approx(found.times)
        assert line(amps, pack)[1] == pytest.approx(found.amps[pack])
        assert volts.curves[number][2] == pytest.approx(found.rest[pack])


def test_a_decay_without_capacity_is_refused() -> None:
    from dataclasses import replace

    (found,) = equalise(wiring())
    bare = replace(found, times=found.times[:1], unknown=("one: its capacity",))
    with pytest.raises(Refusal, match="one: its capacity"):
        equalise_figure(wiring().plan, bare)


def test_flights_are_drawn_as_flown() -> None:
    found = endurance(wiring())
    for number, flight in enumerate(found.flights):
        charge, volts = figures()["endurance"].plots[2 * number : 2 * number + 2]
        for pack in flight.packs:
            drawn = line(charge, pack.pack)
            assert drawn[0] == pytest.approx(flight.times / 60)
            assert drawn[1] == pytest.approx(100 * flight.charge[pack.pack])
            whole = [y for _, _, y in volts.curves if len(y) == len(flight.times)]
            assert any(np.allclose(curve, flight.volts[pack.pack]) for curve in whole)


@pytest.mark.parametrize("quantity", ["share", "volts"])
def test_bands_are_those_of_the_draws(quantity: Any) -> None:
    axes = figures()["spread" if quantity == "share" else "volts"].plots[0]
    rows = spread_rows(drawn_at_random(), quantity)[:26]
    ranges, medians = ([x for label, x, _ in axes.curves if label == word]
                       for word in ("range", "median"))  # fmt: skip
    assert len(ranges) == len(rows) > 0
    for row, drawn, median, box in zip(rows, ranges, medians, axes.bars, strict=True):
        k, band = row.scale, row.band
        assert list(drawn) == pytest.approx([k * band.least, k * band.most])
        assert median[0] == pytest.approx(k * band.median)
        assert box[:2] == pytest.approx((k * band.low, k * band.high))
