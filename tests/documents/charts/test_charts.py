"""Plots: the figures drawn are those computed, nothing is cut off, the same bytes every time."""

from __future__ import annotations

import io
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import numpy as np
import pypdf
import pytest
from documents.charts.looking import drawn_at_random, every_figure, gear, solved, wiring
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgb
from matplotlib.text import Text

from harness.base.colours import contrast
from harness.base.refusal import Refusal
from harness.documents.charts import CAUTION, styled, written
from harness.documents.charts.packs import equalise_figure
from harness.documents.charts.share import bars_of, share_figure
from harness.documents.charts.spread import spread_rows
from harness.documents.charts.timeline import lowest_of, timeline_figure
from harness.electrics.endurance import endurance
from harness.electrics.equalise import equalise
from harness.electrics.outcome import Outcome
from harness.electrics.solver.circuit import NotSolved

SVG = "{http://www.w3.org/2000/svg}"
# ISO 216: A4 is 210 x 297 mm. ANSI Y14.1: Letter is 8.5 x 11 in.
SHEETS = {"A4": (297.0, 210.0), "Letter": (279.4, 215.9)}
MM = 72 / 25.4
FIGURES = every_figure()
NAMES = sorted(FIGURES)


def texts(figure: Any) -> list[Text]:
    found = figure.findobj(Text)
    return [t for t in found if t.get_visible() and t.get_text().strip() and shown(t)]


def shown(text: Text) -> bool:
    """Tick labels of hidden ticks and of ticks outside the axis are never drawn."""
    return text.get_window_extent().width > 1


def boxes(figure: Any) -> list[tuple[str, Any]]:
    FigureCanvasAgg(figure)
    with styled():
        figure.canvas.draw()
        return [(t.get_text(), t.get_window_extent()) for t in drawn_texts(figure)]


def drawn_texts(figure: Any) -> list[Text]:
    """The texts that the renderer was asked for, tick labels only where they show."""
    hidden = set()
    for axes in figure.axes:
        for axis in (axes.xaxis, axes.yaxis):
            low, high = sorted(axis.get_view_interval())
            for tick in [*axis.get_major_ticks(), *axis.get_minor_ticks()]:
                off = not low - 1e-9 <= tick.get_loc() <= high + 1e-9
                hidden |= {t for t in (tick.label1, tick.label2) if off or not t.get_visible()}
    return [t for t in texts(figure) if t not in hidden]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("page", SHEETS)
def test_no_text_is_cut_off_or_lies_on_text(name: str, page: str) -> None:
    figure = every_figure(page)[name] if page != "A4" else FIGURES[name]
    found, whole = boxes(figure), figure.bbox
    assert len(found) > 8
    for words, box in found:
        assert box.x0 >= 0 and box.y0 >= 0 and box.x1 <= whole.x1 and box.y1 <= whole.y1, words
    for number, (words, a) in enumerate(found):
        for other, b in found[number + 1 :]:
            across = min(a.x1, b.x1) - max(a.x0, b.x0)
            down = min(a.y1, b.y1) - max(a.y0, b.y0)
            assert across <= 0.5 or down <= 1.0, (words, other)


@pytest.mark.parametrize("name", NAMES)
def test_texts_are_legible(name: str) -> None:
    # WCAG 2.2, 1.4.3: 4.5 to 1 for text. Texts stand on white or on the palest shade.
    for text in texts(FIGURES[name]):
        red, green, blue = (round(255 * part) for part in to_rgb(text.get_color()))
        assert contrast((red, green, blue), (227, 238, 248)) >= 4.5, text.get_text()
        # NUREG-0700: 16 minutes at 500 mm are 2.33 mm, the floor of the other pictures (6.6 pt).
        assert text.get_size() >= 6.6
        assert text.get_fontname() == "DejaVu Sans"


@pytest.mark.parametrize("name", NAMES)
def test_the_same_bytes_twice_and_no_clock(name: str) -> None:
    again = every_figure()[name]
    for to in ("svg", "pdf"):
        first, second = written(FIGURES[name], to), written(again, to)  # type: ignore[arg-type]
        assert first == second
        data = first.encode() if isinstance(first, str) else first
        assert b"CreationDate" not in data
        assert b"dc:date" not in data


def test_the_same_bytes_in_processes_with_other_hash_seeds() -> None:
    code = (
        "import hashlib\n"
        "from documents.charts.looking import every_figure\n"
        "from harness.documents.charts import written\n"
        "h = hashlib.sha256()\n"
        "for name, figure in every_figure().items():\n"
        "    h.update(written(figure, 'svg').encode() + written(figure, 'pdf'))\n"
        "print(h.hexdigest())\n"
    )
    sums = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(Path(__file__).parents[2])},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("0", "4711")
    }
    assert len(sums) == 1


@pytest.mark.parametrize("page", SHEETS)
def test_pages_are_landscape_sheets_with_title_caution_and_one_font(page: str) -> None:
    outcome, rows = solved()
    data = written(share_figure(outcome, rows, "worst", page), "pdf")  # type: ignore[arg-type]
    assert isinstance(data, bytes)
    (sheet,) = pypdf.PdfReader(io.BytesIO(data)).pages
    assert float(sheet.mediabox.width) / MM == pytest.approx(SHEETS[page][0], abs=0.01)
    assert float(sheet.mediabox.height) / MM == pytest.approx(SHEETS[page][1], abs=0.01)
    fonts = sheet["/Resources"]["/Font"].values()  # type: ignore[index]
    assert all("DejaVuSans" in font.get_object()["/BaseFont"] for font in fonts)
    svg = written(share_figure(outcome, rows, "worst", page), "svg")  # type: ignore[arg-type]
    assert isinstance(svg, str)
    said = [node.text for node in ET.fromstring(svg).iter(f"{SVG}text")]
    assert {"Test $5 & <plane>", f"plan {outcome.plan.revision}", CAUTION} <= set(said)


def bars(figure: Any) -> list[float]:
    return [patch.get_width() for patch in figure.axes[0].patches]


def test_bars_are_the_shares_of_the_rows_worst_first() -> None:
    _, rows = solved()
    known = [float(np.nanmax(r.share)) for r in rows if np.isfinite(r.share).any()]
    assert bars(FIGURES["share"]) == pytest.approx([100 * s for s in sorted(known)[::-1][:30]])


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


def line(axes: Any, name: str) -> Any:
    return next(drawn for drawn in axes.get_lines() if drawn.get_label() == name)


def test_a_run_shows_positions_currents_and_volts_as_followed() -> None:
    run = gear().run("slow-up")
    lanes, amps, volts = FIGURES["down"].axes
    for row, name in enumerate(reversed(gear().movers)):
        base = line(lanes, name).get_ydata() - row
        assert base == pytest.approx(0.78 * run.positions[name])
    for name in gear().feeding:
        assert line(amps, name).get_ydata() == pytest.approx(run.amps[name])
    limits = {low.limit.number for low in run.lowest}
    for limit in limits:
        level = line(volts, f"_{limit}").get_ydata()
        assert set(level) == {limit}
        devices = [low.device for low in run.lowest if low.limit.number == limit]
        lowest = np.min([run.volts[d] for d in devices], axis=0)
        assert lowest_of(run, devices) == pytest.approx(lowest)
        curves = [d.get_ydata() for d in volts.get_lines() if len(d.get_ydata()) == len(lowest)]
        assert any(np.allclose(curve, lowest) for curve in curves)


def test_a_clash_is_shaded_for_as_long_as_it_lasts_and_told() -> None:
    run = gear().run("slow-up")
    assert run.clashes
    for axes in FIGURES["down"].axes:
        spans = {(p.get_x(), p.get_x() + p.get_width()) for p in axes.patches if p.get_hatch()}
        assert sorted(spans) == sorted((c.start, c.end) for c in run.clashes)
    said = " ".join(t.get_text() for t in texts(FIGURES["down"]))
    assert run.clashes[0].about in said


def test_every_run_has_its_small_plot() -> None:
    assert len(FIGURES["runs"].axes) == len(gear().runs)
    said = {t.get_text() for t in texts(FIGURES["runs"])}
    assert {run.name for run in gear().runs} <= said


def test_a_run_that_is_not_there_is_refused() -> None:
    with pytest.raises(Refusal, match='no run "dwon" of gear; did you mean "down"'):
        timeline_figure(wiring().plan, gear(), run="dwon")


def test_the_decay_is_drawn_as_solved() -> None:
    (found,) = equalise(wiring())
    amps, volts = FIGURES["joined"].axes
    for number, pack in enumerate(found.packs):
        assert line(amps, pack).get_xdata() == pytest.approx(found.times)
        assert line(amps, pack).get_ydata() == pytest.approx(found.amps[pack])
        assert volts.get_lines()[number].get_ydata() == pytest.approx(found.rest[pack])


def test_a_decay_without_capacity_is_refused() -> None:
    from dataclasses import replace

    (found,) = equalise(wiring())
    bare = replace(found, times=found.times[:1], unknown=("one: its capacity",))
    with pytest.raises(Refusal, match="one: its capacity"):
        equalise_figure(wiring().plan, bare)


def test_flights_are_drawn_as_flown() -> None:
    found = endurance(wiring())
    for number, flight in enumerate(found.flights):
        charge, volts = FIGURES["endurance"].axes[2 * number : 2 * number + 2]
        for pack in flight.packs:
            drawn = line(charge, pack.pack)
            assert drawn.get_xdata() == pytest.approx(flight.times / 60)
            assert drawn.get_ydata() == pytest.approx(100 * flight.charge[pack.pack])
            curves = [d.get_ydata() for d in volts.get_lines()]
            whole = [curve for curve in curves if len(curve) == len(flight.times)]
            assert any(np.allclose(curve, flight.volts[pack.pack]) for curve in whole)


@pytest.mark.parametrize("quantity", ["share", "volts"])
def test_bands_are_those_of_the_draws(quantity: Any) -> None:
    axes = FIGURES["spread" if quantity == "share" else "volts"].axes[0]
    rows = spread_rows(drawn_at_random(), quantity)[:26]
    ranges = [d for d in axes.get_lines() if d.get_label() == "_range"]
    medians = [d for d in axes.get_lines() if d.get_label() == "_median"]
    assert len(ranges) == len(rows) > 0
    for row, drawn, median, box in zip(rows, ranges, medians, axes.patches, strict=True):
        k, band = row.scale, row.band
        assert list(drawn.get_xdata()) == pytest.approx([k * band.least, k * band.most])
        assert median.get_xdata()[0] == pytest.approx(k * band.median)
        ends = (box.get_x(), box.get_x() + box.get_width())
        assert ends == pytest.approx((k * band.low, k * band.high))
