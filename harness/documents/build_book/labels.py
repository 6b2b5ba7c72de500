"""The labels in the build book: on which sheet, how many, and what each of them says."""

from __future__ import annotations

from dataclasses import dataclass

from harness.documents.labels import Label, LabelRefused, find_stock, labels_pdf
from harness.documents.plan_labels import labels_for
from harness.paper.blocks import Chapter, Say
from harness.paper.tables import PlainRow, table
from harness.wiring.build import Wiring

STOCKS = {
    "A4": ("a4-46x21-4x12", "a4-64x34-3x8"),
    "Letter": ("letter-67x25-3x10", "letter-102x51-2x5"),
}
"""Usual sheets by paper, the smallest first."""
COLUMNS = ("label", "one end", "other ends", "says")


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """The labels of a plan on a sheet: the stock's name, the labels, the PDF."""

    stock: str
    labels: tuple[Label, ...]
    pdf: bytes

    @property
    def file(self) -> str:
        """The name of its file."""
        return f"labels-{self.stock}.pdf"


def label_sheet(wiring: Wiring, page: str) -> LabelSheet | None:
    """Return the labels on the smallest usual sheet that takes them all, none for no lead.

    Raises Refusal for a label that no sheet takes.
    """
    labels = labels_for(wiring)
    if not labels:
        return None
    *smaller, largest = STOCKS[page]
    for stock in smaller:
        try:
            return LabelSheet(stock, labels, labels_pdf(labels, find_stock(stock, ())))
        except LabelRefused:
            continue
    return LabelSheet(largest, labels, labels_pdf(labels, find_stock(largest, ())))


def labels_chapter(sheet: LabelSheet) -> Chapter:
    """Say which file to print on which labels, and what each label says."""
    count = len(sheet.labels)
    return Chapter("labels", "Labels", (
        Say(f"{count} labels, one for each end of every lead, are in {sheet.file} for the sheet "
            f"{sheet.stock}. Print them at 100 %, without fitting to the page; print "
            f"test-page-{sheet.stock}.pdf first and measure its lines."),
        table("What the labels say", COLUMNS, _rows(sheet.labels)),
    ))  # fmt: skip


def _rows(labels: tuple[Label, ...]) -> list[PlainRow]:
    by_code: dict[str, list[Label]] = {}
    for label in labels:
        by_code.setdefault(label.code, []).append(label)
    return [
        (
            code,
            found[0].end,
            "; ".join(label.end for label in found[1:]),
            ", ".join(word for word in (found[0].text, found[0].side) if word),
        )
        for code, found in by_code.items()
    ]
