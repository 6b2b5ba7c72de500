"""The build book: all documents of a plan in the order in which a builder needs them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, cast

from harness.diagram import DrawnPage, ViewWish, draw_pages
from harness.diagram import render as drawn
from harness.diagram.stages import View
from harness.documents.build_book.chapters import VIEWS
from harness.documents.build_book.labels import LabelSheet, label_sheet
from harness.documents.build_book.reckoned import Reckoned, figure_files, figures_chapter, reckoned
from harness.documents.index import DOCUMENTS, Document, function_of
from harness.documents.making import Files, Page, files_of
from harness.paper import render
from harness.paper.blocks import Chapter, Paper
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
    """Draw, reckon and set the labels; `record`: what was measured before.

    Raises Refusal, LayoutError, LostEdges, LabelRefused.
    """
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
        return {
            name: data
            for pages in made.drawings.values()
            for to in document.beside
            for name, data in drawn(pages, cast("Any", to), made.page).items()
        }
    if document.name in {"labels", "test-page"}:
        return made.labels.files[document.name] if made.labels else {}
    return {
        name: data
        for to in document.beside
        for name, data in files_of(document, made.wiring, to).items()
    }
