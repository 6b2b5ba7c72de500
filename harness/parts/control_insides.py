"""The insides of the parts on the signal side."""

from __future__ import annotations

from operator import itemgetter

from harness.parts.contacts import POLE_PINS, Contact, Form, LinkKind, Role, Wire
from harness.parts.control import (
    Autopilot,
    Receiver,
    Retract,
    Sensor,
    Sequencer,
    Servo,
    Stabiliser,
)
from harness.parts.leads import Lead, WingPlug
from harness.parts.part import PINS
from harness.parts.power import Diode, Switch
from harness.parts.shape import Shape, insulation, shapes, size_of


def supply_names(count: int) -> tuple[str, ...]:
    """Return batt, or batt-1, batt-2 and so on."""
    return ("batt",) if count == 1 else tuple(f"batt-{n + 1}" for n in range(count))


def _on_rail(
    shape: Shape, names: tuple[str, ...], rail: str, order: tuple[str, ...], keyed: bool
) -> None:
    """Add output sockets whose poles hang on a rail and whose signals are driven one by one."""
    for name in names:
        port = shape.three(name, plug=False, order=order, keyed=keyed)
        shape.roles[port.pin("signal")] = Role.SIGNAL
        for pin in POLE_PINS:
            shape.link(port.pin(pin), shape.inner(rail if pin == "positive" else "rail", pin))


@shapes(Receiver)
def _receiver(part: Receiver, shape: Shape) -> None:
    batts = tuple(n for n in supply_names(part.supply_sockets) if n not in part.sockets)
    order = part.pins or PINS
    _on_rail(shape, part.sockets + batts, "rail", order, part.keyed)
    shape.terminal("rail", POLE_PINS)
    shape.draws("rail")
    if part.plug:
        port = shape.three("plug", plug=True)
        for pin in POLE_PINS:
            shape.link(port.pin(pin), shape.inner("rail", pin), LinkKind.WIRE, wire=port.wire)


@shapes(Autopilot)
def _autopilot(part: Autopilot, shape: Shape) -> None:
    """Outputs hang on their own rail or on the logic; `power` and `rc` always on the logic."""
    order = part.pins or PINS
    feeds = "logic" if part.rail == "logic" else "rail"
    batts = () if part.rail == "logic" else supply_names(part.rail_sockets)
    batts = tuple(name for name in batts if name not in part.sockets)
    _on_rail(shape, part.sockets + batts, feeds, order, part.keyed)
    own = tuple(name for name in ("power", "rc", "telemetry") if name not in part.sockets)
    _on_rail(shape, own, "logic", order, part.keyed)
    shape.roles[shape.inner("logic", "positive")] = Role.POSITIVE
    shape.roles[shape.inner("rail", "negative")] = Role.NEGATIVE
    shape.link(shape.inner("logic", "positive"), shape.inner("rail", "negative"), LinkKind.LOAD)


@shapes(Servo)
def _servo(part: Servo, shape: Shape) -> None:
    size = part.wire or size_of(shape.catalogue, "servos", part.class_, "lead-wire")
    wire = Wire(size, part.length)
    port = shape.three("plug", plug=True, colours=part.colours, wire=wire, order=part.pins or PINS)
    shape.lead_in(port, "body")
    shape.terminal("body")
    shape.draws("body")


@shapes(Stabiliser)
def _stabiliser(part: Stabiliser, shape: Shape) -> None:
    for name in sorted(part.plugs):
        entry = shape.three(f"plug-{name}", plug=True)
        outlet = shape.three(name, plug=False, passes=entry.name)
        for pin in POLE_PINS:
            shape.link(entry.pin(pin), shape.inner("rail", pin), LinkKind.WIRE, wire=entry.wire)
            shape.link(shape.inner("rail", pin), outlet.pin(pin))
        shape.link(entry.pin("signal"), outlet.pin("signal"), LinkKind.RELAY)
        shape.roles[entry.pin("signal")] = Role.SIGNAL
        shape.roles[outlet.pin("signal")] = Role.SIGNAL
    shape.terminal("rail", POLE_PINS)
    shape.draws("rail")


@shapes(Sensor)
def _sensor(part: Sensor, shape: Shape) -> None:
    """A sensor's data side is fed by the receiver; its ground is that of what it measures."""
    if part.plug:
        shape.lead_in(shape.three("plug", plug=True), "body")
        shape.terminal("body")
        shape.draws("body")
    if part.supply:
        tap = shape.port("supply", Form.POWER, Form.BALANCE, plug=True)
        shape.lead_in(tap, "tap", POLE_PINS)
        shape.roles[shape.inner("tap", "positive")] = Role.POSITIVE
        if part.plug and not part.isolated:
            shape.link(shape.inner("tap", "negative"), shape.inner("body", "negative"))


@shapes(Sequencer)
def _sequencer(part: Sequencer, shape: Shape) -> None:
    """One rail: an own supply and the input lead's red wire meet on it."""
    entry = shape.three("plug", plug=True, wire=Wire(None, part.length))
    shape.roles[entry.pin("signal")] = Role.SIGNAL
    for pin in POLE_PINS:
        shape.link(
            entry.pin(pin),
            shape.inner("rail", pin),
            LinkKind.WIRE,
            wire=entry.wire,
            colour=(entry.colours or {}).get(pin, ""),
        )
    if part.supply:
        forms = (Form.POWER, Form.THREE_PIN)
        own = shape.port("supply", *forms, plug=True, connector=part.connector)
        shape.lead_in(own, "rail", POLE_PINS)
    for name in part.outlets:
        _outlet(part, shape, name)
    shape.terminal("rail", POLE_PINS)


def _outlet(part: Sequencer, shape: Shape, name: str) -> None:
    entry = Contact(part.id, "plug", "signal")
    if name in part.motor_outlets:
        port = shape.port(name, Form.TWO_WIRE, plug=False, passes="plug")
        shape.link(entry, port.pin("positive"), LinkKind.RELAY)
        return
    port = shape.three(name, plug=False, passes="plug")
    shape.roles[port.pin("signal")] = Role.SIGNAL
    shape.link(entry, port.pin("signal"), LinkKind.RELAY)
    for pin in POLE_PINS:
        shape.link(shape.inner("rail", pin), port.pin(pin))


@shapes(Retract)
def _retract(part: Retract, shape: Shape) -> None:
    wire = Wire(part.wire, part.length)
    if part.kind == "bare-motor":
        bare = shape.port("plug", Form.TWO_WIRE, plug=True, wire=wire)
        shape.lead_in(bare, "body", POLE_PINS)
        return
    port = shape.three("plug", plug=True, colours=part.colours, wire=wire)
    shape.lead_in(port, "body")
    shape.terminal("body")
    shape.draws("body")


@shapes(Lead)
def _lead(part: Lead, shape: Shape) -> None:
    wire = Wire(part.wire, part.length)
    entry = shape.three("plug", plug=True, colours=part.colours, wire=wire, order=part.pins or PINS)
    for name in part.outlets:
        order = part.socket_pins or PINS
        outlet = shape.three(
            name, plug=False, colours=part.colours, order=order, keyed=part.keyed, passes="plug"
        )
        for pin, other in pin_map(part, name).items():
            relay = part.kind == "reverser" and pin == other == "signal"
            kind = LinkKind.RELAY if relay else LinkKind.WIRE
            colour = (entry.colours or {})[pin]
            shape.link(entry.pin(pin), outlet.pin(other), kind, wire=wire, colour=colour)


def pin_map(part: Lead, outlet: str) -> dict[str, str]:
    """Return which pin of a lead's plug each pin of one of its sockets is wired to.

    From `map`; or from the wire colours at both ends: a wire keeps its colour; or straight.
    """
    if part.map:
        return {pin: part.map.get(pin, pin) for pin in PINS}
    near, far = part.ends.get("plug"), part.ends.get(outlet)
    if not near or not far:
        return {pin: pin for pin in PINS}
    ours, theirs = part.pins or PINS, part.socket_pins or PINS
    return {pin: theirs[far.index(c)] for pin, c in zip(ours, near, strict=True) if c in far}


@shapes(WingPlug)
def _wing_plug(part: WingPlug, shape: Shape) -> None:
    wire = Wire(part.wire, part.length)
    for name, circuit in sorted(part.circuits.items(), key=itemgetter(0)):
        entry = shape.three(f"plug-{name}", plug=True, wire=wire)
        outlet = shape.three(name, plug=False, passes=entry.name, wire=wire)
        for pin in PINS:
            number = getattr(circuit, pin)
            if number is None:
                continue
            contact = shape.inner("contact", str(number))
            colour = (entry.colours or {})[pin]
            shape.link(entry.pin(pin), contact, LinkKind.WIRE, wire=wire, colour=colour)
            shape.link(contact, outlet.pin(pin))


@shapes(Switch)
def _switch(part: Switch, shape: Shape) -> None:
    _in_line(part, shape, LinkKind.WIRE, Wire(part.wire, part.length))


@shapes(Diode)
def _diode(part: Diode, shape: Shape) -> None:
    _in_line(part, shape, LinkKind.DIODE, Wire(part.wire, part.length))


def _in_line(part: Switch | Diode, shape: Shape, positive: LinkKind, wire: Wire) -> None:
    """A box in a supply lead: socket 1 takes the supply, the plug goes on to the rail."""
    entry = shape.three("plug", plug=True, wire=wire)
    outlet = shape.three("1", plug=False, passes="plug")
    for pin in PINS:
        kind = positive if pin == "positive" else LinkKind.WIRE
        colour = insulation(shape.catalogue, "")[pin]
        shape.link(outlet.pin(pin), entry.pin(pin), kind, wire=wire, colour=colour)
