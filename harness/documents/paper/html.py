"""A paper as one HTML page that needs nothing else."""

from __future__ import annotations

from harness.documents.paper.blocks import Paper
from harness.documents.paper.text import as_text


def as_html(paper: Paper) -> str:
    """Return the page."""
    from html import escape

    from harness.documents.forms import html_page

    return html_page(paper.title, "", f"<pre>{escape(as_text(paper))}</pre>")
