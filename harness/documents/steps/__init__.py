"""The order of work as a document: steps to tick, each with its labels and a small picture."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import chain

from harness.airframe.access import FOR_GOOD
from harness.airframe.steps import field_work
from harness.base.finding import Finding
from harness.base.near import spoken
from harness.documents.cautions import CAUTIONS, faults_first, faults_text
from harness.documents.index import title_of
from harness.documents.steps.bench import bench_entries, label_entries
from harness.documents.steps.building import building_entries
from harness.documents.steps.field import field_entries, nothing_comes_off
from harness.documents.steps.work import StepEntry, Work, listed
from harness.paper.blocks import Block, Chapter, Paper, Points, Say
from harness.paper.records import as_json
from harness.paper.sheet import Cell
from harness.paper.tables import noted
from harness.rules.run import Report
from harness.wiring.codes import natural

RULE = "impossible-order"


def steps_chapter(report: Report, *, drawn: bool = True) -> Chapter:
    """Return the order of work of a checked plan, from the bench to the first flight."""
    work = Work(report, drawn=drawn)
    entries = step_entries(work)
    blocks = (*faults_first(report), *_points(work, entries), *_warned(work), *listed(entries))
    return Chapter("steps", title_of("steps"), blocks)


def field_chapter(report: Report, *, drawn: bool = True) -> Chapter:
    """Return what is done again at the field each time the wings have been off."""
    work = Work(report, drawn=drawn)
    said = nothing_comes_off(field_work(work.order))
    said_first = (*faults_first(report), *([said] if said else []))
    blocks = (*said_first, *_warned(work), *listed(field_entries(work)))
    return Chapter("field", title_of("field"), blocks)


def steps_paper(report: Report, *, field: bool = False, drawn: bool = True) -> Paper:
    """Return the order of work, or the list for the field, as a document of its own.

    `drawn`: with its small pictures, which plain text does not show.
    """
    plan = report.plan
    chapter = (field_chapter if field else steps_chapter)(report, drawn=drawn)
    about = "what is done again each time it is put together" if field else "from bench to flight"
    return Paper(f"{chapter.title}: {plan.aircraft}", about, plan.revision, (chapter,),
                 CAUTIONS[-2:] if field else ())  # fmt: skip


def step_entries(work: Work) -> list[StepEntry]:
    """Return all steps in their order."""
    return list(chain(bench_entries(work), label_entries(work), building_entries(work)))


def steps_json(report: Report, *, field: bool = False) -> str:
    """Return the order of work, or the list for the field, as one JSON document."""
    work = Work(report, drawn=False)
    entries = list(field_entries(work)) if field else step_entries(work)
    body = {
        "aircraft": report.plan.aircraft,
        "revision": report.plan.revision,
        "document": "field" if field else "steps",
        "mend-first": faults_text(report),
        "impossible": [f.message for f in _impossible(report)],
        "not-plugged": _faulty(work),
        "steps": [_record(number, entry) for number, entry in enumerate(entries, 1)],
    }
    return as_json(body)


def _record(number: int, entry: StepEntry) -> dict[str, object]:
    tick = entry.tick
    return {
        "number": number,
        "key": tick.key,
        "stage": entry.stage,
        "place": entry.place,
        "heading": entry.heading,
        "text": tick.text,
        "details": list(tick.details),
        "labels": list(tick.codes),
        "plug": entry.plug,
    }


def _points(work: Work, entries: Iterable[StepEntry]) -> Iterator[Block]:
    pool = list(entries)
    plugs = sum(bool(entry.plug) for entry in pool)
    pieces = [f"{len(pool)} steps, {plugs} of them plugs"]
    stuck = {task.name for ring in work.order.knots for task in ring.stuck}
    covers = (c for c in work.plan.covers.values() if c.kind == FOR_GOOD and c.id not in stuck)
    closed = sorted((cover.id for cover in covers), key=natural)
    if closed:
        pieces.append(f"closed for good on the way: {spoken(closed)}")
    cells = [Cell("; ".join(pieces) + ".")]
    if not work.plan.places:
        cells.append(Cell("The plan has no places: with places, joints and covers the order says "
                          "which plug must be made before what closes."))  # fmt: skip
    yield Points(tuple(cells))


def _impossible(report: Report) -> list[Finding]:
    pool = (*report.findings, *(accepted.finding for accepted in report.accepted))
    return [finding for finding in pool if finding.rule == RULE]


def _warned(work: Work) -> Iterator[Block]:
    """Yield what cannot be done as planned."""
    for finding in _impossible(work.report):
        yield Say(f"{finding.message} (plan line {finding.span.line})", "danger")
    left_out = "Not in these steps, as the plan cannot be plugged so (harness check says why)"
    yield from noted(left_out, _faulty(work))


def _faulty(work: Work) -> list[str]:
    able = {mate.plug.id for mate in work.access.mates}
    left = (mate for mate in work.wiring.mates if mate.plug.id not in able)
    return [f"{mate.plug.part.named()} into {mate.join.into}" for mate in left]
