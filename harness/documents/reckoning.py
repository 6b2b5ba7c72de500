"""What is reckoned of a plan: loads, time lines, joined packs, flight; as figures and charts.

Each `Reckoning` is what a command shows and what the build book has a chapter of.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from harness.base.refusal import Refusal
from harness.documents.index import title_of
from harness.documents.making import Chart, Page, Reckoning
from harness.facts.fed import put_right
from harness.facts.mend_first import as_if_words, refuse_before
from harness.paper.sheet import Cell, Figures
from harness.parts.pack import Pack
from harness.wiring.build import Wiring

if TYPE_CHECKING:
    from harness.documents.charts import PlotSheet
    from harness.documents.figures.solved import SolvedPlan
    from harness.electrics.gear.timeline import TimeLine
    from harness.electrics.rows import LoadRow


def stem_of(base: str, *more: str) -> str:
    """Return the stem of a file's name: load-cruise-at-rx."""
    return "-".join([base, *(re.sub(r"[^\w.-]+", "-", word).strip("-.") for word in more if word)])


def _warned(
    wiring: Wiring,
    stem: str,
    title: str,
    figures: Callable[[], Figures],
    charts: Iterable[Chart] = (),
    nothing: str = "",
) -> Reckoning:
    """Return figures and charts that begin with the open places they take to be whole."""
    words = as_if_words(wiring)

    def told() -> Figures:
        made, more = figures(), {"as_if_whole": words}
        points = (*([Cell(words, "danger")] if words else []), *made.sheet.points)
        records = tuple({**one, **more} for one in made.records)
        return Figures(
            replace(made.sheet, points=points),
            (*made.columns, *more),
            records,
            {**made.data, **more},
        )

    if not words:
        return Reckoning(stem, title, told, tuple(charts), nothing)

    def drawn(page: Page, chart: Chart) -> PlotSheet:
        return chart.draw(page).warned(words)

    marked = tuple(replace(chart, draw=partial(drawn, chart=chart)) for chart in charts)
    return Reckoning(stem, title, told, marked, nothing)


def load(
    wiring: Wiring,
    case: str = "",
    at: str = "",
    tolerance: int | str | None = None,
    seed: int | None = None,
) -> Reckoning:
    """Reckon the load of a plan: in one case or all, of one part or all; or how far it spreads.

    `tolerance`: so many random draws, which start from `seed`, or "corners". Raises Refusal.
    """
    from harness.documents.figures.load import solved_of

    if seed is not None and tolerance is None:
        raise Refusal("--seed is of the random draws of --tolerance: give that too")
    if seed is not None and tolerance == "corners":
        raise Refusal("corners are not random: leave out --seed")
    solved = solved_of(wiring, case)
    if tolerance is None:
        return _shares(wiring, solved, _rows_at(solved, at), at)
    return _spread(wiring, solved, at, tolerance, 1 if seed is None else seed)


def loads(wiring: Wiring) -> Iterator[Reckoning]:
    """Yield the load of a plan in which anything flows."""
    from harness.documents.figures.load import solved_of

    solved = solved_of(wiring)
    if solved.rows:
        yield _shares(wiring, solved, solved.rows, "")


def _shares(wiring: Wiring, solved: SolvedPlan, rows: tuple[LoadRow, ...], at: str) -> Reckoning:
    from harness.documents.charts.share import WORST, share_figure
    from harness.documents.figures.load import load as figures

    stem = stem_of("load", solved.case, f"at-{at}" if at else "")
    case = solved.case or WORST
    chart = Chart(
        stem,
        "the share of what each thing bears",
        lambda page: share_figure(solved.outcome, rows, case, page),
    )
    return _warned(wiring, stem, title_of("load"), lambda: figures(solved, at), (chart,))


def _rows_at(solved: SolvedPlan, at: str) -> tuple[LoadRow, ...]:
    """Return the rows of one part and of what its supply passes, or all. Raises Refusal."""
    from harness.documents.figures.load import part_named
    from harness.documents.figures.way import held_rows, way_rows

    if not at:
        return solved.rows
    part = part_named(solved.outcome.plan, at)
    way = way_rows(solved, part)
    return (*way, *held_rows(solved, part, way))


def _spread(
    wiring: Wiring, solved: SolvedPlan, at: str, tolerance: int | str, seed: int
) -> Reckoning:
    from harness.documents.charts.spread import spread_figure
    from harness.documents.figures.load import load as figures
    from harness.documents.figures.tolerance import key_of, with_tolerance
    from harness.electrics.tolerance import tolerance_of

    right = solved.outcome.wiring
    cases = [case for _, case in solved.cases] if solved.case else None
    keys = {key_of(row) for row in _rows_at(solved, at)}
    if tolerance == "corners":
        found = tolerance_of(right, cases, kind="corners", draws=1, seed=seed)
    else:
        found = tolerance_of(right, cases, kind="monte-carlo", draws=int(tolerance), seed=seed)
    stem = stem_of("spread", solved.case, f"at-{at}" if at else "")
    chart = Chart(
        stem, "how far figures spread", lambda page: spread_figure(wiring.plan, found, page)
    )
    spread = partial(with_tolerance, found=found, rows=keys)
    return _warned(wiring, stem, title_of("load"), lambda: spread(figures(solved, at)), (chart,))


def load_netlist(
    wiring: Wiring,
    case: str = "",
    at: str = "",
    tolerance: int | str | None = None,
    seed: int | None = None,
) -> dict[str, str]:
    """Return one case of the whole harness for a circuit simulator, by its file. Raises Refusal."""
    from harness.documents.figures import ESTIMATES
    from harness.documents.figures.load import solved_of
    from harness.electrics.cases import cases_of
    from harness.electrics.spice import netlist

    if at or tolerance is not None or seed is not None:
        raise Refusal("a netlist is of the whole harness as planned: no --at, no --tolerance")
    if not case:
        names = ", ".join(one.name for one in cases_of(wiring.plan))
        raise Refusal(f"a netlist is of one case: say which with --case: {names}")
    solved = solved_of(wiring, case)
    head = (
        f"plan revision {wiring.plan.revision}",
        *filter(None, [as_if_words(wiring)]),
        ESTIMATES,
    )
    return {f"{stem_of('load', case)}.cir": netlist(solved.outcome.net, solved.shown[0], head)}


def timeline(wiring: Wiring, function: str, run: str = "") -> Reckoning:
    """Follow a function through all its runs, or through one. Raises Refusal."""
    from harness.electrics.gear.timeline import timeline as follow

    refuse_before(wiring)
    return _followed(wiring, follow(put_right(wiring), function), run)


def timelines(wiring: Wiring) -> Iterator[Reckoning]:
    """Follow each function with a sequencer or legs."""
    from harness.electrics.gear.motion import functions_of
    from harness.electrics.gear.timeline import timeline as follow

    for function, movers in functions_of(wiring).items():
        if any(m.box is not None or m.part.is_leg for m in movers):
            refuse_before(wiring)
            line = follow(put_right(wiring), function)
            every, first = _followed(wiring, line, ""), _followed(wiring, line, line.runs[0].name)
            several = len(line.runs) > 1  # the chart of one has a name at every curve
            yield replace(every, charts=(*every.charts, *first.charts)) if several else every


def _followed(wiring: Wiring, line: TimeLine, run: str) -> Reckoning:
    from harness.documents.charts.timeline import timeline_figure
    from harness.documents.figures.timeline import only, timeline_figures

    chosen = only(line, run)
    stem, title = stem_of("timeline", line.function, run), f"Time line of {line.function}"
    chart = Chart(stem, title, lambda page: timeline_figure(wiring.plan, chosen, page, run=run))
    return _warned(
        wiring, stem, title, lambda: timeline_figures(wiring.plan, chosen, run), (chart,)
    )


def equalise(wiring: Wiring) -> Reckoning:
    """Reckon what flows between packs that have just been joined. Raises Refusal."""
    from harness.documents.charts.packs import equalise_figure
    from harness.documents.figures.equalise import equalise_figures
    from harness.electrics.equalise import equalise as join

    refuse_before(wiring)
    groups = join(put_right(wiring))
    charts = tuple(
        Chart(
            "equalise" if number == 1 else f"equalise-{number}",
            f"{' and '.join(group.packs)} just joined",
            lambda page, group=group: equalise_figure(wiring.plan, group, page),  # type: ignore[misc]
        )
        for number, group in enumerate(groups, 1)
    )
    return _warned(
        wiring,
        "equalise",
        title_of("equalise"),
        lambda: equalise_figures(wiring.plan, groups),
        charts,
        "no packs are joined side by side by copper: there is nothing to draw",
    )


def joined_packs(wiring: Wiring) -> Iterator[Reckoning]:
    """Yield what flows between packs in a plan that joins some."""
    if (found := equalise(wiring)).charts:
        yield found


def endurance(wiring: Wiring) -> Reckoning:
    """Reckon how long a flight lasts. Raises Refusal."""
    from harness.documents.charts.packs import endurance_figure
    from harness.documents.figures.endurance import endurance_figures
    from harness.electrics.endurance import endurance as fly

    refuse_before(wiring)
    found = fly(put_right(wiring))
    chart = Chart("endurance", "endurance", lambda page: endurance_figure(wiring.plan, found, page))
    missing = f"not known: {'; '.join(found.unknown)}" if found.unknown else "no pack to follow"
    missing = found.untold or missing
    charts = (chart,) if any(flight.phases for flight in found.flights) else ()
    return _warned(
        wiring,
        "endurance",
        title_of("endurance"),
        lambda: endurance_figures(wiring.plan, found),
        charts,
        f"there is nothing to draw; {missing}",
    )


def flights(wiring: Wiring) -> Iterator[Reckoning]:
    """Yield how long a flight lasts with the packs of a plan that has some."""
    if any(wiring.plan.of(Pack)):
        yield endurance(wiring)
