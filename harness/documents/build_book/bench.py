"""The bench edition: what is needed at the bench and at the field, in the order of use.

What it leaves out stands in the full edition: lengths, every trace, every figure and its origin.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from harness.base.data import replace
from harness.base.near import spoken
from harness.base.units import VOLTAGE, format_quantity
from harness.diagram import DrawnPage
from harness.diagram.printing import GOOD
from harness.diagram.stages import View
from harness.documents.build_book.chapters import (
    cautions_chapter,
    diagrams_chapter,
    leads_chapter,
    plan_chapter,
)
from harness.documents.cautions import sentence
from harness.documents.figures import NONE
from harness.documents.figures.load import KIND_WORDS
from harness.documents.kit import kit_chapter
from harness.documents.plan_labels import labels_chapters
from harness.documents.protocol import protocol_chapter
from harness.documents.steps import field_chapter, steps_chapter
from harness.documents.transmitter import transmitter_chapter
from harness.drawing.scene import PAPERS, Scene, Text, walk
from harness.facts.mend_first import warning_words
from harness.facts.of_leads import facts_of
from harness.paper.blocks import Block, Chapter, Paper, Picture, Points, Say
from harness.paper.sheet import Cell, PlainRow, Row, Table, amounts, headings, table
from harness.parts.contacts import LinkKind
from harness.wiring.build import Wiring
from harness.wiring.graph import entries, feeding, ways_to

if TYPE_CHECKING:
    from harness.documents.build_book import Material, Reckoned

FULL = (
    "Lengths, every part's way, all figures and where they come from are in the full edition: "
    "`harness book PLAN --edition full`."
)


def bench_paper(made: Material, foot: tuple[str, ...]) -> Paper:
    """Return the book to print for the bench; chapters follow one another on a page."""
    report, plan = made.report, made.report.plan
    chapters = (
        cautions_chapter(report),
        plan_chapter(report, brief=True),
        *(c for c in (kit_chapter(report),) if any(isinstance(b, Table) for b in c.blocks)),
        _diagrams(made),
        _leads(made),
        transmitter_chapter(report),
        steps_chapter(report, brief=True),
        protocol_chapter(report, made.record, brief=True),
        _supplies(made),
        *(_points(one) for name in ("equalise", "endurance") for one in made.reckoned[name]),
        *(_followed(one) for one in made.reckoned["timeline"]),
        field_chapter(report, brief=True),
    )
    about = (*foot, FULL)
    return Paper(f"{plan.aircraft}: build book", plan.about, plan.revision, chapters, about, True)


def _diagrams(made: Material) -> Chapter:
    """Return the key, the run view and, of a plan with places, the airframe view's first page."""
    drawn: dict[View, tuple[DrawnPage, ...]] = {"run": made.drawings["run"]}
    if made.report.plan.places:
        drawn["airframe"] = made.drawings["airframe"][:1]
    chapter = diagrams_chapter(made.report, drawn)
    pictures = [block for block in chapter.blocks if isinstance(block, Picture)]
    drawings = (replace(p, whole=_is_fine(p.scene, made.page)) for p in pictures if p.whole)
    return Chapter(chapter.anchor, chapter.title, (replace(pictures[-1], caption=KEY), *drawings))


KEY = "Packs and receiver are at the left, devices at the right; a tinted area is a place."


def _is_fine(scene: Scene, page: str) -> bool:
    """Say whether a drawing needs a page turned to it, so that its smallest text can be read."""
    sizes = (item.size for item in walk(scene.items) if isinstance(item, Text))
    wide, high = PAPERS[page][1] - MARGINS, PAPERS[page][0] / 2
    return min(sizes, default=GOOD) * min(wide / scene.width, high / scene.height) < GOOD


MARGINS = 91.0
"""Of an upright page, left and right, points."""


def _leads(made: Material) -> Chapter:
    """Return the lead list, and how its labels are printed; they say what the list says."""
    chapter = leads_chapter(made.wiring)
    labels = [b for c in labels_chapters(made.labels) for b in c.blocks if isinstance(b, Say)]
    return Chapter(chapter.anchor, chapter.title, (*labels, *chapter.blocks))


def _points(one: Reckoned) -> Chapter:
    """Return the sentences that a document of figures begins with."""
    if one.figures is None:
        return Chapter(one.stem, one.title, (Say(f"No figures: {one.why}.", "warning"),))
    return Chapter(one.stem, one.title, (Points(one.figures.sheet.points),))


def _followed(one: Reckoned) -> Chapter:
    """Return a time line: its first run as a chart with a name at each curve, and what differs."""
    chapter = _points(one)
    if one.figures is None:
        return chapter
    runs = one.figures.sheet.tables[0]
    charts = [Picture(s, f"Chart: {s.title}", s.title, whole=True) for _, s in one.charts[-1:]]
    return Chapter(one.stem, one.title, (*chapter.blocks, *_differing(runs), *charts))


def _differing(runs: Table) -> Iterator[Block]:
    """Say the first row of a table in words, and of the others only what is not so."""
    first, *others = [row for group in runs.groups for row in group.rows]
    titles = [column.title for column in runs.columns]

    def said(row: tuple[Cell, ...], *, all_of: bool = False) -> str:
        cells = list(zip(titles, row, first, strict=True))[2:]
        return ", ".join(f"{title} {cell.text}" for title, cell, usual in cells
                         if all_of or cell != usual)  # fmt: skip

    found: dict[str, list[str]] = {}
    for row in others:
        found.setdefault(said(row) or "the same", []).append(row[0].text)
    yield Say(f"{first[0].text} ({first[1].text}): {said(first, all_of=True)}. The other runs:")
    yield Points(tuple(Cell(f"{spoken(names)}: {differs}") for differs, names in found.items()))


def _supplies(made: Material) -> Chapter:
    """Return what matters of the loads, and every supply once: from where, to whom, how much."""
    blocks: list[Block] = []
    rows: list[Row] = []
    if first := sentence(warning_words(made.wiring)):
        blocks.append(Say(first, "danger"))
    for one in made.reckoned["load"]:
        if one.figures is None:
            blocks += _points(one).blocks
            continue
        sheet = one.figures.sheet
        blocks.append(Points(tuple(point for point in sheet.points if point.tone)))
        groups = (group for one_table in sheet.tables for group in one_table.groups)
        rows += [row for group in groups if group.title in OF_SUPPLIES for row in group.rows]
    return Chapter("load", "Supplies", (*blocks, supply_table(made.wiring, rows)))


OF_SUPPLIES = {KIND_WORDS["pack"], KIND_WORDS["supply"]}


def supply_table(wiring: Wiring, load: Iterable[Row]) -> Table:
    """Return a row a supply: the leads it is fed through, what it feeds, the most it gives.

    `load`: the rows of the load table about supplies, as `KIND_WORDS` groups them.
    """
    facts, parts = facts_of(wiring), wiring.plan.parts
    fed: dict[str, dict[str, None]] = {}
    for part in parts.values():
        starts = () if part.holds_cells or part.across else entries(wiring, part)
        for way in (way for start in starts for way in ways_to(wiring, start)):
            if way.source.owner != part.id:
                fed.setdefault(way.source.owner, {})[part.id] = None
    amps = {row[0].text: (row[1], row[5], row[6]) for row in load}
    rows: list[PlainRow] = []
    for source in (link for link in wiring.links if link.kind is LinkKind.SOURCE):
        part, at = parts[source.owner], feeding(wiring, source)
        name = part.maker.removeprefix("the ")
        ways = ways_to(wiring, at or source.a)[: 1 if at else None]
        codes = [facts.code_at(mate.plug) for way in ways for mate in way.mates(wiring)]
        from_ = f"{', '.join(codes)} from {parts[ways[0].source.owner].named()}" if ways else NONE
        volts = format_quantity(source.volts, VOLTAGE)
        told = amps.get(name, (NONE,) * 3)
        rows.append((f"{name}, {volts}", from_, spoken(fed.get(part.id, ())) or NONE, *told))
    columns = headings("supply", "comes by", "feeds", *amounts("most A", "of lasting", "of burst"))
    return table("Every supply", columns, rows, SHARES)


SHARES = (
    "Most A with the letter of its case, as in the load table; shares are of what it gives "
    "continuously and for seconds."
)
