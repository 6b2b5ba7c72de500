"""Lengths as a document: each run along its way, what is short, what to buy, what lies together.

To read, and as records of a CSV and data of a JSON document.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from harness.airframe.bundles import Bundle, bundles_of
from harness.airframe.buy import Offer, offers
from harness.airframe.lengths import MeasuredRun, Plug, is_measured, plugs_on
from harness.base.data import dataclass
from harness.base.near import spoken
from harness.documents.figures import stated
from harness.documents.index import title_of
from harness.documents.lengths.tables import bundle_table, offer_table, plug_table, run_table
from harness.facts.airframe import measured_runs
from harness.paper.blocks import Chapter, chapter_of
from harness.paper.records import CsvRecord
from harness.paper.sheet import Cell, Figures, FigureSheet, Note, noted
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
        f"{plan.aircraft}: lengths",
        plan.revision,
        tuple(_points(found)),
        tuple(tables),
        tuple(_notes(found)),
        (FOOT,),
    )
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
            yield Cell(
                f'the bundle {how} through duct "{bundle.duct}"',
                "danger" if bundle.fit == "no" else "warning",
            )
    enough = sum(m.verdict == "enough" for m in found.runs)
    known = sum(m.verdict not in {"", "open"} for m in found.runs)
    if known:
        yield Cell(
            f"{enough} of {known} runs with known leads reach with their slack",
            "ok" if enough == known else "",
        )
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
        numbers = [
            f"{x:.0%}".replace("%", " %") if key == "run" else f"{x:g} mm"
            for x in (figure.number, low.number)
        ]
        yield f"slack: {numbers[0]} {what}, at the least {numbers[1]} ({figure.origin})"
    fill, bend, long, short = (
        rule_figure(plan.catalogue, "bundle", key)
        for key in ("fill", "bend-factor", "bend-factor-long", "bend-factor-short")
    )
    filled = f"{fill.number:.0%}".replace("%", " %")
    yield (
        f"diameter of a bundle: of the circle that its wires fill to {filled}; our own choice, "
        f"with caution ({fill.origin})"
    )
    yield (
        f"bend radius: {bend.number:g} times the diameter ({bend.origin}; {long.origin}); "
        f"{short.number:g} times for a short time ({short.origin})"
    )
    yield "insulation as in the catalogue's table wires (from memory): measure thick ones"


CSV_COLUMNS = (
    "what", "name", "from", "to", "places", "way_mm", "needed_mm", "at_least_mm", "have_mm",
    "spare_mm", "verdict", "joints", "leads", "wires", "diameter_mm", "bend_radius_mm",
    "bend_radius_short_mm", "bore_mm", "fit",
)  # fmt: skip
VERDICTS = {"short": "too short", "tight": "short of slack", "enough": "enough",
            "open": "lead not known", "": "way not known"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Lengths:
    """Everything about the lengths of a plan, in the order of its runs."""

    plan: Plan
    runs: tuple[MeasuredRun, ...]
    offers: tuple[Offer | None, ...]
    plugs: tuple[tuple[MeasuredRun, Plug], ...]
    bundles: tuple[Bundle, ...]


def lengths_in(wiring: Wiring) -> Lengths:
    """Reckon all lengths of a plan."""
    plan = wiring.plan
    runs = measured_runs(wiring)
    plugs = tuple((measured, plug) for measured in runs for plug in plugs_on(plan, measured))
    return Lengths(plan, runs, offers(plan, runs), plugs, bundles_of(plan, runs))


def records(found: Lengths) -> Iterator[CsvRecord]:
    """Yield one record a run, then one a bundle."""
    empty = dict.fromkeys(CSV_COLUMNS)
    for record in (*map(_run_record, found.runs), *map(_bundle_record, found.bundles)):
        yield {**empty, **record}


def _run_record(measured: MeasuredRun) -> CsvRecord:
    run, need = measured.run, measured.need
    return {
        "what": "run",
        "name": run.name,
        "from": run.device.id,
        "to": run.host.id if run.host else None,
        "places": " ".join(need.places) if need else None,
        "way_mm": need.way.length if need else None,
        "needed_mm": need.needed if need else None,
        "at_least_mm": need.least if need else None,
        "have_mm": measured.have,
        "spare_mm": measured.spare,
        "verdict": VERDICTS[measured.verdict],
        "joints": run.joints,
    }


def _bundle_record(bundle: Bundle) -> CsvRecord:
    return {
        "what": "bundle",
        "name": bundle.duct or None,
        "from": bundle.one,
        "to": bundle.other,
        "way_mm": bundle.length,
        "leads": bundle.most_leads,
        "wires": bundle.wires,
        "diameter_mm": bundle.diameter,
        "bend_radius_mm": bundle.bend,
        "bend_radius_short_mm": bundle.bend_short,
        "bore_mm": bundle.bore,
        "fit": bundle.fit or None,
    }


def data(found: Lengths) -> dict[str, Any]:
    """Return the document for JSON; lengths in mm."""
    return {
        **stated("lengths", found.plan),
        "runs": [_run(m, o) for m, o in zip(found.runs, found.offers, strict=True)],
        "plugs": [_plug(measured, plug) for measured, plug in found.plugs],
        "bundles": [_bundle(bundle) for bundle in found.bundles],
    }


def _run(measured: MeasuredRun, offer: Offer | None) -> dict[str, Any]:
    need = measured.need
    found = dict(_run_record(measured))
    del found["what"]
    found["places"] = list(need.places) if need else None
    return {
        **found,
        "plugged": measured.run.plugged,
        "crossed_joints": list(need.way.joints) if need else [],
        "joints_that_come_off": list(need.way.removable) if need else [],
        "hatches": list(need.way.hatches) if need else [],
        "slack": [
            {"why": s.why, "mm": s.cautious, "at_least_mm": s.least, "origin": s.origin}
            for s in (need.slack if need else ())
        ],
        "pieces": [
            {"part": piece.part.id, "length_mm": piece.length.number if piece.length else None}
            for piece in measured.run.pieces
        ],
        "not_known": list(measured.missing),
        "offer": _offer(offer) if offer else None,
    }


def _offer(offer: Offer) -> dict[str, Any]:
    add, swap = offer.add, offer.swap
    return {
        "wanting_mm": offer.extra,
        "extensions_mm": list(add.pieces) if add else None,
        "to_buy_mm": list(add.bought) if add else None,
        "instead_of": swap[0] if swap else None,
        "instead_mm": swap[1] if swap else None,
        "whole_mm": offer.whole,
    }


def _plug(measured: MeasuredRun, plug: Plug) -> dict[str, Any]:
    return {
        "run": measured.run.name,
        "plug": plug.mate.plug.short,
        "into": plug.mate.into,
        "from_mm": plug.nearest,
        "to_mm": plug.furthest,
        "places": list(plug.stretch),
        "inside_duct": plug.duct or None,
        "under_cover": plug.covered or None,
        "out_of_reach_mm": abs(plug.off) if plug.off else None,
    }


def _bundle(bundle: Bundle) -> dict[str, Any]:
    return {
        "from": bundle.one,
        "to": bundle.other,
        "duct": bundle.duct or None,
        "length_mm": bundle.length,
        "leads": [
            {"lead": s.name, "wires": s.wires, "outer_mm": s.outer, "assumed": s.assumed}
            for s in bundle.leads
        ],
        "most_leads": bundle.most_leads,
        "wires": bundle.wires,
        "diameter_mm": bundle.diameter,
        "bend_radius_mm": bundle.bend,
        "bend_radius_short_mm": bundle.bend_short,
        "bore_mm": bundle.bore,
        "fit": bundle.fit or None,
    }
