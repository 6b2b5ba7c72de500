"""Makes a checked plan's documents, all of them in memory first, and then writes them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from harness.base.files import write_whole
from harness.cli.exits import CannotRun
from harness.cli.loaded import listed
from harness.cli.plans import folder_name
from harness.cli.progress import Progress
from harness.cli.say import say
from harness.cli.stocks import own_stocks
from harness.documents.labels import BUILT_IN, find_stock
from harness.plan.plan import Plan
from harness.rules.run import Report
from harness.wiring.build import Wiring

Format = Literal["svg", "pdf", "png"]

PICTURES = ("svg", "pdf", "png")
ENDINGS = {"table": "txt", "text": "txt", "markdown": "md", "spice": "cir", "yaml": "results.yaml",
           **{same: same for same in ("csv", "json", "html", *PICTURES)}}  # fmt: skip
"""How the name of a file ends, by its format."""


@dataclass(frozen=True, slots=True)
class Made:
    """One document, made but not yet written: its file's name, what it is, what it holds."""

    file: str
    title: str
    content: bytes | str

    @property
    def is_text(self) -> bool:
        """Whether it can be read on a terminal: no picture, no PDF."""
        return isinstance(self.content, str) and not self.file.endswith(".svg")


def handed_out(plan: Plan, made: Sequence[Made], out: str | None) -> None:
    """Print what is text, or write it with --out; pictures and PDFs are always written."""
    if out is None and all(one.is_text for one in made):
        say("".join(str(one.content) for one in made), end="")
    else:
        listed(written(plan, out or "out", made))


def written(plan: Plan | None, out: str, documents: Iterable[Made]) -> Iterator[Path]:
    """Write documents into the plan's folder; nothing is written until all are made."""
    folder = Path(out) / folder_name(plan) if plan else Path(out)
    made = list(documents)
    _writable(folder)
    for document in made:
        try:
            yield write_whole(folder / document.file, document.content)
        except OSError as error:
            why = error.strerror or str(error)
            raise CannotRun(f'"{folder / document.file}" cannot be written: {why}') from None


def _writable(folder: Path) -> None:
    """Refuse a folder that is a file, or lies below one, in the builder's words."""
    for place in (folder, *folder.parents):
        if place.exists() and not place.is_dir():
            raise CannotRun(f'documents cannot go into "{folder}": "{place}" is a file')


def drawings(report: Report, wish: Mapping[str, Any], formats: Iterable[Format]) -> Iterator[Made]:
    """Draw one view, or one place, function or lead, once, and yield it in each format."""
    from harness.diagram import Wish, draw_pages, render

    words: dict[str, Any] = {word: value for word, value in wish.items() if value}
    view = Wish(**words)
    with Progress(f"drawing the {view.view} view"):
        pages = draw_pages(report, view)
        made = [
            (to, name, data)
            for to in formats
            for name, data in render(pages, to, view.page).items()
        ]
    for to, name, data in made:
        yield Made(name, f"Diagram: {Path(name).stem.replace('-', ' ')}, {to.upper()}", data)


def leads_document(wiring: Wiring, to: str) -> Made:
    """Return the lead list as a document."""
    from harness.documents.lead_table import lead_figures
    from harness.documents.leadlist import lead_list
    from harness.paper import render_figures

    with Progress("listing the leads"):
        content = render_figures(lead_figures(lead_list(wiring)), to)
    return Made(f"leads.{ENDINGS[to]}", f"Lead list, {to}", content)


def stock_lines(plan: Plan | None) -> list[str]:
    """Return the names of the label stocks, the plan's own first."""
    own = [f"{name}  (of this plan)" for name in plan.stocks] if plan else []
    return [*own, *(stock.name for stock in BUILT_IN)]


def labels_document(wiring: Wiring, stock: str, skip: int) -> Made:
    """Return the labels of a plan on a stock. Raises Refusal."""
    from harness.documents.labels import labels_pdf
    from harness.documents.plan_labels import labels_for

    found = find_stock(stock, own_stocks(wiring.plan))
    with Progress("making the labels"):
        data = labels_pdf(labels_for(wiring), found, skip)
    return Made(f"labels-{found.name}.pdf", f"Labels on {found.name}", data)


def test_page_document(plan: Plan | None, stock: str) -> Made:
    """Return a page with rulers for a stock."""
    from harness.documents.labels import test_page_pdf

    found = find_stock(stock, own_stocks(plan) if plan else ())
    title = f"Test page with rulers for {found.name}"
    return Made(f"test-page-{found.name}.pdf", title, test_page_pdf(found))
