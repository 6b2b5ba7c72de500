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
    receivers:
      rx: {sockets: 4}
    escs:
      esc-left: {bec: {volts: 5 V}, plug: rx.3}
      esc-right: {bec: {volts: 5 V}, plug: {into: rx.4, pulled: positive}}

Where it comes from
    Every signal needs its ground beside it: PX4 documentation.
"""

from __future__ import annotations

from collections.abc import Iterator

from harness.base.finding import Finding, Severity
from harness.base.span import Span
from harness.checks.memo import once
from harness.checks.poles import put_right
from harness.checks.rule import Desk, rule
from harness.checks.say import joined, parts_named
from harness.reader.parts.common import Part
from harness.reader.parts.control import Retract, Sensor, Sequencer, Servo, Stabiliser
from harness.reader.parts.leads import Lead, WingPlug
from harness.reader.parts.power import Esc
from harness.wiring.model import COPPER, Contact, LinkKind, Mate, Port

DEVICES = (Servo, Esc, Retract, Sequencer, Stabiliser, Sensor)


@rule("ground", Severity.ERROR)
def check(desk: Desk) -> Iterator[Finding]:
    """Report each break once, with all the devices beyond it."""
    for mate in desk.wiring.mates:
        if mate.socket is None or not (mate.fits and mate.first):
            continue
        through = (mate.plug.pin, mate.socket.pin)
        if _lost(desk, *((end("signal"), end("negative")) for end in through)):
            yield from _at_plug(desk, mate)
    for part in desk.plan.parts.values():
        if isinstance(part, Lead):
            yield from _in_lead(desk, part)
        elif isinstance(part, WingPlug):
            yield from _in_wing_plug(desk, part)


@once
def _joined(desk: Desk) -> set[frozenset[Contact]]:
    kinds = COPPER | {LinkKind.RELAY}
    return {frozenset((k.a, k.b)) for k in put_right(desk).links if k.kind in kinds}


def _lost(desk: Desk, one: tuple[Contact, Contact], other: tuple[Contact, Contact]) -> bool:
    """Whether (signal, negative) at two ends have the signal joined but not the negative."""
    signal, ground = zip(one, other, strict=True)
    return frozenset(signal) in _joined(desk) and frozenset(ground) not in _joined(desk)


def _devices(desk: Desk, plugs: list[Port]) -> list[Part]:
    return [plug.part for plug in plugs if isinstance(plug.part, DEVICES)]


def _at_plug(desk: Desk, mate: Mate) -> Iterator[Finding]:
    below = [mate.plug]
    for port in desk.wiring.by_part[mate.plug.part.id]:
        if port.passes == mate.plug.name:
            below += desk.wiring.downstream(port.id)
    devices = _devices(desk, below)
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


def _in_lead(desk: Desk, lead: Lead) -> Iterator[Finding]:
    for name in lead.outlets:
        ends = (desk.wiring.ports[lead.id, "plug"].pin, desk.wiring.ports[lead.id, name].pin)
        if _lost(desk, *((end("signal"), end("negative")) for end in ends)):
            yield from _inside(desk, lead, name, lead.at("ends" if lead.ends else "map"))


def _in_wing_plug(desk: Desk, plug: WingPlug) -> Iterator[Finding]:
    for name, circuit in plug.circuits.items():
        if circuit.signal is not None and circuit.negative is None:
            yield from _inside(desk, plug, name, circuit.span)


def _inside(desk: Desk, part: Part, outlet: str, span: Span) -> Iterator[Finding]:
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
