"""The labels of a plan: one for each end of every lead, their files, their chapter of the book."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from harness.base.data import dataclass
from harness.documents.index import title_of
from harness.documents.labels import LabelRefused, Stock, find_stock, labels_pdf, test_page_pdf
from harness.documents.labels.label import Label, Side
from harness.documents.leads import needs_arrow
from harness.documents.making import Files
from harness.facts.of_leads import Facts, facts_of, pulled_words
from harness.paper.blocks import Chapter, Say
from harness.paper.sheet import PlainRow, table
from harness.parts.contacts import Form, Port
from harness.wiring.build import Wiring
from harness.wiring.leads import LeadEnd, PhysicalLead
from harness.wiring.ratings import connector_of

_OWN = frozenset({"main", "motor", "out", "1"})
"""Names of ports that go without saying on a part that has only one of their kind."""


def labels_for(wiring: Wiring) -> tuple[Label, ...]:
    """Return the labels of both ends of every lead, in the order of the lead list.

    A label says the lead's code, where this end goes, and what the lead is for; it has the
    side of its part, and an arrow for the pale wire where a 3-pin plug fits either way round.
    The end of a plug with a pulled pin says that instead: RED OUT.
    """
    facts = facts_of(wiring)
    return tuple(_label(facts, lead, end) for lead in facts.leads for end in reached(lead))


def reached(lead: PhysicalLead) -> tuple[LeadEnd, ...]:
    """Return the ends of a lead that a label can be put on: not where its maker buried it."""
    return tuple(e for e in lead.ends if not (lead.part.as_made and e.port is None)) or lead.ends


def label_files(wiring: Wiring, stock: Stock, skip: int = 0) -> dict[str, bytes | str]:
    """Return the labels of a plan on a stock, by the name of their file. Raises LabelRefused."""
    return {f"labels-{stock.name}.pdf": labels_pdf(labels_for(wiring), stock, skip)}


def page_files(stock: Stock) -> dict[str, bytes | str]:
    """Return the page with rulers for a stock, by the name of its file."""
    return {f"test-page-{stock.name}.pdf": test_page_pdf(stock)}


def _label(facts: Facts, lead: PhysicalLead, end: LeadEnd) -> Label:
    side = cast("Side", facts.wiring.plan.side(lead.part))
    out = pulled_words(end.mate) if end.port is not None and end.port.is_plug and end.mate else ""
    words = out or _purpose(lead)
    return Label(facts.codes[lead.key], _goes(facts, end), words, side, needs_arrow(end))


def _goes(facts: Facts, end: LeadEnd) -> str:
    """Say where an end goes: `to rx 6`, `to AIL-Y 2`, `1: AIL-L-X`, `at servo`."""
    if end.port is None:
        return f"at {end.meets.word}" if end.meets else ""
    if end.port.is_plug:
        return _plug_goes(facts, end) + _poles(facts, end)
    number = f"{end.port.name}: " if end.port.name not in {"main", "out"} else "takes "
    if end.mate is None:
        return f"{end.port.name}: free" if number != "takes " else "free"
    return f"{number}{facts.code_at(end.mate.plug) or end.mate.plug.short}" + _poles(facts, end)


def _plug_goes(facts: Facts, end: LeadEnd) -> str:
    if end.mate is None:
        return "to nothing"
    socket = end.mate.socket
    code = facts.code_at(socket) if socket is not None else ""
    if code and end.meets is not None and end.meets.circuits:
        return f"to {code}"
    where = code or (end.meets.id if end.meets else end.mate.join.part)
    only = socket is not None and _only_one(facts.wiring, socket)
    named = "" if only and end.socket in _OWN else f" {end.socket}"
    return f"to {where}{named}"


def _only_one(wiring: Wiring, socket: Port) -> bool:
    """Say whether a part has no other socket of that form."""
    return [
        p for p in wiring.by_part[socket.part.id] if not p.is_plug and p.form is socket.form
    ] == [socket]


def _poles(facts: Facts, end: LeadEnd) -> str:
    """Two bare bullets fit either way round: their label says which meets which."""
    assert end.port is not None
    value = facts.wiring.plan.catalogue.value("plugs", connector_of(end.port), "keyed")
    bare = end.port.form is Form.POWER and value is not None and value.text == "no"
    return ", red to red" if bare and end.mate is not None else ""


def _purpose(lead: PhysicalLead) -> str:
    """Say what a lead is for, short enough for narrow tape."""
    moves = lead.part.moves.removesuffix("-left").removesuffix("-right").replace("-", " ")
    if lead.kind == "servo lead" and moves:
        return moves
    return lead.kind.removesuffix(" lead").removesuffix(" wires")


STOCKS = {
    "A4": ("a4-46x21-4x12", "a4-64x34-3x8"),
    "Letter": ("letter-67x25-3x10", "letter-102x51-2x5"),
}
"""Usual sheets by paper, the smallest first."""


def usual_stock(wiring: Wiring | None) -> str:
    """Return the name of the stock that is taken where none is named: the plan's own first one,
    else the smallest usual A4 sheet that takes all labels.
    """
    if wiring is None:
        return STOCKS["A4"][0]
    sheet = None if wiring.plan.stocks else label_sheet(wiring, "A4")
    return next(iter(wiring.plan.stocks), sheet.stock if sheet else STOCKS["A4"][0])


COLUMNS = ("label", "one end", "other ends", "says")


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """The labels of a plan on a sheet: the stock's name, the labels, the files by document."""

    stock: str
    labels: tuple[Label, ...]
    files: Mapping[str, Files]


def label_sheet(wiring: Wiring, page: str) -> LabelSheet | None:
    """Return the labels on the smallest usual sheet that takes all, or none. Raises Refusal."""
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
    said = (
        f"{len(sheet.labels)} labels, one for each end of a lead that can be reached, are in "
        f"{printed} for the sheet {sheet.stock}. Print them at 100 %, without fitting to the "
        f"page; print {page} first and measure its lines."
    )
    shown = table("What the labels say", COLUMNS, _rows(sheet.labels))
    return (Chapter("labels", title_of("labels"), (Say(said), shown)),)


def _rows(labels: tuple[Label, ...]) -> list[PlainRow]:
    by_code: dict[str, list[Label]] = {}
    for label in labels:
        by_code.setdefault(label.code, []).append(label)
    return [
        (
            code,
            first.end,
            "; ".join(label.end for label in others),
            ", ".join(word for word in (first.text, first.side) if word),
        )
        for code, (first, *others) in by_code.items()
    ]
