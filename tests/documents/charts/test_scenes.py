"""Plots as scenes look as matplotlib itself draws them."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pypdfium2
import pytest

from harness.documents.charts import styled, written
from harness.documents.charts.packs import endurance_figure, equalise_figure
from harness.documents.charts.scenes import scene_of
from harness.documents.charts.share import share_figure
from harness.documents.charts.timeline import timeline_figure
from harness.documents.figures.load import solved_of
from harness.drawing.pdf import to_pdf
from harness.drawing.scene import Path as Shape
from harness.drawing.scene import Scene, Text, bounds, walk
from harness.drawing.svg import to_svg
from harness.electrics.endurance import endurance
from harness.electrics.equalise import equalise
from harness.electrics.gear.timeline import timeline
from harness.plan.load import load_plan
from harness.wiring.build import Wiring, build

if TYPE_CHECKING:
    from matplotlib.figure import Figure

ROOT = Path(__file__).parents[3]


def _share(wiring: Wiring) -> Figure:
    solved = solved_of(wiring)
    return share_figure(solved.outcome, solved.rows, "worst")


PLOTS: dict[str, tuple[str, Callable[[Wiring], Figure]]] = {
    "share": ("saltmarsh-19", _share),
    "timeline": ("saltmarsh-19", lambda w: timeline_figure(w.plan, timeline(w, "gear"))),
    "endurance": ("saltmarsh-19", lambda w: endurance_figure(w.plan, endurance(w))),
    "equalise": ("broken/unlike-parallel-packs",
                 lambda w: equalise_figure(w.plan, equalise(w)[0])),
}  # fmt: skip


@pytest.fixture(scope="module", params=PLOTS)
def figure(request: pytest.FixtureRequest) -> Figure:
    plan, make = PLOTS[request.param]
    return make(build(load_plan(str(ROOT / "examples" / f"{plan}.yaml"))))


@pytest.fixture(scope="module")
def scene(figure: Figure) -> Scene:
    return scene_of(figure, "a title", "what it shows")


def _texts(scene: Scene) -> list[Text]:
    return [item for item in walk(scene.items) if isinstance(item, Text)]


def test_every_text_that_matplotlib_writes_is_there(figure: Figure, scene: Scene) -> None:
    """Its SVG writer states each text, in the order of drawing."""
    svg = str(written(figure, "svg"))
    place = re.compile(r"<!-- .*? -->|<text ([^>]*)>([^<]*)</text>")
    theirs = [found for found in place.finditer(svg) if found[1]]
    ours = [item.text for item in _texts(scene)]
    assert len(theirs) == len(ours) > 10
    unescaped = [
        t[2].replace("&gt;", ">").replace("&lt;", "<").replace("&amp;", "&") for t in theirs
    ]
    assert unescaped == ours


def test_it_looks_as_matplotlib_draws_it(figure: Figure, scene: Scene) -> None:
    """Two renderings of one page by pdfium; what differs is the edges of letters and lines."""
    theirs = _pixels(written(figure, "pdf"))
    ours = _pixels(to_pdf([scene], paper="scene"))
    assert ours.shape == theirs.shape
    differing = np.abs(ours - theirs) > 96
    assert differing.mean() < 0.01
    blank = np.abs(_pixels(to_pdf([Scene(scene.width, scene.height, ())], paper="scene")) - theirs)
    assert (blank > 96).mean() > 2 * differing.mean()


def _pixels(data: Any) -> Any:
    page = pypdfium2.PdfDocument(io.BytesIO(data))[0]
    return np.asarray(page.render(scale=1.0, grayscale=True).to_numpy(), dtype=float)


def test_nothing_is_outside_the_page(scene: Scene) -> None:
    left, top, right, low = bounds(scene.items)
    assert left >= 0 and top >= 0
    assert right <= scene.width and low <= scene.height


def test_a_scene_of_a_plot_can_be_written_as_svg_twice_the_same(
    figure: Figure, scene: Scene
) -> None:
    again = scene_of(figure, "a title", "what it shows")
    assert to_svg(again, paper="scene") == to_svg(scene, paper="scene")


def test_a_hatch_stays_inside_its_bar_and_lies_on_its_colour() -> None:
    from matplotlib.figure import Figure

    with styled():
        figure = Figure(figsize=(4, 3))
        axes = figure.add_axes((0, 0, 1, 1))
        axes.set_axis_off()
        axes.set_xlim(0, 4)
        axes.set_ylim(0, 3)
        (bar,) = axes.barh([1.5], [2], left=1, height=1, color="#E69F00")
        bar.set_hatch("//")
    shapes = [i for i in walk(scene_of(figure, "", "").items) if isinstance(i, Shape)]
    at = next(n for n, shape in enumerate(shapes) if shape.fill == "#E69F00")
    hatches = [shape for shape in shapes[at + 1 :] if shape.stroke and not shape.fill]
    assert hatches
    left, top, right, low = bounds(hatches)
    assert left >= 72 and right <= 3 * 72
    assert top >= 72 and low <= 2 * 72
