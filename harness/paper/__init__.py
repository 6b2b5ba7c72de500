"""Documents to read, print and tick: made once as data, written as text, HTML, PDF and so on.

A `Paper` is a document of chapters; `Figures` are tables with the numbers behind them. Each form
of a document has one writer here.
"""

from __future__ import annotations

from harness.paper.blocks import Paper, paper_of
from harness.paper.sheet import Figures

FORMATS = ("text", "html", "pdf")
FIGURE_FORMATS = ("table", "csv", "markdown", "html", "json")


def render(paper: Paper, to: str, page: str = "A4") -> str | bytes:
    """Return a document as `text`, `html` or `pdf` (on `page`, A4 or Letter)."""
    if to == "text":
        from harness.paper.text import as_text

        return as_text(paper)
    if to == "html":
        from harness.paper.html import as_html

        return as_html(paper)
    if to == "pdf":
        from harness.paper.pdf import as_pdf

        return as_pdf(paper, page)
    raise ValueError(f'a document can be written as {", ".join(FORMATS)}, not as "{to}"')


def render_figures(figures: Figures, to: str) -> str:
    """Return figures in one of `FIGURE_FORMATS`; JSON only where they have data of their own."""
    from harness.paper.html import as_html
    from harness.paper.markdown import as_markdown
    from harness.paper.records import as_csv, as_json
    from harness.paper.text import sheet_text

    if to == "csv":
        return as_csv(figures.columns, figures.records)
    if to == "json" and figures.data:
        return as_json(figures.data)
    if to == "html":
        return as_html(paper_of(figures.sheet))
    if to in {"table", "markdown"}:
        return {"table": sheet_text, "markdown": as_markdown}[to](figures.sheet)
    formats = [form for form in FIGURE_FORMATS if form != "json" or figures.data]
    raise ValueError(f'figures can be written as {", ".join(formats)}, not as "{to}"')
