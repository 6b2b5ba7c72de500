"""The build book: all documents of a plan in the order of need, and the files beside it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, cast

from harness.base.data import dataclass, replace
from harness.base.near import spoken
from harness.base.refusal import MOST_PARTS, Refusal
from harness.base.units import VOLTAGE, format_quantity
from harness.diagram import DrawnPage, ViewWish, draw_pages
from harness.diagram import render as drawn
from harness.diagram.printing import GOOD
from harness.diagram.stages import View
from harness.documents.build_book.chapters import (
    VIEWS,
    cautions_chapter,
    diagrams_chapter,
    leads_chapter,
    plan_chapter,
)
from harness.documents.build_book.live import ways
from harness.documents.cautions import sentence
from harness.documents.figures import NONE
from harness.documents.figures.load import KIND_WORDS
from harness.documents.index import DOCUMENTS, PICTURES, Document, function_of
from harness.documents.kit import kit_chapter
from harness.documents.making import Chart, Files, Page, file_named, files_of
from harness.documents.plan_labels import LabelSheet, label_sheet, labels_chapters
from harness.documents.protocol import protocol_chapter
from harness.documents.steps import field_chapter, steps_chapter
from harness.documents.transmitter import transmitter_chapter
from harness.drawing.scene import PAPERS, Group, Scene, Text, bounds, moved, walk
from harness.facts.mend_first import warning_words
from harness.facts.of_leads import facts_of
from harness.paper import render
from harness.paper.blocks import Block, Chapter, Paper, Picture, Points, Say, chapter_of
from harness.paper.sheet import Cell, Figures, PlainRow, Row, Table, amounts, headings, table
from harness.parts.contacts import LinkKind
from harness.plan.results import Record
from harness.rules.run import Report
from harness.wiring.build import Wiring
from harness.wiring.graph import entries, feeding, ways_to

FOOT = (
    "Figures are estimates from the plan; a meter and a second pair of eyes decide. The makers' "
    "instructions and your local rules come first."
)


@dataclass(frozen=True, slots=True)
class Material:
    """What a book and the files beside it are made from, each made once."""

    report: Report
    page: Page
    drawings: Mapping[View, tuple[DrawnPage, ...]]
    labels: LabelSheet | None
    reckoned: Mapping[str, tuple[Reckoned, ...]]
    record: Record | None = None

    @property
    def wiring(self) -> Wiring:
        """The wiring that the report is of."""
        return self.report.wiring


def material_of(report: Report, page: str = "A4", record: Record | None = None) -> Material:
    """Draw, reckon and set the labels; `record`: of before. Raises Refusal, LostEdges."""
    paper = cast("Page", page)
    large = len(report.plan.parts)  # a view that shows no plan so large is left out
    drawings = {
        view: draw_pages(report, ViewWish(view, page=paper))
        for view in VIEWS
        if large <= MOST_PARTS[view]
    }
    labels = label_sheet(report.wiring, page)
    return Material(report, paper, drawings, labels, reckoned(report.wiring, paper), record)


def book_paper(report: Report, page: str = "A4", material: Material | None = None) -> Paper:
    """Return the build book of a checked plan; `material`, where it is made already."""
    made = material or material_of(report, page)
    told = (document for document in DOCUMENTS if document.in_book)
    chapters = tuple(chapter for document in told for chapter in _chapters(document, made))
    plan = report.plan
    return Paper(f"{plan.aircraft}: build book", plan.about, plan.revision, chapters, (FOOT,))


def _chapters(document: Document, made: Material) -> Iterable[Chapter]:
    """Make the chapters of one document of the list, none where the plan gives none."""
    if document.figures:
        return map(figures_chapter, made.reckoned[document.name])
    maker, *wanted = document.chapter
    found = function_of(maker)(*(getattr(made, name) for name in wanted))
    return (found,) if isinstance(found, Chapter) else found


def book_files(material: Material, edition: str = "bench") -> Files:
    """Return the book for a screen and to print, and what the list says lies beside it.

    `edition`: what is printed: "bench", what bench and field need, or "full", all of the screen's.
    """
    paper = book_paper(material.report, material.page, material)
    printed = paper if edition == "full" else bench_paper(material)
    files: Files = {
        "book.html": render(paper, "html"),
        "book.pdf": render(printed, "pdf", material.page),
    }
    for document in DOCUMENTS:
        if document.beside:
            files |= _beside(document, material)
    return files


def _beside(document: Document, made: Material) -> Files:
    if document.figures:
        return figure_files(made.reckoned[document.name], document.beside)
    if document.name == "diagrams":
        lit, formats = ways(made.report), cast("Any", document.beside)
        return {
            name: data
            for pages in made.drawings.values()
            for to in formats
            for name, data in drawn(pages, to, made.page, lit).items()
        }
    if document.name in {"labels", "test-page"}:
        return made.labels.files[document.name] if made.labels else {}
    return {
        name: data
        for to in document.beside
        for name, data in files_of(document, made.wiring, to).items()
    }


@dataclass(frozen=True, slots=True)
class Reckoned:
    """One document of figures: `stem` of its files, charts by stems; `why` it has no figures."""

    stem: str
    title: str
    figures: Figures | None = None
    charts: tuple[tuple[str, Scene], ...] = ()
    why: str = ""


def reckoned(wiring: Wiring, page: Page) -> Mapping[str, tuple[Reckoned, ...]]:
    """Reckon all that the plan has figures for; where there is no solution it says why."""
    return {one.name: _reckoned(one, wiring, page) for one in DOCUMENTS if one.figures}


def _reckoned(document: Document, wiring: Wiring, page: Page) -> tuple[Reckoned, ...]:
    from harness.electrics.network import blamed
    from harness.electrics.solver.circuit import NotSolved

    try:
        return tuple(
            Reckoned(one.stem, one.title, one.figures(), tuple(_drawn(one.charts, page)))
            for one in function_of(document.figures)(wiring)
        )
    except NotSolved as unsolved:
        return (Reckoned(document.name, document.title, why=blamed(wiring.plan, unsolved)),)
    except Refusal as refusal:
        return (Reckoned(document.name, document.title, why=str(refusal)),)


def _drawn(charts: Iterable[Chart], page: Page) -> Iterator[tuple[str, Scene]]:
    """Yield the charts as drawings, those left out that have nothing to plot."""
    for chart in charts:
        try:
            yield chart.stem, chart.draw(page).scene(chart.title)
        except Refusal:
            continue


def figures_chapter(one: Reckoned) -> Chapter:
    """Return a document of figures as a chapter, its charts at the end; the book has the foot."""
    if one.figures is None:
        return Chapter(one.stem, one.title, (Say(f"No figures: {one.why}.", "warning"),))
    chapter = chapter_of(replace(one.figures.sheet, foot=()), one.stem, one.title)
    alt = " ".join(point.text for point in one.figures.sheet.points) or one.title
    pictures = (Picture(scene, f"Chart: {scene.title}", alt, whole=True) for _, scene in one.charts)
    return Chapter(chapter.anchor, chapter.title, (*chapter.blocks, *pictures))


def figure_files(found: Iterable[Reckoned], formats: Iterable[str]) -> Files:
    """Return the numbers and the charts of all that has figures, as files."""
    from harness.documents.charts import written
    from harness.paper import render_figures

    files: Files = {}
    for one in found:
        if one.figures is not None:
            tables = [to for to in formats if to not in PICTURES]
            files |= {file_named(one.stem, to): render_figures(one.figures, to) for to in tables}
        for stem, scene in one.charts:
            files |= {
                file_named(stem, to): written(scene, cast("Any", to))
                for to in formats
                if to in PICTURES
            }
    return files


def bench_paper(made: Material) -> Paper:
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
        field_chapter(report, brief=True),
        _supplies(made),
        *(_points(one) for name in ("equalise", "endurance") for one in made.reckoned[name]),
        *(_followed(one) for one in made.reckoned["timeline"]),
    )
    return Paper(f"{plan.aircraft}: build book", plan.about, plan.revision, chapters, flows=True)


def _diagrams(made: Material) -> Chapter:
    """Return the key, the run view and, of a plan with places, the airframe view's first page."""
    shown: dict[View, tuple[DrawnPage, ...]] = {"run": made.drawings["run"]}
    if made.report.plan.places:
        shown["airframe"] = made.drawings.get("airframe", ())[:1]
    chapter = diagrams_chapter(made.report, shown)
    pictures = [block for block in chapter.blocks if isinstance(block, Picture)]
    key = (replace(picture, caption=KEY) for picture in pictures if not picture.whole)
    drawings = (_bare(picture, made.page) for picture in pictures if picture.whole)
    return Chapter(chapter.anchor, chapter.title, (*key, *drawings))


KEY = "Packs and receiver are at the left, devices at the right; a tinted area is a place."


def _bare(picture: Picture, page: str) -> Picture:
    """Return a drawing without the findings' words, which stand before it.

    Where its smallest text can be read on half a page, it has no title either; else a page.
    """
    paper, *items = picture.scene.items
    kept = [item for item in items if not (isinstance(item, Group) and "legend" in item.classes)]
    bare = [i for i in kept if not (isinstance(i, Group) and "title-block" in i.classes)] or kept
    left, top, right, low = bounds(bare)
    small = Scene(right - left, low - top, tuple(moved(item, -left, -top) for item in bare))
    sizes = (item.size for item in walk(bare) if isinstance(item, Text))
    wide, high = PAPERS[page][1] - MARGINS, PAPERS[page][0] / 2
    if min(sizes, default=GOOD) * min(wide / small.width, high / small.height) >= GOOD:
        return replace(picture, scene=replace(small, title=picture.scene.title), whole=False)
    return replace(picture, scene=replace(picture.scene, items=(paper, *kept)))


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
        cells = list(zip(titles, row, first, strict=True))[2:-1]  # faults stand before it
        return ", ".join(
            f"{title} {cell.text}" for title, cell, usual in cells if all_of or cell != usual
        )

    found: dict[str, list[str]] = {}
    for row in others:
        found.setdefault(said(row), []).append(row[0].text)
    same = " Runs not named here are the same." if found.pop("", []) else ""
    yield Say(f"{first[0].text} ({first[1].text}): {said(first, all_of=True)}.{same}")
    if found:
        yield Points(tuple(Cell(f"{spoken(names)}: {how}") for how, names in found.items()))


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
    "continuously and for seconds. Lengths, every part's way, all figures and their origins are "
    "in the full edition: `harness book PLAN --edition full`."
)
