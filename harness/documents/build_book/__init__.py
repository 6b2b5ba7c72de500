"""The build book: all documents of a plan in the order in which a builder needs them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, cast

from harness.diagram import Picture, Wish, draw_pages
from harness.diagram.stages import View
from harness.documents.build_book.chapters import (
    VIEWS,
    cautions_chapter,
    diagrams_chapter,
    leads_chapter,
    plan_chapter,
    traces_chapter,
)
from harness.documents.build_book.labels import LabelSheet, label_sheet, labels_chapter
from harness.documents.build_book.reckoned import Reckoned, figures_chapter, reckoned
from harness.paper.blocks import Chapter, Paper
from harness.plan.results import Record
from harness.rules.run import Report

Page = Literal["A4", "Letter"]
FOOT = (
    "Figures are estimates from the plan; a meter and a second pair of eyes decide. The makers' "
    "instructions and your local rules come first."
)


@dataclass(frozen=True, slots=True)
class Material:
    """What a book and the files beside it are made from, each made once."""

    report: Report
    page: Page
    drawings: Mapping[View, tuple[Picture, ...]]
    labels: LabelSheet | None
    reckoned: tuple[Reckoned, ...]
    record: Record | None = None


def material_of(report: Report, page: str = "A4", record: Record | None = None) -> Material:
    """Draw, reckon and set the labels; `record`: what was measured before.

    Raises Refusal, LayoutError, LostEdges, LabelRefused.
    """
    paper = cast("Page", page)
    drawings = {view: draw_pages(report, Wish(view, page=paper)) for view in VIEWS}
    labels = label_sheet(report.wiring, page)
    return Material(report, paper, drawings, labels, reckoned(report.wiring, paper), record)


def book_paper(report: Report, page: str = "A4", material: Material | None = None) -> Paper:
    """Return the build book of a checked plan; `material`, where it is made already."""
    made = material or material_of(report, page)
    chapters = [chapter for make in CHAPTERS for chapter in make(made)]
    plan = report.plan
    return Paper(
        f"{plan.aircraft}: build book", plan.about, plan.revision, tuple(chapters), (FOOT,)
    )


def _transmitter(made: Material) -> Iterator[Chapter]:
    from harness.documents.transmitter import transmitter_chapter

    yield transmitter_chapter(made.report)


def _parts(made: Material) -> Iterator[Chapter]:
    from harness.documents.kit import kit_chapter
    from harness.documents.lengths import lengths_chapter

    yield leads_chapter(made.report.wiring)
    yield kit_chapter(made.report)
    yield lengths_chapter(made.report)
    if made.labels:
        yield labels_chapter(made.labels)


def _steps(made: Material) -> Iterator[Chapter]:
    from harness.documents.steps import steps_chapter

    yield steps_chapter(made.report)


def _figures(made: Material) -> Iterator[Chapter]:
    for one in made.reckoned:
        yield figures_chapter(one)


def _tests(made: Material) -> Iterator[Chapter]:
    from harness.documents.protocol import protocol_chapter
    from harness.documents.steps import field_chapter

    yield protocol_chapter(made.report, made.record)
    yield field_chapter(made.report)


def _plan(made: Material) -> Iterator[Chapter]:
    yield cautions_chapter(made.report)
    yield plan_chapter(made.report)
    yield diagrams_chapter(made.report, made.drawings)


def _traces(made: Material) -> Iterator[Chapter]:
    yield traces_chapter(made.report.wiring)


CHAPTERS: tuple[Callable[[Material], Iterator[Chapter]], ...] = (
    _plan, _transmitter, _parts, _steps, _figures, _tests, _traces,
)  # fmt: skip
"""What makes the chapters, in their order."""
