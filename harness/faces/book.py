"""The book: every document of a plan, with an index."""

from __future__ import annotations

from collections.abc import Iterator

from harness.checks.run import Report
from harness.documents.labels import LabelRefused
from harness.faces.book_figures import book_figures
from harness.faces.frames import plain_report
from harness.faces.press import Made, drawings, labels_document, leads_document, test_page_document
from harness.faces.progress import Progress
from harness.wiring.build import Wiring

BOOK_VIEWS = ("run", "airframe", "power", "control")
PICTURED = ("run", "airframe", "load")
"""The documents whose pictures the index shows, by how their file's name begins."""
BOOK_STOCKS = {
    "A4": ("a4-46x21-4x12", "a4-64x34-3x8"),
    "Letter": ("letter-67x25-3x10", "letter-102x51-2x5"),
}
"""Usual sheets by paper, the smallest first."""


def book(report: Report, page: str) -> Iterator[Made]:
    """Make every document of a plan, the index last."""
    from harness.documents.index import Document, index_page

    made = list(_book(report, page))
    yield from made
    shown = [d for d in made if d.file.endswith(".svg") and d.file.startswith(PICTURED)]
    entries, pictures = ([Document(d.file, d.title) for d in found] for found in (made, shown))
    yield Made("index.html", "Index", index_page(report, entries, pictures))


def _book(report: Report, page: str) -> Iterator[Made]:
    yield Made("findings.txt", "Findings, with line numbers", plain_report(report))
    for view in BOOK_VIEWS:
        yield from drawings(report, {"view": view, "page": page}, ("svg", "pdf"))
    for to in ("csv", "markdown", "html"):
        yield leads_document(report.wiring, to)
    yield from _book_labels(report.wiring, page)
    yield from book_figures(report.wiring, page)
    yield Made("traces.txt", "Every part's way to its signal and supply", _traces(report.wiring))


def _book_labels(wiring: Wiring, page: str) -> Iterator[Made]:
    """Labels on the smallest usual sheet that takes them all, and that sheet's test page."""
    from harness.documents.plan_labels import labels_for

    if not labels_for(wiring):
        return
    stocks = BOOK_STOCKS[page]
    for stock in stocks:
        try:
            yield labels_document(wiring, stock, 0)
        except LabelRefused:
            if stock == stocks[-1]:
                raise
            continue
        yield test_page_document(wiring.plan, stock)
        return


def _traces(wiring: Wiring) -> str:
    from harness.documents.trace import trace_text

    with Progress("tracing every part"):
        texts = [trace_text(wiring, part).strip("\n") for part in wiring.plan.parts]
    return "\n\n".join(texts) + "\n"
