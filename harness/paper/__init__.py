"""Documents to read, print and tick: made once as blocks, written as text, HTML or PDF."""

from __future__ import annotations

from harness.paper.blocks import Paper

FORMATS = ("text", "html", "pdf")


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
