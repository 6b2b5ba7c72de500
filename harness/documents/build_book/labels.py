"""The labels in the build book: on which sheet, how many, and what each of them says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from harness.documents.index import title_of
from harness.documents.labels import Label, LabelRefused, find_stock
from harness.documents.making import Files
from harness.documents.plan_labels import label_files, labels_for, page_files
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
    """The labels of a plan on a sheet: the stock's name, the labels, the files by document."""

    stock: str
    labels: tuple[Label, ...]
    files: Mapping[str, Files]


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
            return _sheet(wiring, stock, labels)
        except LabelRefused:
            continue
    return _sheet(wiring, largest, labels)


def _sheet(wiring: Wiring, name: str, labels: tuple[Label, ...]) -> LabelSheet:
    stock = find_stock(name, ())
    files = {"labels": label_files(wiring, stock), "test-page": page_files(stock)}
    return LabelSheet(name, labels, files)


def labels_chapters(sheet: LabelSheet | None) -> tuple[Chapter, ...]:
    """Say which file to print on which labels, and what each label says; nothing for no label."""
    if sheet is None:
        return ()
    printed, page = (next(iter(sheet.files[name])) for name in ("labels", "test-page"))
    said = (f"{len(sheet.labels)} labels, one for each end of every lead, are in {printed} for the "
            f"sheet {sheet.stock}. Print them at 100 %, without fitting to the page; print "
            f"{page} first and measure its lines.")  # fmt: skip
    shown = table("What the labels say", COLUMNS, _rows(sheet.labels))
    return (Chapter("labels", title_of("labels"), (Say(said), shown)),)


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
