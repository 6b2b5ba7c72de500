"""The insides of the parts on the power side."""

from __future__ import annotations

from harness.parts.contacts import PHASES, POLE_PINS, Form, LinkKind, Port, Wire
from harness.parts.part import PINS
from harness.parts.power import (
    Capacitor,
    Esc,
    Fuse,
    Load,
    Motor,
    Pack,
    PowerLead,
    Regulator,
)
from harness.parts.shape import Shape, shapes

BATTERY = {"positive": "RD", "negative": "BK"}


def _poles(
    shape: Shape, name: str, *, plug: bool, connector: str = "", wire: Wire | None = None
) -> Port:
    return shape.port(
        name, Form.POWER, plug=plug, connector=connector, wire=wire or Wire(), colours=BATTERY
    )


@shapes(Pack)
def _pack(part: Pack, shape: Shape) -> None:
    """Cells between two poles; the balance plug's outer wires sit on the same poles."""
    wire = Wire(part.wire, part.length)
    if part.plug:
        main = shape.three("main", plug=True, wire=wire)
    else:
        main = _poles(shape, "main", plug=False, connector=part.connector, wire=wire)
    shape.lead_in(main, "cells", POLE_PINS)
    balance = shape.port("balance", Form.BALANCE, plug=False, connector="balance")
    for pin in POLE_PINS:
        shape.link(shape.inner("cells", pin), balance.pin(pin), LinkKind.WIRE)
    per_cell = shape.catalogue.value("packs", part.chemistry, "nominal")
    volts = part.cells * (per_cell.number if per_cell and per_cell.number else 0.0)
    _source(shape, "cells", volts)
    shape.terminal("cells", POLE_PINS)


def _source(shape: Shape, inside: str, volts: float) -> None:
    low, high = shape.inner(inside, "negative"), shape.inner(inside, "positive")
    shape.link(low, high, LinkKind.SOURCE, volts=volts)


@shapes(Esc)
def _esc(part: Esc, shape: Shape) -> None:
    """Three separate facts: it has a BEC or not, it is isolated or not, it is fed or not."""
    port = shape.three(
        "plug",
        plug=True,
        colours=part.colours,
        wire=Wire(part.lead_wire, part.lead_length),
        order=part.pins or PINS,
    )
    shape.lead_in(port, "body")
    shape.terminal("body")
    wire = Wire(part.wire, part.length)
    battery = _poles(shape, "supply", plug=True, connector=part.connector, wire=wire)
    shape.lead_in(battery, "battery", POLE_PINS)
    shape.terminal("battery", POLE_PINS)
    shape.draws("battery")
    if not part.isolated:
        shape.link(shape.inner("battery", "negative"), shape.inner("body", "negative"))
    if part.bec is not None and part.bec != "none":
        _source(shape, "body", part.bec.volts)
    shape.port("motor", Form.MOTOR, plug=False)


@shapes(Motor)
def _motor(part: Motor, shape: Shape) -> None:
    port = shape.port("plug", Form.MOTOR, plug=True, wire=Wire(part.wire, part.length))
    shape.lead_in(port, "body", PHASES)


@shapes(Regulator)
def _regulator(part: Regulator, shape: Shape) -> None:
    wire = Wire(part.wire, part.length)
    supply = _poles(shape, "supply", plug=True, connector=part.connector, wire=wire)
    shape.lead_in(supply, "battery", POLE_PINS)
    shape.terminal("battery", POLE_PINS)
    shape.draws("battery")
    if not part.isolated:
        shape.link(shape.inner("battery", "negative"), shape.inner("body", "negative"))
    _source(shape, "body", part.volts)
    shape.terminal("body", POLE_PINS)
    for name, _ in part.joins():
        if name != "supply":
            shape.lead_in(shape.three(name, plug=True, wire=wire), "body", POLE_PINS)
    out = _poles(shape, "out", plug=False, connector=part.connector_out, wire=wire)
    shape.lead_in(out, "body", POLE_PINS)


@shapes(PowerLead)
def _power_lead(part: PowerLead, shape: Shape) -> None:
    wire = Wire(part.wire, part.length)
    entries = [
        _poles(shape, name, plug=True, connector=part.connector_in or part.connector, wire=wire)
        for name, _ in part.joins()
    ]
    outlets = [
        _poles(shape, str(n + 1), plug=False, connector=part.connector, wire=wire)
        for n in range(part.ways)
    ]
    {"series": _series, "jumper": _bridged}.get(part.kind, _side_by_side)(
        part, shape, entries, outlets
    )


def _side_by_side(part: PowerLead, shape: Shape, entries: list[Port], outlets: list[Port]) -> None:
    """Every positive on one node, every negative on the other."""
    open_ = part.kind == "arming" and not part.fitted
    for port in entries:
        for pin in POLE_PINS:
            other = pin if not part.crossed else POLE_PINS[pin == "positive"]
            if pin == "positive" and open_:
                continue
            _wire(shape, port, pin, other)
    for port in outlets:
        for pin in POLE_PINS:
            _wire(shape, port, pin, pin)


def _wire(shape: Shape, port: Port, pin: str, node: str) -> None:
    end = shape.inner("node", node)
    shape.link(port.pin(pin), end, LinkKind.WIRE, wire=port.wire, colour=BATTERY[pin])


def _series(_: PowerLead, shape: Shape, entries: list[Port], outlets: list[Port]) -> None:
    """The first pack is the lowest: its negative is the lead's negative."""
    last = len(entries)
    for n, port in enumerate(entries):
        _wire(shape, port, "negative", "negative" if n == 0 else f"level-{n}")
        _wire(shape, port, "positive", "positive" if n + 1 == last else f"level-{n + 1}")
    for port in outlets:
        for pin in POLE_PINS:
            _wire(shape, port, pin, pin)


def _bridged(_: PowerLead, shape: Shape, entries: list[Port], outlets: list[Port]) -> None:
    """A jumper plug: both contacts on one node."""
    for port in (*entries, *outlets):
        for pin in POLE_PINS:
            _wire(shape, port, pin, "bridge")


@shapes(Fuse)
def _fuse(part: Fuse, shape: Shape) -> None:
    wire = Wire(part.wire, part.length)
    names = [name for name, _ in part.joins()]
    ports = [_poles(shape, n, plug=True, connector=part.connector, wire=wire) for n in names]
    ports.append(_poles(shape, "1", plug=False, connector=part.connector, wire=wire))
    for port in ports:
        for pin in POLE_PINS:
            _wire(shape, port, pin, pin)


@shapes(Capacitor)
def _capacitor(_: Capacitor, __: Shape) -> None:
    """Soldered on: no port, no copper path."""


@shapes(Load)
def _load(part: Load, shape: Shape) -> None:
    wire = Wire(part.wire, part.length)
    if part.plug:
        shape.lead_in(shape.three("plug", plug=True, wire=wire), "body")
    if part.supply:
        forms = (Form.POWER, Form.THREE_PIN)
        port = shape.port("supply", *forms, plug=True, wire=wire, connector=part.connector)
        shape.lead_in(port, "body", POLE_PINS)
    shape.terminal("body", POLE_PINS)
    shape.draws("body")
