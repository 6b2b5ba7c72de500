"""The lengths for other programs: records of a CSV and data of a JSON document."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from harness.airframe.bundles import Bundle, bundles_of
from harness.airframe.buy import Offer, offers
from harness.airframe.lengths import MeasuredRun, Plug, is_measured, lengths_of, plugs_on
from harness.documents.figures import stated
from harness.paper.records import CsvRecord
from harness.plan.plan import Plan
from harness.wiring.build import Wiring

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
    runs = lengths_of(wiring) if is_measured(plan) else ()
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
        "what": "run", "name": run.name, "from": run.device.id,
        "to": run.host.id if run.host else None,
        "places": " ".join(need.places) if need else None,
        "way_mm": need.way.length if need else None,
        "needed_mm": need.needed if need else None,
        "at_least_mm": need.least if need else None,
        "have_mm": measured.have, "spare_mm": measured.spare,
        "verdict": VERDICTS[measured.verdict], "joints": run.joints,
    }  # fmt: skip


def _bundle_record(bundle: Bundle) -> CsvRecord:
    return {
        "what": "bundle", "name": bundle.duct or None, "from": bundle.one, "to": bundle.other,
        "way_mm": bundle.length, "leads": bundle.most_leads, "wires": bundle.wires,
        "diameter_mm": bundle.diameter, "bend_radius_mm": bundle.bend,
        "bend_radius_short_mm": bundle.bend_short, "bore_mm": bundle.bore,
        "fit": bundle.fit or None,
    }  # fmt: skip


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
