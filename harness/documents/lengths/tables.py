"""The tables of the lengths: runs, what to buy, where the plugs lie, bundles."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from harness.airframe.bundles import Bundle
from harness.airframe.buy import Offer, StockChoice
from harness.airframe.lengths import MeasuredRun, Plug
from harness.base.near import spoken
from harness.documents.figures import NONE
from harness.paper.sheet import Cell, PlainRow, Table, amounts, grouped, headings, table
from harness.parts.contacts import Form
from harness.parts.figure import rule_figure
from harness.plan.plan import Plan

KINDS = {
    Form.THREE_PIN: "3-pin leads", Form.POWER: "battery wires", Form.MOTOR: "motor wires",
    Form.TWO_WIRE: "two-wire leads", Form.BUS: "bus leads", Form.BALANCE: "taps",
    Form.SATELLITE: "satellite leads",
}  # fmt: skip
TONES = {"short": "danger", "tight": "warning", "enough": "", "open": "", "": "faint"}
WORDS = {"short": "TOO SHORT", "tight": "tight", "enough": "", "open": "lead not known",
         "": "way not known"}  # fmt: skip
FITS = {"goes": "goes through", "tight": "may not go through", "no": "DOES NOT GO THROUGH", "": ""}
SHOWN = 2
"""Places of a longer way are shown with those in between."""


def mm(length: float | None) -> str:
    """Write a length as whole mm, as builders measure."""
    return NONE if length is None else f"{round(length) or 0}"


def run_table(plan: Plan, runs: Sequence[MeasuredRun]) -> Table:
    """Return one row a run, a group a kind of plug."""
    numbers = amounts("way", "needed", "at least", "have", "spare", "joints")
    columns = headings("run", "goes to", "by way of", *numbers, "remark")
    groups = (
        (title, rows)
        for form, title in KINDS.items()
        if (rows := [_run_row(plan, m) for m in runs if m.run.form is form])
    )
    about = (
        "All in mm. Needed: the way with all its slack; at least: with the lowest slack that "
        "builders leave. Have: the leads of the run added up. Joints: leads between the part's "
        "own and the socket."
    )
    return grouped("Runs", columns, groups, about)


def _run_row(plan: Plan, measured: MeasuredRun) -> PlainRow:
    run, need = measured.run, measured.need
    most = rule_figure(plan.catalogue, "joints", "maximum").number
    many = run.joints > most and run.form is Form.THREE_PIN
    tone = TONES[measured.verdict]
    way = (mm(need.way.length), mm(need.needed), mm(need.least)) if need else (NONE,) * 3
    return (
        Cell(run.name, tone),
        run.host.id if run.host else NONE,
        ", ".join(need.places) if need else NONE,
        *way,
        mm(measured.have),
        Cell(mm(measured.spare), tone),
        Cell(f"{run.joints}" + (" (many)" if many else ""), "warning" if many else ""),
        Cell(WORDS[measured.verdict] if run.plugged or not need else "not plugged in yet", tone),
    )


def offer_table(plan: Plan, wanted: Iterable[tuple[MeasuredRun, Offer]]) -> Table:
    """Return what would make each run long enough."""
    rows = ((m.run.name, mm(offer.extra), *_advice(plan, m, offer)) for m, offer in wanted)
    about = (
        "Wanting: in mm. The fewest extensions, then the fewest to buy, then the least length; "
        "what one run takes from the kit is gone for the next."
    )
    columns = headings("run", *amounts("wanting"), "put in", "or")
    return table("What would make them long enough", columns, rows, about)


def _advice(plan: Plan, measured: MeasuredRun, offer: Offer) -> tuple[str, str]:
    run = measured.run
    if offer.whole is not None:
        return f"a lead of {mm(offer.whole)} mm", ""
    if run.form is not Form.THREE_PIN:
        ends = [part for part in (run.device, run.host) if part and not part.stays_put]
        nearer = "the parts nearer together" if ends else ""
        longer = "an extension" if any(p.part.as_made for p in run.pieces) else "longer wires"
        return f"{longer}: {mm(offer.extra)} mm more", nearer
    if measured.unmeasured:
        return f"leads of {mm(offer.extra)} mm together, as yet without a length", ""
    most = int(rule_figure(plan.catalogue, "joints", "maximum").number)
    swap = ""
    if offer.swap:
        swap = f'{mm(offer.swap[1])} mm in place of "{offer.swap[0]}": no joint more'
    if offer.add is None:
        return "one lead made for it", swap
    joints = run.joints + len(offer.add.pieces)
    too_many = f"; makes {joints} joints, more than {most}" if joints > most else ""
    return f"{said(offer.add)}{too_many}", swap


def said(choice: StockChoice) -> str:
    """Return which extensions: 600 mm (to buy) and 200 mm (in the kit)."""
    bought = list(choice.bought)
    words = []
    for length in choice.pieces:
        buy = length in bought
        if buy:
            bought.remove(length)
        words.append((mm(length), "to buy" if buy else "in the kit"))
    grouped = [(key, len(list(same))) for key, same in groupby(words)]
    return "extension of " + spoken(
        f"{f'{count} x ' if count > 1 else ''}{length} mm ({where})"
        for (length, where), count in grouped
    )


def plug_table(plugs: Iterable[tuple[MeasuredRun, Plug]]) -> Table:
    """Return where each plug in the middle of a run can lie."""
    columns = headings("run", "plug of", "in", *amounts("mm from the part"), "lies in", "remark")
    rows = (_plug_row(measured, plug) for measured, plug in plugs)
    about = (
        "From where to where the leads on either side let a plug lie, measured along the way "
        "from the part at the run's end."
    )
    return table("Where the plugs lie", columns, rows, about)


def _plug_row(measured: MeasuredRun, plug: Plug) -> PlainRow:
    where = sorted({mm(plug.nearest), mm(plug.furthest)}, key=int)
    tone = "warning" if plug.duct or plug.off else "faint" if plug.covered else ""
    return (
        measured.run.name,
        plug.mate.plug.short,
        plug.mate.into,
        " to ".join(where),
        ", ".join(plug.stretch),
        Cell(plug_remark(plug), tone),
    )


def plug_remark(plug: Plug) -> str:
    """Return what is to be said of where a plug lies."""
    if plug.off:
        side = "part's" if plug.off < 0 else "socket's"
        return f"leads on the {side} side are {mm(abs(plug.off))} mm short of it"
    if plug.duct:
        return f"inside duct {plug.duct}: nobody gets at it; take another length"
    if plug.covered:
        return f"under {plug.covered} for good: clip or shrink it, test it first"
    return ""


def bundle_table(plan: Plan, bundles: Iterable[Bundle]) -> Table:
    """Return what lies together on each stretch."""
    numbers = amounts("leads", "wires", "thick", "bend", "briefly", "bore")
    columns = headings("from", "to", "duct", *numbers, "remark")
    rows = (_bundle_row(plan, bundle) for bundle in bundles)
    about = (
        "All in mm. Leads, wires and thickness where most lie together: plugs as near the "
        "socket's end as they can lie, every arm of a fork a lead. Bend: the least radius for "
        "good; briefly: while it is handled."
    )
    return table("Bundles", columns, rows, about)


def _bundle_row(plan: Plan, bundle: Bundle) -> PlainRow:
    tone = {"no": "danger", "tight": "warning"}.get(bundle.fit, "")
    remark = "; ".join(filter(None, (FITS[bundle.fit], *over_limits(plan, bundle))))
    return (
        Cell(bundle.one, tone),
        bundle.other,
        bundle.duct or NONE,
        f"{bundle.most_leads}",
        f"{bundle.wires}",
        f"{bundle.diameter:.1f}",
        mm(bundle.bend),
        mm(bundle.bend_short),
        NONE if bundle.bore is None else f"{bundle.bore:g}",
        Cell(remark, tone),
    )


def over_limits(plan: Plan, bundle: Bundle) -> Iterator[str]:
    """Yield in what a bundle is over the published limits."""
    wires, thick = (rule_figure(plan.catalogue, "bundle", key) for key in ("wires", "diameter"))
    if bundle.wires > wires.number:
        yield f"more than {wires.number:g} wires"
    if bundle.diameter > thick.number:
        yield f"thicker than {thick.number:g} mm"
