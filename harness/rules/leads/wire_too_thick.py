"""A wire is thicker than its plug takes.

What it looks for
    Wires whose gauge and plug the plan states, against the thickest gauge that goes into a plug of
    that class: into its cup to be soldered, or into its crimp.

Why it matters
    Strands get cut off to make it fit, or the joint holds by its rim alone: it carries less than
    the plug, gets hot and breaks. A builder finds out with the iron in hand.

An example that fails
    escs:
      esc: {rated: 80 A, supply: main, bec: none, connector: XT60, wire: 8 AWG, length: 100 mm}
    motors:
      motor: {full-throttle: 30 A, plug: esc}
    packs:
      main: {chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 35 C, connector: XT60}

The same, mended
    escs:
      esc: {rated: 80 A, supply: main, bec: none, connector: XT60, wire: 12 AWG, length: 100 mm}

Where it comes from
    From memory, no source seen: the thickest wire that is commonly soldered or crimped into each
    class (catalogue, plugs, wire-max).
"""

from __future__ import annotations

from collections.abc import Iterable

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.base.units import WireSize
from harness.facts.currents import currents, stated_wire, wire_bears
from harness.facts.fitting import classes_for
from harness.parts.contacts import Form, Port
from harness.parts.figure import from_catalogue
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.ratings import branches, connector_of, split_of, split_unsaid


@rule(Severity.WARNING, solved=True)
def check(desk: Desk) -> Findings:
    """Report each part once, at its first plug that is too small."""
    told = set()
    for port in desk.wiring.ports.values():
        name, size = connector_of(port), port.wire.size
        most = desk.plan.catalogue.value("plugs", name, "wire-max") if name else None
        if size is None or most is None or most.number is None or not stated_wire(port):
            continue
        if split_of(port.part) == "end" and port in branches(desk.wiring, port.part):
            continue  # its stem ends before them
        if size.area_mm2 > most.number * (1 + 1e-9) and port.part.id not in told:
            told.add(port.part.id)
            yield _finding(desk, port, WireSize(most.number, most.text))


def _finding(desk: Desk, port: Port, most: WireSize) -> Finding:
    part, size, name = port.part, port.wire.size, connector_of(port)
    assert size is not None
    figure = from_catalogue(desk.plan.catalogue, "plugs", name, "wire-max")
    assert figure is not None
    return check.finding(
        f"the {size.text} wire of {part.named()} is too thick for its {name} plug, which takes"
        f" {most.text} at most",
        part.at(stated_wire(port)),
        part,
        spot=port.name,
        help=_advice(desk, port, most),
        numbers=(("the plug takes", f"{most.text}, {figure.origin}"),),
    )


def _advice(desk: Desk, port: Port, most: WireSize) -> str:
    """A thinner wire only where it bears what flows; a plug that takes this one, on both sides."""
    battery, part = port.form in {Form.POWER, Form.MOTOR}, port.part
    bears = wire_bears(desk.plan, most, battery)

    def thinner(ends: Iterable[Port]) -> bool:
        flows = [currents(desk.wiring).port(*end.id) for end in ends]
        return bears is not None and not any(bears.exceeded(flow) for flow in flows)

    if thinner(desk.wiring.by_part[part.id]):
        ways = [f"use {most.text} wire, which bears what flows"]
    elif split_unsaid(desk.wiring, part) and thinner(branches(desk.wiring, part)):
        return (
            f"if each of its ends has wires of its own from the plug on, write `split: plug`"
            f" and use {most.text} wire; else {_plugs(desk, port)}"
        )
    else:
        ways = []
    if battery:
        ways.append(_plugs(desk, port))
    return ", or ".join(ways) or "share the current out over two leads of thinner wire"


def _plugs(desk: Desk, port: Port) -> str:
    """Name what bears what flows and takes the wire."""
    ends = [end for end in desk.wiring.by_part[port.part.id] if end.form is port.form]
    fit, more = classes_for(desk.wiring, ends)
    sides = "at all its ends, on both sides" if len(ends) > 1 else "on both sides"
    none = "share the current out over two leads of thinner wire"
    return f"fit {spoken(fit[:2], 'or')} {sides}{more}" if fit else none
