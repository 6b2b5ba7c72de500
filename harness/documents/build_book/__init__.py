"""The build book: all documents of a plan in the order of need, and the files beside it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, cast

from harness.base.data import dataclass, replace
from harness.base.refusal import Refusal
from harness.diagram import DrawnPage, ViewWish, draw_pages
from harness.diagram import render as drawn
from harness.diagram.stages import View
from harness.documents.build_book.chapters import VIEWS
from harness.documents.build_book.live import ways
from harness.documents.index import DOCUMENTS, PICTURES, Document, function_of
from harness.documents.making import Chart, Files, Page, file_named, files_of
from harness.documents.plan_labels import LabelSheet, label_sheet
from harness.drawing.scene import Scene
from harness.paper import render
from harness.paper.blocks import Chapter, Paper, Picture, Say, chapter_of
from harness.paper.sheet import Figures
from harness.plan.results import Record
from harness.rules.run import Report
from harness.wiring.build import Wiring

FOOT = (
    "Figures are estimates from the plan; a meter and a second pair of eyes decide. The makers' "
    "instructions and your local rules come first."
)


@dataclass(frozen=True, slots=True)
class Material:
    """What a book and the files beside it are made from, each made once."""

    report: Report
    page: Page
    drawings: Mapping[View, tuple[DrawnPage, ...]]
    labels: LabelSheet | None
    reckoned: Mapping[str, tuple[Reckoned, ...]]
    record: Record | None = None

    @property
    def wiring(self) -> Wiring:
        """The wiring that the report is of."""
        return self.report.wiring


def material_of(report: Report, page: str = "A4", record: Record | None = None) -> Material:
    """Draw, reckon and set the labels; `record`: of before. Raises Refusal, LostEdges."""
    paper = cast("Page", page)
    drawings = {view: draw_pages(report, ViewWish(view, page=paper)) for view in VIEWS}
    labels = label_sheet(report.wiring, page)
    return Material(report, paper, drawings, labels, reckoned(report.wiring, paper), record)


def book_paper(report: Report, page: str = "A4", material: Material | None = None) -> Paper:
    """Return the build book of a checked plan; `material`, where it is made already."""
    made = material or material_of(report, page)
    told = (document for document in DOCUMENTS if document.in_book)
    chapters = [chapter for document in told for chapter in _chapters(document, made)]
    plan = report.plan
    return Paper(
        f"{plan.aircraft}: build book", plan.about, plan.revision, tuple(chapters), (FOOT,)
    )


def _chapters(document: Document, made: Material) -> Iterable[Chapter]:
    """Make the chapters of one document of the list, none where the plan gives none."""
    if document.figures:
        return map(figures_chapter, made.reckoned[document.name])
    maker, *wanted = document.chapter
    found = function_of(maker)(*(getattr(made, name) for name in wanted))
    return (found,) if isinstance(found, Chapter) else found


def book_files(material: Material) -> Files:
    """Return the book for a screen and to print, and what the list says lies beside it."""
    paper = book_paper(material.report, material.page, material)
    files: Files = {f"book.{to}": render(paper, to, material.page) for to in ("html", "pdf")}
    for document in DOCUMENTS:
        if document.beside:
            files |= _beside(document, material)
    return files


def _beside(document: Document, made: Material) -> Files:
    if document.figures:
        return figure_files(made.reckoned[document.name], document.beside)
    if document.name == "diagrams":
        lit = ways(made.report)
        return {
            name: data
            for pages in made.drawings.values()
            for to in document.beside
            for name, data in drawn(pages, cast("Any", to), made.page, lit).items()
        }
    if document.name in {"labels", "test-page"}:
        return made.labels.files[document.name] if made.labels else {}
    return {
        name: data
        for to in document.beside
        for name, data in files_of(document, made.wiring, to).items()
    }


@dataclass(frozen=True, slots=True)
class Reckoned:
    """One document of figures: `stem` of its files, charts by stems; `why` it has no figures."""

    stem: str
    title: str
    figures: Figures | None = None
    charts: tuple[tuple[str, Scene], ...] = ()
    why: str = ""


def reckoned(wiring: Wiring, page: Page) -> Mapping[str, tuple[Reckoned, ...]]:
    """Reckon all that the plan has figures for; where there is no solution it says why."""
    return {one.name: _reckoned(one, wiring, page) for one in DOCUMENTS if one.figures}


def _reckoned(document: Document, wiring: Wiring, page: Page) -> tuple[Reckoned, ...]:
    from harness.electrics.network import blamed
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
    for chart in charts:
        try:
            yield chart.stem, chart.draw(page).scene(chart.title)
        except Refusal:
            continue


def figures_chapter(one: Reckoned) -> Chapter:
    """Return a document of figures as a chapter, its charts at the end; the book has the foot."""
    if one.figures is None:
        return Chapter(one.stem, one.title, (Say(f"No figures: {one.why}.", "warning"),))
    chapter = chapter_of(replace(one.figures.sheet, foot=()), one.stem, one.title)
    alt = " ".join(point.text for point in one.figures.sheet.points) or one.title
    pictures = (Picture(scene, f"Chart: {scene.title}", alt, whole=True)
                for _, scene in one.charts)  # fmt: skip
    return Chapter(chapter.anchor, chapter.title, (*chapter.blocks, *pictures))


def figure_files(found: Iterable[Reckoned], formats: Iterable[str]) -> Files:
    """Return the numbers and the charts of all that has figures, as files."""
    from harness.documents.charts import written
    from harness.paper import render_figures

    files: Files = {}
    for one in found:
        if one.figures is not None:
            tables = [to for to in formats if to not in PICTURES]
            files |= {file_named(one.stem, to): render_figures(one.figures, to) for to in tables}
        for stem, scene in one.charts:
            files |= {file_named(stem, to): written(scene, cast("Any", to))
                      for to in formats if to in PICTURES}  # fmt: skip
    return files
