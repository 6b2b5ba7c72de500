"""A bundle of leads does not go through its duct, or is too thick.

What it looks for
    All leads that pass a duct of stated bore, where the plan states positions or ducts with a
    length: an error where no packing of their wires fits, a warning where they are not sure to
    fit. And on any stretch more than 75 wires, or a bundle thicker than 2 in (50.8 mm).

Why it matters
    The last lead will not go through a full duct, and is forced, kinked or left out. A thick
    bundle is stiff, and the wires inside it stay hot.

An example that fails
    places:
      fuselage: {at: 400 mm}
      tail: {in: fuselage, at: 800 mm}
    ducts:
      boom: {between: [fuselage, tail], bore: 4 mm}
    receivers:
      rx: {sockets: 6, place: fuselage}
    servos:
      elevator: {class: 9g-analogue, place: tail, wire: 22 AWG, length: 500 mm, plug: rx.2}
      rudder: {like: elevator, plug: rx.4}
      lamps: {like: elevator, plug: rx.5}

The same, mended
    ducts:
      boom: {between: [fuselage, tail], bore: 8 mm}

Where it comes from
    75 wires or 2 in: US Army TM 1-1500-204-23-4. Wires that fill half of a round section always
    go into it (a theorem on disks in a disk); more than 90.69 % of a section no equal round wires
    fill. Thickness over the insulation: from memory; measure yours.
"""

from __future__ import annotations

from collections.abc import Iterator

from harness.airframe.bundles import Bundle
from harness.base.finding import Finding, Severity
from harness.base.near import counted, spoken
from harness.facts.airframe import bundles
from harness.rules.rule import Desk, Findings, rule

SHOWN = {
    "fill": ("share of a section that wires always go into", 100, ".0f", " %"),
    "fill-most": ("share that none exceed", 100, ".2f", " %"),
    "wires": ("wires in a bundle, at most", 1, "g", ""),
    "diameter": ("thickness of a bundle, at most", 1, "g", " mm"),
}
"""The limits with their words, and how each is written."""


@rule(Severity.ERROR, Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each stretch once for its duct, once for the limits of bundles."""
    for bundle in bundles(desk.wiring):
        if bundle.fit in {"tight", "no"}:
            yield _duct(desk, bundle)
        over = list(_over(desk, bundle))
        if over:
            yield _limits(desk, bundle, over)


def _duct(desk: Desk, bundle: Bundle) -> Finding:
    duct = desk.plan.ducts[bundle.duct]
    closest = f"even packed as closely as can be, {bundle.least_diameter:.1f} mm, it does not go"
    fits = closest if bundle.fit == "no" else "it may not go"
    return check.finding(
        f"{_of(bundle)} make a bundle {bundle.diameter:.1f} mm thick:"
        f' {fits} through duct "{duct.id}", {bundle.bore:g} mm wide',
        duct.spans.get("bore", duct.span),
        *(strand.key[0] for strand in bundle.leads),
        severity=Severity.ERROR if bundle.fit == "no" else Severity.WARNING,
        help="make the duct wider, or take a lead another way (`route`); put plugs through before"
        " the wires",
        numbers=tuple(_numbers(desk, bundle)),
    )


def _of(bundle: Bundle) -> str:
    leads = counted(bundle.most_leads, "lead")
    return f'{leads} with {bundle.wires} wires between "{bundle.one}" and "{bundle.other}"'


def _over(desk: Desk, bundle: Bundle) -> Iterator[str]:
    wires, thick = (desk.figure("bundle", key).number for key in ("wires", "diameter"))
    if bundle.wires > wires:
        yield f"more than {wires:g} wires"
    if bundle.diameter > thick:
        yield f"{bundle.diameter:.1f} mm thick, more than {thick:g} mm"


def _limits(desk: Desk, bundle: Bundle, over: list[str]) -> Finding:
    at = desk.plan.ducts[bundle.duct] if bundle.duct else desk.plan.places[bundle.other]
    return check.finding(
        f"{_of(bundle)} are one bundle: {spoken(over)}",
        at.span,
        *(strand.key[0] for strand in bundle.leads),
        severity=Severity.WARNING,
        help="tie them as two bundles, or take some another way (`route`)",
        numbers=tuple(_numbers(desk, bundle)),
    )


def _numbers(desk: Desk, bundle: Bundle) -> Iterator[tuple[str, str]]:
    """The leads with the thickness of their wires, then the limits."""
    for strand in bundle.leads:
        assumed = ", gauge assumed" if strand.assumed else ""
        yield strand.name, f"{strand.wires} wires of {strand.outer:.1f} mm{assumed}"
    for key, (words, factor, form, unit) in SHOWN.items():
        figure = desk.figure("bundle", key)
        yield words, f"{figure.number * factor:{form}}{unit}, {figure.origin}"
