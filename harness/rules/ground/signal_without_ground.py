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
from harness.facts.below import behind
from harness.facts.fed import Fault, Need
from harness.facts.ground import loses_ground, wants_ground
from harness.facts.wording import closing_words, parts_named
from harness.parts.contacts import LinkKind, Port
from harness.parts.lead import Lead
from harness.parts.part import Part
from harness.parts.wing_plug import WingPlug
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.opens import Open

Broken = list[tuple[Open, list[Part]]]


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each break once, with all the devices beyond it."""
    broken = [(place, list[Part]()) for place in desk.wiring.opens]
    for mate, socket in desk.joins():
        if loses_ground(desk.wiring, mate.plug, socket):
            beyond = _devices(desk, [mate.plug, *behind(desk.wiring, *mate.plug.id)])
            _add(broken, mate.plug, LinkKind.MATE, beyond)
    yield from _in_leads(desk, broken)
    for wing_plug in desk.plan.of(WingPlug):
        for name, circuit in wing_plug.circuits.items():
            if circuit.signal is not None and circuit.negative is None:
                yield from _inside(desk, wing_plug, name, circuit.span)
    yield from (_broken(desk, place, devices) for place, devices in broken if devices)


def _in_leads(desk: Desk, broken: Broken) -> Findings:
    for lead in desk.plan.of(Lead):
        plug = desk.wiring.ports[lead.id, "plug"]
        for name in lead.outlets:
            outlet = desk.wiring.ports[lead.id, name]
            if loses_ground(desk.wiring, outlet, plug):
                beyond = _devices(desk, desk.wiring.downstream(outlet.id))
                if not _add(broken, outlet, LinkKind.WIRE, beyond):
                    yield from _inside(desk, lead, name, lead.at("ends" if lead.ends else "map"))


def _devices(desk: Desk, plugs: list[Port]) -> list[Part]:
    ends = (plug.part for plug in plugs if not plug.part.hands_on(plug.name))
    return [part for part in ends if wants_ground(desk.wiring, part)]


def _add(broken: Broken, port: Port, kind: LinkKind, beyond: list[Part]) -> bool:
    """Note what is beyond an open black wire, at a plug or in a lead; False where none is open."""
    black = port.pin("negative")
    here = [devices for place, devices in broken
            if any(k.kind is kind and black in {k.a, k.b} for k in place.links)]  # fmt: skip
    for devices in here:
        devices.extend(beyond)
    return bool(here)


def _broken(desk: Desk, place: Open, devices: list[Part]) -> Finding:
    fault = Fault((place,), tuple(Need(part, "ground") for part in devices))
    said, close = f": the signal of {parts_named(devices)} has no ground beside it", ""
    if place.plug is not None and place.found is None:
        close = "; to part two supplies, pull the red one: `pulled: positive`"
        if "positive" not in desk.wiring.by_plug[place.plug.id].join.pulled:
            said = f" instead of the red one{said}"
    return check.at_open(said, desk.wiring, fault, help=closing_words([place]) + close)


def _inside(desk: Desk, part: Part, outlet: str, span: Span) -> Findings:
    devices = _devices(desk, desk.wiring.downstream((part.id, outlet)))
    if devices:
        yield check.finding(
            f'{part.named()} carries the signal to its socket "{outlet}" but no negative:'
            f" {parts_named(devices)} has no ground beside its signal",
            span, part, *devices, spot=outlet,
            help="give it a black wire of its own from end to end",
        )  # fmt: skip
