"""Lengths as a document: each run along its way, what is short, what to buy, what lies together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from harness.airframe.lengths import MeasuredRun, is_measured
from harness.base.near import spoken
from harness.documents.index import title_of
from harness.documents.lengths.data import CSV_COLUMNS, Lengths, data, lengths_in, records
from harness.documents.lengths.tables import bundle_table, offer_table, plug_table, run_table
from harness.paper.blocks import Chapter, chapter_of
from harness.paper.sheet import Cell, Figures, FigureSheet, Note
from harness.paper.tables import noted
from harness.parts.figure import rule_figure
from harness.plan.plan import Plan
from harness.rules.run import Report
from harness.wiring.build import Wiring

NO_POSITIONS = (
    "this plan states no positions, so no lengths: give each place `at`, its distance behind the "
    "tip of the nose (and `out` from the centre line in a wing), or join two places by a duct "
    "with a `length`"
)
FOOT = (
    "Lengths are along straight lines from place to place, or as ducts state them. Lay a string "
    "along the way before you cut or buy."
)


def lengths_figures(wiring: Wiring) -> Figures:
    """Return the lengths of a plan; one sentence where it states no positions."""
    found = lengths_in(wiring)
    plan = found.plan
    if not is_measured(plan):
        sheet = FigureSheet(f"{plan.aircraft}: lengths", plan.revision, (Cell(NO_POSITIONS),), ())
        return Figures(sheet, CSV_COLUMNS, (), data(found))
    wanted = [(m, o) for m, o in zip(found.runs, found.offers, strict=True) if o is not None]
    tables = [run_table(plan, found.runs)]
    tables += [offer_table(plan, wanted)] if wanted else []
    tables += [plug_table(found.plugs)] if found.plugs else []
    tables += [bundle_table(plan, found.bundles)] if found.bundles else []
    sheet = FigureSheet(
        f"{plan.aircraft}: lengths", plan.revision, tuple(_points(found)), tuple(tables),
        tuple(_notes(found)), (FOOT,),
    )  # fmt: skip
    return Figures(sheet, CSV_COLUMNS, tuple(records(found)), data(found))


def lengths_chapter(report: Report) -> Chapter:
    """Return the lengths of a checked plan as a chapter of its build book."""
    return chapter_of(lengths_figures(report.wiring).sheet, "lengths", title_of("lengths"))


def _points(found: Lengths) -> Iterator[Cell]:
    """The sentences it begins with: what is wrong first."""
    words = {"short": ("too short for its way", "danger"), "tight": ("short of slack", "warning")}
    for verdict, (what, tone) in words.items():
        names = [m.run.name for m in found.runs if m.verdict == verdict]
        if names:
            yield Cell(f"{what}: {spoken(names)}", tone)
    for bundle in found.bundles:
        if bundle.fit in {"no", "tight"}:
            how = "does not go" if bundle.fit == "no" else "may not go"
            yield Cell(f'the bundle {how} through duct "{bundle.duct}"',
                       "danger" if bundle.fit == "no" else "warning")  # fmt: skip
    enough = sum(m.verdict == "enough" for m in found.runs)
    known = sum(m.verdict not in {"", "open"} for m in found.runs)
    if known:
        yield Cell(f"{enough} of {known} runs with known leads reach with their slack",
                   "ok" if enough == known else "")  # fmt: skip
    names = [m.run.name for m in found.runs if m.verdict == "open" and m.run.plugged]
    if names:
        yield Cell(f"needed, but the length of a lead is not known: {spoken(names)}")
    hidden = [plug for _, plug in found.plugs if plug.duct]
    if hidden:
        plugs = spoken(f"{plug.mate.plug.short} in {plug.duct}" for plug in hidden)
        yield Cell(f"plugs that lie inside a duct, where nobody gets at them: {plugs}", "warning")


def _notes(found: Lengths) -> Iterator[Note]:
    missing = (f"{m.run.name}: {what}" for m in found.runs if not m.need for what in _lacks(m))
    yield from noted("Not known", missing)
    yield from noted("How it is reckoned", _rules(found.plan))


def _lacks(measured: MeasuredRun) -> Sequence[str]:
    if measured.run.host is None:
        return ("what it will be plugged into",)
    if measured.missing:
        return measured.missing
    ends = (measured.run.device, measured.run.host)
    loose = [f"the place of {part.named()} (place)" for part in ends if not part.place]
    return loose or ("the positions of its places (at)",)


def _rules(plan: Plan) -> Iterator[str]:
    for key, what in (
        ("run", "of the way, for its curves"),
        ("hatch", "past the edge of each joint that comes off, and of each hatch it goes out of"),
        ("servo", "at a servo or retract leg"),
    ):
        figure, low = (rule_figure(plan.catalogue, "slack", word) for word in (key, f"{key}-low"))
        numbers = [f"{x:.0%}".replace("%", " %") if key == "run" else f"{x:g} mm"
                   for x in (figure.number, low.number)]  # fmt: skip
        yield f"slack: {numbers[0]} {what}, at the least {numbers[1]} ({figure.origin})"
    fill, bend, long, short = (
        rule_figure(plan.catalogue, "bundle", key)
        for key in ("fill", "bend-factor", "bend-factor-long", "bend-factor-short")
    )
    yield (
        f"diameter of a bundle: of the circle that its wires fill to {fill.number:.0%}".replace(
            "%", " %"
        )
        + f"; our own choice, with caution ({fill.origin})"
    )
    yield (
        f"bend radius: {bend.number:g} times the diameter ({bend.origin}; {long.origin}); "
        f"{short.number:g} times for a short time ({short.origin})"
    )
    yield "insulation as in the catalogue's table wires (from memory): measure thick ones"
