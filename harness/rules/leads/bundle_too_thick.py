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
from harness.base.span import Span
from harness.facts.measured_runs import bundles
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR)
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
    no = bundle.fit == "no"
    what = f"{_of(bundle)} make a bundle {bundle.diameter:.1f} mm thick"
    fits = (
        f"even packed as closely as can be, {bundle.least_diameter:.1f} mm, it does not go"
        if no
        else "it may not go"
    )
    return check.finding(
        f'{what}: {fits} through duct "{duct.id}", {bundle.bore:g} mm wide',
        duct.spans.get("bore", duct.span),
        *_parts(bundle),
        severity=Severity.ERROR if no else Severity.WARNING,
        help="make the duct wider, take a lead another way (`route`), or join leads by a Y "
        "beyond the duct; put plugs through before the wires",
        numbers=_numbers(desk, bundle),
    )


def _of(bundle: Bundle) -> str:
    leads = counted(bundle.most_leads, "lead")
    return f'{leads} with {bundle.wires} wires between "{bundle.one}" and "{bundle.other}"'


def _parts(bundle: Bundle) -> tuple[str, ...]:
    return tuple(dict.fromkeys(strand.key[0] for strand in bundle.leads))


def _over(desk: Desk, bundle: Bundle) -> Iterator[str]:
    wires, thick = (desk.figure("bundle", key) for key in ("wires", "diameter"))
    if bundle.wires > wires.number:
        yield f"more than {wires.number:g} wires"
    if bundle.diameter > thick.number:
        yield f"{bundle.diameter:.1f} mm thick, more than {thick.number:g} mm"


def _limits(desk: Desk, bundle: Bundle, over: list[str]) -> Finding:
    return check.finding(
        f"{_of(bundle)} are one bundle: {spoken(over)}",
        _span(desk, bundle),
        *_parts(bundle),
        severity=Severity.WARNING,
        help="tie them as two bundles, or take some another way (`route`)",
        numbers=_numbers(desk, bundle),
    )


def _span(desk: Desk, bundle: Bundle) -> Span:
    if bundle.duct:
        return desk.plan.ducts[bundle.duct].span
    return desk.plan.places[bundle.other].span


def _numbers(desk: Desk, bundle: Bundle) -> tuple[tuple[str, str], ...]:
    """The leads with the thickness of their wires, then the limits."""
    rows = [
        (s.name, f"{s.wires} wires of {s.outer:.1f} mm" + (", gauge assumed" if s.assumed else ""))
        for s in bundle.leads
    ]
    keys = ("fill", "fill-most", "wires", "diameter")
    figures = [(key, desk.figure("bundle", key)) for key in keys]
    shown = {
        "fill": ("share of a section that wires always go into", "{:.0f} %"),
        "fill-most": ("share that none exceed", "{:.2f} %"),
        "wires": ("wires in a bundle, at most", "{:g}"),
        "diameter": ("thickness of a bundle, at most", "{:g} mm"),
    }
    for key, figure in figures:
        number = figure.number * (100 if key.startswith("fill") else 1)
        rows.append((shown[key][0], f"{shown[key][1].format(number)}, {figure.origin}"))
    return tuple(rows)
