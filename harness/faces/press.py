"""Turns a checked plan into files. Each function yields the paths as it writes them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from harness.base.files import write_whole
from harness.checks.run import Report
from harness.faces.plans import folder_name
from harness.faces.progress import Progress
from harness.reader.plan import Plan

if TYPE_CHECKING:
    from harness.documents.labels import Stock

Format = Literal["svg", "pdf", "png"]

ENDING = {"table": "txt", "csv": "csv", "markdown": "md", "html": "html"}
BOOK_VIEWS = ("run", "airframe", "power", "control")
BOOK_STOCKS = ("a4-46x21-4x12", "a4-64x34-3x8")
BOOK_STOCKS_LETTER = ("letter-67x25-3x10", "letter-102x51-2x5")


def draw_files(
    report: Report, out: str, wish: Mapping[str, Any], formats: Iterable[Format]
) -> Iterator[Path]:
    """Draw one view, or one place, function or lead, once, and write it in each format."""
    from harness.documents.diagram import Wish, draw_pages, render

    words: dict[str, Any] = {word: value or "" for word, value in wish.items()}
    view = Wish(**words)
    with Progress(f"drawing {view.view}"):
        pages = draw_pages(report, view)
        made = [item for to in formats for item in render(pages, to, view.page).items()]
    for name, data in made:
        yield write_whole(Path(out) / folder_name(report.plan) / name, data)


def leads_text(report: Report, to: str) -> str:
    """Return the lead list."""
    from harness.documents.leadlist import lead_list, render

    return render(lead_list(report.wiring), to)


def leads_file(report: Report, out: str, to: str) -> Iterator[Path]:
    """Write the lead list."""
    folder = Path(out) / folder_name(report.plan)
    yield write_whole(folder / f"leads.{ENDING[to]}", leads_text(report, to))


def _own_stocks(plan: Plan) -> list[Stock]:
    from harness.documents.labels import stock_from_mapping

    return [stock_from_mapping(name, sizes) for name, sizes in plan.stocks.items()]


def stock_lines(report: Report | None) -> list[str]:
    """Return the names of the label stocks, the plan's own first."""
    from harness.documents.labels import BUILT_IN

    own = [f"{stock.name}  (of this plan)" for stock in _own_stocks(report.plan)] if report else []
    return [*own, *(getattr(stock, "name", str(stock)) for stock in BUILT_IN)]


def label_files(report: Report, out: str, stock: str, skip: int, test_page: bool) -> Iterator[Path]:
    """Write the labels on a stock, or its test page."""
    from harness.documents.labels import find_stock, labels_pdf, test_page_pdf
    from harness.documents.plan_labels import labels_for

    found = find_stock(stock, _own_stocks(report.plan))
    folder = Path(out) / folder_name(report.plan)
    if test_page:
        yield write_whole(folder / f"test-page-{found.name}.pdf", test_page_pdf(found))
        return
    data = labels_pdf(labels_for(report.wiring), found, skip)
    yield write_whole(folder / f"labels-{found.name}.pdf", data)


def book_files(report: Report, out: str, page: str) -> Iterator[Path]:
    """Write every document of a plan, the index last."""
    from harness.documents.index import Document, index_page

    made: list[Document] = []
    folder = Path(out) / folder_name(report.plan)
    for path, title in _book(report, out, page):
        made.append(Document(path.relative_to(folder).as_posix(), title))
        yield path
    shown = [d for d in made if d.file.endswith(".svg") and d.file.startswith(("run", "airframe"))]
    yield write_whole(folder / "index.html", index_page(report, made, shown))


def _book(report: Report, out: str, page: str) -> Iterator[tuple[Path, str]]:
    from harness.faces.frames import plain_report

    folder = Path(out) / folder_name(report.plan)
    yield write_whole(folder / "findings.txt", plain_report(report)), "Findings, with line numbers"
    for view in BOOK_VIEWS:
        wish = {"view": view, "page": page}
        for path in draw_files(report, out, wish, ("svg", "pdf")):
            yield path, f"Diagram: {path.stem.replace('-', ' ')}, {path.suffix[1:].upper()}"
    for to in ("csv", "markdown", "html"):
        for path in leads_file(report, out, to):
            yield path, f"Lead list, {to}"
    for path in _book_labels(report, out, page):
        yield path, "Labels" if path.name.startswith("labels") else "Label test page with rulers"
    yield write_whole(folder / "traces.txt", _traces(report)), "Every part's way to its supply"


def _book_labels(report: Report, out: str, page: str) -> Iterator[Path]:
    """Labels on the smallest usual stock that takes them all, and that stock's test page."""
    from harness.documents.labels import LabelRefused

    stocks = BOOK_STOCKS if page == "A4" else BOOK_STOCKS_LETTER
    for stock in stocks:
        try:
            yield from label_files(report, out, stock, 0, test_page=False)
        except LabelRefused:
            if stock == stocks[-1]:
                raise
            continue
        yield from label_files(report, out, stock, 0, test_page=True)
        return


def _traces(report: Report) -> str:
    from harness.documents.trace import trace_text

    texts = [trace_text(report.wiring, part).strip("\n") for part in report.plan.parts]
    return "\n\n".join(texts) + "\n"
