"""What is reckoned for the build book: the figures of all documents that have some, with charts."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from harness.base.refusal import Refusal
from harness.documents.index import DOCUMENTS, Document, function_of
from harness.documents.making import Chart, Files, Page, file_named
from harness.drawing.scene import Scene
from harness.paper.blocks import Chapter, Picture, Say, chapter_of
from harness.paper.sheet import Figures
from harness.wiring.build import Wiring


@dataclass(frozen=True, slots=True)
class Reckoned:
    """One document of figures: `stem` of its files, the figures, its charts by their stems.

    `why`: why there are no figures.
    """

    stem: str
    title: str
    figures: Figures | None = None
    charts: tuple[tuple[str, Scene], ...] = ()
    why: str = ""


def reckoned(wiring: Wiring, page: Page) -> Mapping[str, tuple[Reckoned, ...]]:
    """Reckon all that the plan has figures for; where there is no solution it says why."""
    return {one.name: _reckoned(one, wiring, page) for one in DOCUMENTS if one.figures}


def _reckoned(document: Document, wiring: Wiring, page: Page) -> tuple[Reckoned, ...]:
    from harness.documents.figures.solved import blamed
    from harness.electrics.solver.circuit import NotSolved

    try:
        return tuple(
            Reckoned(one.stem, one.title, one.figures(), tuple(_drawn(one.charts, page)))
            for one in function_of(document.figures)(wiring)
        )
    except NotSolved as unsolved:
        return (Reckoned(document.name, document.title, why=blamed(wiring.plan, unsolved)),)
    except Refusal as refusal:
        return (Reckoned(document.name, document.title, why=str(refusal)),)


def _drawn(charts: Iterable[Chart], page: Page) -> Iterator[tuple[str, Scene]]:
    """Yield the charts as drawings, those left out that have nothing to plot."""
    from harness.documents.charts.scenes import scene_of

    for chart in charts:
        try:
            figure = chart.draw(page)
        except Refusal:
            continue
        yield chart.stem, scene_of(figure, chart.title, "computed from the plan, not measured")


def figures_chapter(one: Reckoned) -> Chapter:
    """Return a document of figures as a chapter, its charts at the end.

    The cautions at its foot are left out: the book has them at its beginning and its end.
    """
    if one.figures is None:
        return Chapter(one.stem, one.title, (Say(f"No figures: {one.why}.", "warning"),))
    chapter = chapter_of(replace(one.figures.sheet, foot=()), one.stem, one.title)
    alt = " ".join(point.text for point in one.figures.sheet.points) or one.title
    pictures = (Picture(scene, f"Chart: {scene.title}", alt, whole=True)
                for _, scene in one.charts)  # fmt: skip
    return Chapter(chapter.anchor, chapter.title, (*chapter.blocks, *pictures))


def figure_files(found: Iterable[Reckoned], formats: Iterable[str]) -> Files:
    """Return the numbers and the charts of all that has figures, as files."""
    from harness.drawing.pdf import to_pdf
    from harness.drawing.svg import to_svg
    from harness.paper import render_figures

    draw: dict[str, Callable[[Scene], bytes | str]] = {
        "svg": lambda scene: to_svg(scene, paper="scene"),
        "pdf": lambda scene: to_pdf([scene], paper="scene"),
    }
    files: Files = {}
    for one in found:
        if one.figures is not None:
            tables = [to for to in formats if to not in draw]
            files |= {file_named(one.stem, to): render_figures(one.figures, to) for to in tables}
        for stem, scene in one.charts:
            files |= {file_named(stem, to): draw[to](scene) for to in formats if to in draw}
    return files
