"""Small pictures of one end of a plug: the part it goes into, or the part it comes from.

The part that has the socket stands at the left and shows that one socket; the part whose plug it
is stands at the right, its lead leaving at its left.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from harness.diagram.part_words import spoken_id
from harness.diagram.pictures import lanes_of
from harness.diagram.power_leads import flipped, jumper, root_plug, series, shared
from harness.drawing import glyphs as g
from harness.drawing import look
from harness.drawing.font import text_width
from harness.drawing.glyph import Glyph, Place, Tag
from harness.drawing.glyphs_boxes import Kind
from harness.drawing.ribbon import Wire
from harness.facts.of_leads import insulation
from harness.parts.autopilot import Autopilot
from harness.parts.contacts import Port
from harness.parts.diode import Diode
from harness.parts.esc import Esc
from harness.parts.fuse import Fuse
from harness.parts.lead import Lead
from harness.parts.load import Load
from harness.parts.motor import Motor
from harness.parts.pack import Pack
from harness.parts.part import Part
from harness.parts.power_lead import PowerLead
from harness.parts.receiver import Receiver
from harness.parts.regulator import Regulator
from harness.parts.retract import Retract
from harness.parts.sensor import Sensor
from harness.parts.sequencer import Sequencer
from harness.parts.servo import Servo
from harness.parts.stabiliser import Stabiliser
from harness.parts.switch import Switch
from harness.parts.wing_plug import WingPlug
from harness.wiring.build import Wiring

NAME_WIDTH = 96.0
"""Most breadth of a part's name under its picture, points."""
BOXES: Mapping[type[Part], Kind] = {
    Receiver: "receiver",
    Autopilot: "autopilot",
    Sequencer: "sequencer",
    Stabiliser: "stabiliser",
    Regulator: "regulator",
}


@dataclass(frozen=True, slots=True)
class End:
    """One part of a picture: `ident` begins the ids of its shapes, `free` draws no plug in."""

    wiring: Wiring
    ident: str
    port: Port
    free: bool = False

    @property
    def part(self) -> Part:
        """Whose picture it is."""
        return self.port.part

    @property
    def tag(self) -> Tag:
        """Return id and name, cut to what has room; of a lead's several sockets, which it is."""
        which = "" if self.free or self.port.is_plug or not self._is_way else f" · {self.port.name}"
        room = NAME_WIDTH - text_width(which, look.NAME, "bold")
        name = look.shortened(spoken_id(self.part.id), look.NAME, room, "bold")
        return Tag(f"{self.ident}/{self.part.id}", name + which, (), self.part.named())

    @property
    def _is_way(self) -> bool:
        """Say whether this is one of several sockets of a lead, which bear no name themselves."""
        sockets = [port for port in self.wiring.by_part[self.part.id] if not port.is_plug]
        return self.part.is_lead and len(sockets) > 1


def glyph_of(end: End) -> tuple[Glyph, Place]:
    """Return the picture of one end, and where the lead arrives at it."""
    draw = _DRAWN.get(type(end.part), _box)
    drawn = draw(end)
    return drawn, drawn.places[end.port.name]


def _box(end: End) -> Glyph:
    """A case with just the one socket, or just the one lead of its own."""
    port, kind = end.port, BOXES.get(type(end.part), "box")
    if port.is_plug:
        words = _own_lead(port)
        return g.box(end.tag, kind, left=[g.Socket(words, fixed=True, name=port.name)])
    fixed = isinstance(end.part, Regulator)
    socket = g.Socket(port.name, _function(end), not end.free, fixed)
    return g.box(end.tag, kind, right=[socket])


def _own_lead(port: Port) -> str:
    """Say which of a box's own leads it is."""
    if isinstance(port.part, Receiver):
        return "bus"
    if isinstance(port.part, Regulator):
        return port.name.replace("plug-", "out ").replace("plug", "out").replace("supply", "in")
    return port.name.removeprefix("plug-").replace("plug", "in")


def _function(end: End) -> str:
    if isinstance(end.part, Autopilot):
        return end.part.outputs.get(end.port.name, "")
    channel = end.wiring.plan.channels.get(end.port.name)
    return channel.function if channel and isinstance(end.part, Receiver) else ""


def _placed(glyph: Glyph, end: End, name: str) -> Glyph:
    """Give a place of a picture the name of the port."""
    places = {end.port.name if n == name else n: place for n, place in glyph.places.items()}
    return replace(glyph, places=places)


def _servo(end: End) -> Glyph:
    assert isinstance(end.part, Servo)
    shaft = "right" if end.part.shaft in ("right", "down") else "left"
    return _placed(g.servo(end.tag, shaft=shaft, where="below"), end, "lead")


def _retract(end: End) -> Glyph:
    bare = getattr(end.part, "kind", "") == "bare-motor"
    return _placed(g.retract(end.tag, motor_only=bare, where="below"), end, "lead")


def _sensor(end: End) -> Glyph:
    return _placed(g.sensor(end.tag, where="below"), end, "lead")


def _load(end: End) -> Glyph:
    return _placed(g.light(end.tag, where="below"), end, "lead")


def _motor(end: End) -> Glyph:
    return _placed(g.motor(end.tag, where="below"), end, "lead")


def _esc(end: End) -> Glyph:
    names = {"plug": "signal", "supply": "battery", "motor": "motor"}
    return _placed(g.esc(end.tag), end, names[end.port.name])


def _pack(end: End) -> Glyph:
    part = end.part
    assert isinstance(part, Pack)
    return g.pack(end.tag, cells=f"{part.cells}S", capacity=part.label,
                  mirror=end.port.is_plug)  # fmt: skip


def _lead(end: End) -> Glyph:
    """A lead's joint or its ways; all but the way in question are free."""
    part = end.part
    assert isinstance(part, Lead)
    if part.kind == "reverser":
        return _placed(g.reverser(end.tag), end, "left" if end.port.is_plug else "right")
    wires = tuple(Wire(code) for code in insulation(end.wiring.ports[part.id, "plug"])[0])
    lanes = [lanes_of(part, name) for name in part.outlets]
    used = "" if end.port.is_plug or end.free else end.port.name
    if len(lanes) > 1 or any(way != (0, 1, 2) for way in lanes):
        free = {n for n, name in enumerate(part.outlets, 1) if name != used}
        return g.junction(end.tag, ways=len(lanes), wires=wires, lanes=lanes, free=free,
                          where="below")  # fmt: skip
    drawn = g.joint(end.tag, free=not used, where="below")
    return _placed(drawn, end, "left" if end.port.is_plug else "right")


def _wing_plug(end: End) -> Glyph:
    name = end.port.name.removeprefix("plug-")
    return root_plug(end.tag, [row for row in _pin_table(end.part) if row[0] == name])


def _pin_table(part: Part) -> list[tuple[str, str]]:
    assert isinstance(part, WingPlug)
    return [
        (name, " ".join(str(n or "–") for n in (c.signal, c.positive, c.negative)))
        for name, c in part.circuits.items()
    ]


def both_halves(part: Part, ident: str) -> Glyph:
    """Return a wing plug with all its circuits."""
    return root_plug(Tag(f"{ident}/{part.id}", spoken_id(part.id)), _pin_table(part))


def _power_lead(end: End) -> Glyph:
    part = end.part
    assert isinstance(part, PowerLead)
    ports = end.wiring.by_part[part.id]
    entries = [port.name for port in ports if port.is_plug]
    outlets = [port.name for port in ports if not port.is_plug]
    if part.kind == "series":
        return series(end.tag, entries, outlets)
    if part.kind == "jumper":
        return jumper(end.tag, [*entries, *outlets])
    if len(entries) > 1 or len(outlets) > 1:
        return shared(end.tag, entries, outlets)
    drawn = g.arming_plug(end.tag) if part.kind == "arming" else g.connector(end.tag)
    return _placed(drawn, end, "left" if end.port.is_plug else "right")


def _through(draw: Callable[[Tag], Glyph]) -> Callable[[End], Glyph]:
    """Return the picture of a part in line: its own plug at the left, its socket at the right."""
    return lambda end: _placed(draw(end.tag), end, "left" if end.port.is_plug else "right")


def _diode(end: End) -> Glyph:
    """A diode: current passes from its socket, at the right, to its plug at the left."""
    return _placed(flipped(g.diode(end.tag)), end, "right" if end.port.is_plug else "left")


_DRAWN: Mapping[type[Part], Callable[[End], Glyph]] = {
    Servo: _servo,
    Retract: _retract,
    Sensor: _sensor,
    Load: _load,
    Motor: _motor,
    Esc: _esc,
    Pack: _pack,
    Lead: _lead,
    WingPlug: _wing_plug,
    PowerLead: _power_lead,
    Fuse: _through(g.fuse),
    Switch: _through(g.switch),
    Diode: _diode,
}
"""Parts with a picture of their own; any other is a box."""
