"""The build book, and the files that stand beside it."""

from __future__ import annotations

from collections.abc import Iterator

from harness.cli.book_figures import figure_files
from harness.cli.press import Made, leads_document, test_page_document
from harness.cli.progress import Progress
from harness.documents.build_book import Material, book_paper, material_of
from harness.plan.results import Record
from harness.rules.run import Report


def book(report: Report, page: str) -> Iterator[Made]:
    """Make the book as one HTML file and one PDF, then its drawings, labels and numbers."""
    from harness.paper import render

    record = _record(report)
    with Progress("drawing and reckoning"):
        material = material_of(report, page, record)
    with Progress("writing the book"):
        paper = book_paper(report, page, material)
        yield Made("book.html", "Build book to use on a phone or computer", render(paper, "html"))
        yield Made("book.pdf", "Build book to print", render(paper, "pdf", page))
        yield from _beside(material)


def _record(report: Report) -> Record | None:
    """Return the record beside the plan. Raises PlanError for one that is not understood."""
    from harness.bench.record import record_path
    from harness.plan.results import load_record

    path = record_path(report.plan.source.name)
    if path is None or not path.exists():
        return None
    return load_record(str(path))


def _beside(material: Material) -> Iterator[Made]:
    """Yield what is printed, measured or worked on by itself."""
    from harness.diagram import render

    for view, pictures in material.drawings.items():
        for to in ("svg", "pdf"):
            for name, data in render(pictures, to, material.page).items():
                yield Made(name, f"Diagram: {view}, {to.upper()}", data)
    yield leads_document(material.report.wiring, "csv")
    if material.labels:
        title = f"Labels on {material.labels.stock}"
        yield Made(material.labels.file, title, material.labels.pdf)
        yield test_page_document(material.report.plan, material.labels.stock)
    yield from figure_files(material.reckoned)
