"""Printable labels: sheets, tape and wrap-round flags, exact to the millimetre."""

from __future__ import annotations

from collections.abc import Iterable

from harness.documents.labels.label import Label, LabelRefused, StockError
from harness.documents.labels.stock import (
    BUILT_IN,
    Flag,
    SheetStock,
    Stock,
    Tape,
    find_stock,
    stock_from_mapping,
)

__all__ = [
    "BUILT_IN", "Flag", "Label", "LabelRefused", "SheetStock", "Stock", "StockError", "Tape",
    "find_stock", "labels_pdf", "stock_from_mapping", "test_page_pdf",
]  # fmt: skip


def labels_pdf(labels: Iterable[Label], stock: Stock, skip: int = 0) -> bytes:
    """The labels as a PDF of exact size, without the first `skip` cells. Raises LabelRefused."""
    from harness.documents.labels.layout import lay_out
    from harness.documents.labels.pdf import draw_pages

    base = stock.base if isinstance(stock, Flag) else stock
    uncut = isinstance(base, SheetStock) and base.uncut
    return draw_pages(lay_out(labels, stock, skip), f"Labels: {stock.name}", uncut)


def test_page_pdf(stock: Stock) -> bytes:
    """A page with rulers, label outlines and lines of 100 mm, to check the printer with."""
    from harness.documents.labels.pdf import draw_test_page

    return draw_test_page(stock)


test_page_pdf.__test__ = False  # type: ignore[attr-defined]  # not for a test collector
