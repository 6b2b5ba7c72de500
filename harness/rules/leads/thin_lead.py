"""A lead is thinner than the part's own lead that it serves.

What it looks for
    An extension, Y-lead or other lead whose stated gauge is thinner than the own lead of a
    servo, retract leg or ESC behind it.

Why it matters
    The maker chose the gauge for the current. A thinner piece in the run warms up and drops
    volts just when the servo works hardest.

An example that fails
    receivers:
      rx: {sockets: 6}
    servos:
      rudder: {class: standard-hv, moves: rudder, plug: rudder-ext.1}
    leads:
      rudder-ext: {kind: extension, plug: rx.4, wire: 26 AWG, length: 600 mm}

The same, mended
    leads:
      rudder-ext: {kind: extension, plug: rx.4, wire: 22 AWG, length: 600 mm}

Where it comes from
    Common practice; no published source. The gauge of a class's own lead is from memory.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.base.units import WireSize
from harness.facts.below import behind
from harness.facts.currents import currents, over, overloaded, wire_bears
from harness.facts.wording import verb
from harness.parts.contacts import Port, size_of
from harness.parts.lead import Lead
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.WARNING, solved=True)
def check(desk: Desk) -> Findings:
    """Report each lead once, with every part it is too thin for."""
    for lead in desk.plan.of(Lead):
        served = [p for p in behind(desk.wiring, lead.id) if not p.part.carries_signal]
        own = lead.wire
        thicker = [p for p in served if p.wire.size and (not own or _thicker(p.wire.size, own))]
        if own is not None and thicker and not _overloaded(desk, lead, own):
            yield _finding(lead, own, thicker)
        _list_unknown(desk, lead, thicker, served)


def _overloaded(desk: Desk, lead: Lead, own: WireSize) -> bool:
    """Say whether `wire-load` reports the lead: a thicker one mends both."""
    bears = wire_bears(desk.plan, own, battery=False)
    known = {joint.mate.plug.part.id for joint in overloaded(desk.wiring)}
    flow = currents(desk.wiring).port(lead.id, "plug")
    return bears is not None and lead.id not in known and bears.exceeded(flow)


def _thicker(size: WireSize, own: WireSize) -> bool:
    return over(size.area_mm2, own.area_mm2)


def _list_unknown(desk: Desk, lead: Lead, thicker: list[Port], served: list[Port]) -> None:
    """A lead without a gauge is only in question where the usual one would be too thin."""
    usual = size_of(desk.plan.catalogue, "leads", lead.kind, "wire")
    sizes = [p.wire.size for p in thicker if p.wire.size]
    if lead.wire is None and any(usual is None or _thicker(size, usual) for size in sizes):
        desk.not_known(lead, "the gauge of its wire (wire)")
    for port in served:
        if lead.wire is not None and port.wire.size is None and port.part.swings:
            desk.not_known(port.part, "the gauge of its own lead, or its class (wire or class)")


def _finding(lead: Lead, own: WireSize, thicker: list[Port]) -> Finding:
    worst = max(thicker, key=lambda port: (port.wire.size, port.part.id))
    assert worst.wire.size is not None
    size = worst.wire.size.text
    return check.finding(
        f"{lead.named()} is made of {own.text} wire, but"
        f" {spoken(port.part.named() for port in thicker)} behind it"
        f" {verb(thicker, 'has a lead', 'have leads')} of {size}",
        lead.at("wire"),
        lead,
        *(port.part for port in thicker),
        help="it came fitted: see in `harness load` that it bears what flows, and accept it"
        if lead.as_made
        else f"use a lead of {size} or thicker",
        numbers=(
            ("lead", f"{own.text}, plan line {lead.at('wire').line}"),
            (f"own lead of {worst.part.named()}", f"{size}, {_origin(worst)}"),
        ),
    )


def _origin(port: Port) -> str:
    for word in ("wire", "lead-wire"):
        if word in port.part.spans:
            return f"plan line {port.part.at(word).line}"
    return f"catalogue servos, {port.part.class_}, lead-wire"
