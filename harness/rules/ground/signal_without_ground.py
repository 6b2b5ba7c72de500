"""A signal goes without its ground in the same lead.

What it looks for
    A device whose signal comes by a lead in which the black wire does not: the black pin pulled
    instead of the red one, or a lead or wing plug circuit without a negative.

Why it matters
    The signal's return then goes round by the battery or by another lead: the servo twitches, the
    ESC stutters, and that other way carries what it was not made for.

An example that fails
    receivers:
      rx: {sockets: 4}
    escs:
      esc-left: {bec: {volts: 5 V}, plug: rx.3}
      esc-right: {bec: {volts: 5 V}, plug: {into: rx.4, pulled: [positive, negative]}}

The same, mended
    escs:
      esc-right: {bec: {volts: 5 V}, plug: {into: rx.4, pulled: positive}}

Where it comes from
    Every signal needs its ground beside it: PX4 documentation.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.base.span import Span
from harness.facts.fed import Fault, Need
from harness.facts.ground import ground_breaks, wants_ground
from harness.facts.wording import closing_words, parts_named
from harness.parts.lead import Lead
from harness.parts.part import Part
from harness.parts.wing_plug import WingPlug
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.opens import Open


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each break once, with all the devices beyond it."""
    broken: dict[int, tuple[Open, list[Part]]] = {}
    for one in ground_breaks(desk.wiring):
        if one.place is not None:
            broken.setdefault(id(one.place), (one.place, []))[1].extend(one.devices)
    for lead in desk.plan.of(Lead):
        for one in ground_breaks(desk.wiring):
            if one.port.part is lead and not one.port.is_plug and one.place is None:
                span = lead.at("ends" if lead.ends else "map")
                yield from _inside(desk, lead, one.port.name, span)
    for wing_plug in desk.plan.of(WingPlug):
        for name, circuit in wing_plug.circuits.items():
            if circuit.signal is not None and circuit.negative is None:
                yield from _inside(desk, wing_plug, name, circuit.span)
    yield from (_broken(desk, place, devices) for place, devices in broken.values() if devices)


def _broken(desk: Desk, place: Open, devices: list[Part]) -> Finding:
    fault = Fault((place,), tuple(Need(part, "ground") for part in devices))
    said, close = f": the signal of {parts_named(devices)} has no ground beside it", ""
    if place.plug is not None and place.found is None:
        close = "; to part two supplies, pull the red one: `pulled: positive`"
        if "positive" not in desk.wiring.by_plug[place.plug.id].join.pulled:
            said = f" instead of the red one{said}"
    return check.at_open(said, desk.wiring, fault, help=closing_words([place]) + close)


def _inside(desk: Desk, part: Part, outlet: str, span: Span) -> Findings:
    beyond = (port.part for port in desk.wiring.downstream((part.id, outlet)))
    devices = [device for device in beyond if wants_ground(desk.wiring, device)]
    if devices:
        yield check.finding(
            f'{part.named()} carries the signal to its socket "{outlet}" but no negative:'
            f" {parts_named(devices)} has no ground beside its signal",
            span,
            part,
            *devices,
            spot=outlet,
            help="give it a black wire of its own from end to end",
        )
