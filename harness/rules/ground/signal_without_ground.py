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

from harness.base.finding import Severity
from harness.base.span import Span
from harness.facts.below import behind
from harness.facts.ground import loses_ground, wants_ground
from harness.facts.wording import joined, parts_named
from harness.parts.contacts import Port
from harness.parts.lead import Lead
from harness.parts.part import Part
from harness.parts.wing_plug import WingPlug
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Mate


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each break once, with all the devices beyond it."""
    for mate, socket in desk.joins():
        if loses_ground(desk.wiring, mate.plug, socket):
            yield from _at_plug(desk, mate)
    for lead in desk.plan.of(Lead):
        plug = desk.wiring.ports[lead.id, "plug"]
        for name in lead.outlets:
            if loses_ground(desk.wiring, desk.wiring.ports[lead.id, name], plug):
                yield from _inside(desk, lead, name, lead.at("ends" if lead.ends else "map"))
    for wing_plug in desk.plan.of(WingPlug):
        for name, circuit in wing_plug.circuits.items():
            if circuit.signal is not None and circuit.negative is None:
                yield from _inside(desk, wing_plug, name, circuit.span)


def _devices(desk: Desk, plugs: list[Port]) -> list[Part]:
    return [plug.part for plug in plugs if wants_ground(desk.wiring, plug.part)]


def _at_plug(desk: Desk, mate: Mate) -> Findings:
    devices = _devices(desk, [mate.plug, *behind(desk.wiring, *mate.plug.id)])
    if devices:
        instead = "" if "positive" in mate.join.pulled else " instead of the red one"
        yield check.at_plug(
            f"the black pin of {joined(mate)} is pulled{instead}: the signal of"
            f" {parts_named(devices)} has no ground beside it",
            mate,
            *devices,
            key="pulled",
            help="put the black pin back; to part two supplies, pull the red one:"
            " `pulled: positive`",
        )


def _inside(desk: Desk, part: Part, outlet: str, span: Span) -> Findings:
    devices = _devices(desk, desk.wiring.downstream((part.id, outlet)))
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
