"""Makes the documents about a solved harness, each in memory; says why where there is none."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, cast

from harness.cli.exits import CannotRun
from harness.cli.press import ENDINGS, PICTURES, Format, Made
from harness.cli.progress import Progress
from harness.plan.plan import Plan
from harness.wiring.build import Wiring

if TYPE_CHECKING:
    from harness.documents.figures.solved import SolvedPlan
    from harness.electrics.equalise import Equalising
    from harness.electrics.flight.results import Endurance
    from harness.electrics.gear.timeline import TimeLine
    from harness.electrics.rows import LoadRow
    from harness.electrics.tolerance import Tolerance
    from harness.paper.sheet import Figures


@dataclass(frozen=True, slots=True)
class Wanted:
    """What of a load is wanted: one case, one part, a tolerance run of so many draws."""

    case: str = ""
    at: str = ""
    tolerance: int | str | None = None
    seed: int = 1


@contextmanager
def solving(plan: Plan, what: str) -> Iterator[None]:
    """Say what is under way; where the network has no solution, which part is in the way."""
    from harness.documents.figures.solved import blamed
    from harness.electrics.solver.circuit import NotSolved

    try:
        with Progress(what):
            yield
    except NotSolved as why:
        raise CannotRun(f"there is no solution, so no figures: {blamed(plan, why)}") from None


def named(base: str, *more: str) -> str:
    """Return the stem of a file's name: load-cruise-at-rx."""
    return "-".join([base, *(re.sub(r"[^\w.-]+", "-", word).strip("-.") for word in more if word)])


def _text(stem: str, title: str, to: str, figures: Figures) -> Made:
    from harness.paper import render_figures

    return Made(f"{stem}.{ENDINGS[to]}", f"{title}, {to}", render_figures(figures, to))


Page = Literal["A4", "Letter"]
Chart = Callable[[Format, Page], str | bytes]


def _picture(stem: str, title: str, to: str, page: str, chart: Chart) -> Made:
    with Progress("drawing the chart"):
        drawn = chart(cast("Format", to), cast("Page", page))
    return Made(f"{stem}.{to}", f"{title}, chart, {to.upper()}", drawn)


def solved_plan(wiring: Wiring, case: str = "") -> SolvedPlan:
    """Solve a plan in all its cases, to show one or all. Raises Refusal."""
    from harness.documents.figures.load import solved_of

    with solving(wiring.plan, "solving all cases"):
        return solved_of(wiring, case)


def load_document(wiring: Wiring, wanted: Wanted, to: str, page: str = "A4") -> Made:
    """Return the load of a plan, how far it spreads, or a case's netlist. Raises Refusal."""
    if to == "spice":
        return _netlist(wiring, wanted)
    solved = solved_plan(wiring, wanted.case)
    rows = rows_at(solved, wanted.at)
    if wanted.tolerance is None:
        return load_of(solved, rows, wanted, to, page)
    return _spread(solved, rows, _tolerance(solved, wanted), wanted, to, page)


def load_of(
    solved: SolvedPlan, rows: tuple[LoadRow, ...], wanted: Wanted, to: str, page: str = "A4"
) -> Made:
    """Return the load of a solved plan as a document."""
    from harness.documents.figures.load import load

    stem, title = _load_names("load", wanted)
    if to in PICTURES:
        from harness.documents.charts import share_chart

        case = wanted.case or "worst"
        return _picture(
            stem, title, to, page, lambda t, p: share_chart(solved.outcome, rows, case, t, p)
        )
    return _text(stem, title, to, load(solved, wanted.at))


def _load_names(base: str, wanted: Wanted) -> tuple[str, str]:
    """Return the stem of the file's name and the title of a load document."""
    at = f"at-{wanted.at}" if wanted.at else ""
    title = f"Load in {wanted.case}" if wanted.case else "Load, the worst of all cases"
    return named(base, wanted.case, at), title + (f", at {wanted.at}" if wanted.at else "")


def rows_at(solved: SolvedPlan, at: str) -> tuple[LoadRow, ...]:
    """Return the rows of one part and of what its supply passes, or all. Raises Refusal."""
    from harness.documents.figures.load import part_named
    from harness.documents.figures.way import held_rows, way_rows

    if not at:
        return solved.rows
    part = part_named(solved.outcome.plan, at)
    way = way_rows(solved, part)
    return (*way, *held_rows(solved, part, way))


def _tolerance(solved: SolvedPlan, wanted: Wanted) -> Tolerance:
    from harness.electrics.tolerance import tolerance_of

    cases = [case for _, case in solved.cases] if wanted.case else None
    wiring, corners = solved.outcome.wiring, wanted.tolerance == "corners"
    draws = 1 if corners or wanted.tolerance is None else int(wanted.tolerance)
    kind = "corners" if corners else "monte-carlo"
    with solving(wiring.plan, "drawing tolerances"):
        return tolerance_of(wiring, cases, kind=kind, draws=draws, seed=wanted.seed)


def _spread(
    solved: SolvedPlan,
    rows: tuple[LoadRow, ...],
    found: Tolerance,
    wanted: Wanted,
    to: str,
    page: str,
) -> Made:
    from harness.documents.figures.load import load
    from harness.documents.figures.tolerance import key_of, with_tolerance

    stem, title = _load_names("spread", wanted)
    title = f"{title}, spread"
    if to in PICTURES:
        from harness.documents.charts import spread_chart

        plan = solved.outcome.plan
        return _picture(stem, title, to, page, lambda t, p: spread_chart(plan, found, t, p))
    keys = {key_of(row) for row in rows}
    return _text(stem, title, to, with_tolerance(load(solved, wanted.at), found, keys))


def _netlist(wiring: Wiring, wanted: Wanted) -> Made:
    from harness.documents.figures.rounded import ESTIMATES
    from harness.electrics.cases import cases_of
    from harness.electrics.spice import netlist

    if wanted.at or wanted.tolerance is not None:
        raise CannotRun("a netlist is of the whole harness as planned: no --at, no --tolerance")
    if not wanted.case:
        names = ", ".join(case.name for case in cases_of(wiring.plan))
        raise CannotRun(f"a netlist is of one case: say which with --case: {names}")
    solved = solved_plan(wiring, wanted.case)
    head = (f"plan revision {wiring.plan.revision}", ESTIMATES)
    text = netlist(solved.outcome.net, solved.shown[0], head)
    return Made(f"{named('load', wanted.case)}.cir", f"Netlist of {wanted.case}, SPICE", text)


def timeline_document(wiring: Wiring, function: str, run: str, to: str, page: str = "A4") -> Made:
    """Return the time line of a function. Raises Refusal."""
    return timeline_of(wiring.plan, line_of(wiring, function), run, to, page)


def line_of(wiring: Wiring, function: str) -> TimeLine:
    """Follow a function. Raises Refusal."""
    from harness.electrics.gear.timeline import timeline

    with solving(wiring.plan, f"following {function}"):
        return timeline(wiring, function)


def timeline_of(plan: Plan, line: TimeLine, run: str, to: str, page: str = "A4") -> Made:
    """Return a time line as a document. Raises Refusal for a run that is not there."""
    from harness.documents.figures.timeline import only, timeline_figures

    chosen = only(line, run)
    stem, title = named("timeline", line.function, run), f"Time line of {line.function}"
    if to in PICTURES:
        from harness.documents.charts import timeline_chart

        return _picture(
            stem, title, to, page, lambda t, p: timeline_chart(plan, chosen, t, p, run=run)
        )
    return _text(stem, title, to, timeline_figures(plan, chosen, run))


def equalise_document(wiring: Wiring, to: str, page: str = "A4") -> list[Made]:
    """Return what flows between packs that have just been joined. Raises Refusal."""
    from harness.electrics.equalise import equalise

    with solving(wiring.plan, "joining the packs"):
        groups = equalise(wiring)
    return equalise_of(wiring.plan, groups, to, page)


def equalise_of(plan: Plan, groups: tuple[Equalising, ...], to: str, page: str) -> list[Made]:
    """Return packs that equalise as a document, or one picture a group. Raises Refusal."""
    from harness.documents.figures.equalise import equalise_figures

    title = "Packs just joined"
    if to not in PICTURES:
        return [_text("equalise", title, to, equalise_figures(plan, groups))]
    if not groups:
        raise CannotRun("no packs are joined side by side by copper: there is nothing to draw")
    return [_decay(plan, group, number, to, page) for number, group in enumerate(groups, 1)]


def _decay(plan: Plan, group: Equalising, number: int, to: str, page: str) -> Made:
    from harness.documents.charts import equalise_chart

    stem = "equalise" if number == 1 else f"equalise-{number}"
    title = f"{' and '.join(group.packs)} just joined"
    return _picture(stem, title, to, page, lambda t, p: equalise_chart(plan, group, t, p))


def endurance_document(wiring: Wiring, to: str, page: str = "A4") -> Made:
    """Return how long a flight lasts. Raises Refusal."""
    from harness.electrics.flight.endurance import endurance

    with solving(wiring.plan, "flying the phases"):
        found = endurance(wiring)
    return endurance_of(wiring.plan, found, to, page)


def endurance_of(plan: Plan, found: Endurance, to: str, page: str = "A4") -> Made:
    """Return an endurance as a document. Raises Refusal for a picture of nothing."""
    from harness.documents.figures.endurance import endurance_figures

    stem, title = "endurance", "Endurance"
    if to not in PICTURES:
        return _text(stem, title, to, endurance_figures(plan, found))
    if not found.flights:
        missing = f"not known: {'; '.join(found.unknown)}" if found.unknown else "no pack to follow"
        raise CannotRun(f"there is nothing to draw; {missing}")
    from harness.documents.charts import endurance_chart

    return _picture(stem, title, to, page, lambda t, p: endurance_chart(plan, found, t, p))
