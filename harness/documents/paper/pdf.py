"""A paper as a PDF to print."""

from __future__ import annotations

from harness.base.refusal import Refusal
from harness.documents.paper.blocks import Paper


def as_pdf(paper: Paper, page: str = "A4") -> bytes:
    """Return the PDF."""
    raise Refusal(f'"{paper.title}" cannot be printed on {page} yet')
