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
from harness.facts.signal_grounds import loses_ground, wants_ground
from harness.facts.wording import joined, parts_named
from harness.parts.contacts import Port
from harness.parts.lead import Lead
from harness.parts.part import Part
from harness.parts.wing_plug import WingPlug
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.mate import Mate


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each break once, with all the devices beyond it."""
    for mate in desk.wiring.mates:
        if mate.socket is None or not (mate.fits and mate.first):
            continue
        if loses_ground(desk.wiring, mate.plug, mate.socket):
            yield from _at_plug(desk, mate)
    for lead in desk.plan.of(Lead):
        yield from _in_lead(desk, lead)
    for plug in desk.plan.of(WingPlug):
        yield from _in_wing_plug(desk, plug)


def _devices(desk: Desk, plugs: list[Port]) -> list[Part]:
    return [plug.part for plug in plugs if wants_ground(desk.wiring, plug.part)]


def _at_plug(desk: Desk, mate: Mate) -> Findings:
    devices = _devices(desk, [mate.plug, *behind(desk.wiring, *mate.plug.id)])
    if devices:
        instead = "" if "positive" in mate.join.pulled else " instead of the red one"
        yield check.finding(
            f"the black pin of {joined(mate)} is pulled{instead}: the signal of"
            f" {parts_named(devices)} has no ground beside it",
            mate.join.spans.get("pulled", mate.span),
            mate.plug.part,
            *(part for part in devices if part is not mate.plug.part),
            spot=mate.plug.name,
            help="put the black pin back; to part two supplies, pull the red one:"
            " `pulled: positive`",
        )


def _in_lead(desk: Desk, lead: Lead) -> Findings:
    for name in lead.outlets:
        one, other = (desk.wiring.ports[lead.id, port] for port in (name, "plug"))
        if loses_ground(desk.wiring, one, other):
            yield from _inside(desk, lead, name, lead.at("ends" if lead.ends else "map"))


def _in_wing_plug(desk: Desk, plug: WingPlug) -> Findings:
    for name, circuit in plug.circuits.items():
        if circuit.signal is not None and circuit.negative is None:
            yield from _inside(desk, plug, name, circuit.span)


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
