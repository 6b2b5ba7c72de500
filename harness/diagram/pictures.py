"""Which picture a part has, with a place for every port of the wiring."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import singledispatch

from harness.diagram.lead_ribbons import is_turned
from harness.diagram.outlets import Outlets
from harness.diagram.part_words import Teller, spoken_id
from harness.diagram.power_leads import flipped, jumper, root_plug, series, shared
from harness.drawing import glyphs as g
from harness.drawing.glyph import Glyph, Place
from harness.drawing.ribbon import Wire
from harness.parts.autopilot import Autopilot
from harness.parts.capacitor import Capacitor
from harness.parts.contacts import Port
from harness.parts.diode import Diode
from harness.parts.esc import Esc
from harness.parts.fuse import Fuse
from harness.parts.lead import Lead, pin_map
from harness.parts.load import Load
from harness.parts.motor import Motor
from harness.parts.pack import Pack
from harness.parts.part import PINS, Part
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
from harness.rules.run import Report


class Artist:
    """Draws the parts of one report; `used` holds the ports in which something is plugged."""

    def __init__(self, report: Report, teller: Teller, outlets: Outlets) -> None:
        self.report, self.teller, self.outlets = report, teller, outlets
        self.wiring, self.plan = report.wiring, report.plan
        self.used = set(self.wiring.by_socket)
        self._drawn: dict[str, Glyph] = {}

    def glyph(self, part: Part) -> Glyph:
        """Return the picture of a part; its places have the names of the part's ports."""
        if part.id not in self._drawn:
            self._drawn[part.id] = picture(part, self)
        return self._drawn[part.id]

    def posed(self, part: Part, *, backwards: bool) -> Glyph:
        """Return the picture of a part seen from above, nose up: a motor pulls, or pushes."""
        if not part.spins:
            return self.glyph(part)
        drawn = g.motor(self.teller.tag(part), thrust="bottom" if backwards else "top")
        return renamed(drawn, {"lead": "plug"})

    def ports(self, part: Part, *, plugs: bool) -> list[Port]:
        """Return the plugs or the sockets of a part."""
        return [port for port in self.wiring.by_part[part.id] if port.is_plug is plugs]

    def sockets(self, part: Part, label: Callable[[str], str]) -> list[g.Socket]:
        """Return the part's sockets as a strip."""
        return [
            g.Socket(port.name, label(port.name), port.id in self.used)
            for port in self.ports(part, plugs=False)
        ]

    def exits(self, part: Part, names: Mapping[str, str]) -> list[g.Socket]:
        """Return the part's own leads, as they come out of its case."""
        return [
            g.Socket(names.get(port.name, port.name), fixed=True, name=port.name)
            for port in self.ports(part, plugs=True)
        ]

    def fed_from_right(self, part: Part) -> bool:
        """Say whether a part's supply lead leaves at its right, towards a regulator."""
        mate = self.wiring.by_plug.get((part.id, "supply"))
        return mate is not None and is_turned(mate)

    def function(self, socket: str) -> str:
        """Return what the channel of a receiver's socket does."""
        channel = self.plan.channels.get(socket)
        return channel.function if channel else ""


def renamed(glyph: Glyph, names: Mapping[str, str]) -> Glyph:
    """Give the places of a picture the names of the wiring's ports."""
    places = {names.get(name, name): place for name, place in glyph.places.items()}
    return replace(glyph, places=places)


@singledispatch
def picture(part: Part, artist: Artist) -> Glyph:
    """Any other part: a box with its own leads at the left and its sockets at the right."""
    left, right = artist.exits(part, {}), artist.sockets(part, lambda _: "")
    return g.box(artist.teller.tag(part), "box", left=left, right=right)


@picture.register
def _(part: Receiver, artist: Artist) -> Glyph:
    # Behind an autopilot, a receiver's own free sockets are nobody's channel.
    own = {name for name in part.sockets if not part.plug or (part.id, name) in artist.used}
    sockets = artist.sockets(part, lambda name: artist.function(name) if name in own else "")
    if part.plug:
        sockets.append(g.Socket("bus", fixed=True, name="plug"))
    return g.box(artist.teller.tag(part), "receiver", right=sockets)


@picture.register
def _(part: Autopilot, artist: Artist) -> Glyph:
    every = artist.sockets(part, lambda name: part.outputs.get(name, ""))
    left = [s for s in every if s.id == "rc"]
    right = [s for s in every if s.id != "rc"]
    return g.box(artist.teller.tag(part), "autopilot", left=left, right=right)


@picture.register
def _(part: Sequencer, artist: Artist) -> Glyph:
    left = artist.exits(part, {"plug": "in"})
    right = artist.sockets(part, lambda _: "")
    if artist.fed_from_right(part):
        right.append(next(s for s in left if s.name == "supply"))
        left = [s for s in left if s.name != "supply"]
    return g.box(artist.teller.tag(part), "sequencer", left=left, right=right)


@picture.register
def _(part: Stabiliser, artist: Artist) -> Glyph:
    left = artist.exits(part, {f"plug-{n}": n for n in part.plugs})
    return g.box(artist.teller.tag(part), "stabiliser", left=left,
                 right=artist.sockets(part, lambda _: ""))  # fmt: skip


@picture.register
def _(part: Regulator, artist: Artist) -> Glyph:
    names = {"plug": "out", "plug-1": "out 1", "plug-2": "out 2", "supply": "in"}
    left = artist.exits(part, names)
    right = [s for s in artist.sockets(part, lambda _: "") if s.used]
    mates = artist.wiring.by_socket.get((part.id, "out"), [])
    if mates and all(is_turned(mate) for mate in mates):
        left.append(g.Socket("out", fixed=True, name="out"))
        right = []
    return g.box(artist.teller.tag(part), "regulator", left=left, right=right)


@picture.register
def _(part: Servo, artist: Artist) -> Glyph:
    shaft = "right" if part.shaft in ("right", "down") else "left"
    return renamed(g.servo(artist.teller.tag(part), shaft=shaft), {"lead": "plug"})


@picture.register
def _(part: Retract, artist: Artist) -> Glyph:
    bare = part.kind == "bare-motor"
    return renamed(g.retract(artist.teller.tag(part), motor_only=bare), {"lead": "plug"})


@picture.register
def _(part: Sensor, artist: Artist) -> Glyph:
    return _two_leads(g.sensor(artist.teller.tag(part)), artist.ports(part, plugs=True))


@picture.register
def _(part: Load, artist: Artist) -> Glyph:
    return _two_leads(g.light(artist.teller.tag(part)), artist.ports(part, plugs=True))


def _two_leads(glyph: Glyph, plugs: list[Port]) -> Glyph:
    """Share the one place of a small part between its leads."""
    place = glyph.places["lead"]
    start = place.y - 7.0 * (len(plugs) - 1)
    places = {p.name: Place(place.x, start + 14 * i, "left") for i, p in enumerate(plugs)}
    return replace(glyph, places=places)


@picture.register
def _(part: Esc, artist: Artist) -> Glyph:
    return renamed(g.esc(artist.teller.tag(part)), {"signal": "plug", "battery": "supply"})


@picture.register
def _(part: Motor, artist: Artist) -> Glyph:
    return renamed(g.motor(artist.teller.tag(part)), {"lead": "plug"})


@picture.register
def _(part: Pack, artist: Artist) -> Glyph:
    tag, volts = artist.teller.tag(part, lines=()), artist.teller.said.get(part.id, ())
    return g.pack(tag, cells=f"{part.cells}S", capacity="".join(volts) or part.label,
                  rooms=artist.outlets.rooms(part), mirror=bool(part.plug))  # fmt: skip


@picture.register
def _(part: PowerLead, artist: Artist) -> Glyph:
    entries = [port.name for port in artist.ports(part, plugs=True)]
    outlets = [port.name for port in artist.ports(part, plugs=False)]
    tag = artist.teller.tag(part)
    if part.kind == "series":
        return series(tag, entries, outlets)
    if part.kind == "jumper":
        return jumper(tag, [*entries, *outlets])
    if len(entries) > 1 or len(outlets) > 1:
        return shared(tag, entries, outlets)
    names = {"left": entries[0] if entries else "", "right": outlets[0] if outlets else ""}
    drawn = g.arming_plug(tag) if part.kind == "arming" else g.connector(tag)
    return renamed(drawn, names)


@picture.register
def _(part: Fuse, artist: Artist) -> Glyph:
    return renamed(g.fuse(artist.teller.tag(part)), {"left": "in-1", "right": "1"})


@picture.register
def _(part: Switch, artist: Artist) -> Glyph:
    return renamed(g.switch(artist.teller.tag(part)), {"left": "plug", "right": "1"})


@picture.register
def _(part: Diode, artist: Artist) -> Glyph:
    # Current passes from the socket, at the right, to the plug at the left.
    drawn = flipped(g.diode(artist.teller.tag(part)))
    return renamed(drawn, {"right": "plug", "left": "1"})


@picture.register
def _(part: Capacitor, artist: Artist) -> Glyph:
    return replace(g.capacitor(artist.teller.tag(part)), places={})


@picture.register
def _(part: Lead, artist: Artist) -> Glyph:
    tag = artist.teller.tag(part, named=part.kind == "reverser")
    if part.kind == "reverser":
        tag = replace(tag, name=spoken_id(part.id), lines=())
        return renamed(g.reverser(tag), {"left": "plug", "right": "1"})
    free = {n for n in part.outlets if (part.id, n) not in artist.used}
    wires, lanes = lead_wires(part, artist), [lanes_of(part, n) for n in part.outlets]
    if len(lanes) > 1 or any(way != (0, 1, 2) for way in lanes):
        numbers = {int(n) for n in free}
        return g.junction(tag, ways=len(lanes), wires=wires, lanes=lanes, free=numbers)
    return renamed(g.joint(tag, free=bool(free)), {"left": "plug", "right": "1"})


def lead_wires(part: Lead, artist: Artist) -> tuple[Wire, ...]:
    """Return the insulation of a lead in the order of its plug's pins."""
    port = artist.wiring.ports[part.id, "plug"]
    codes = part.ends.get("plug") or [(port.colours or {}).get(pin, "") for pin in port.order]
    return tuple(Wire(code or "GY") for code in codes)


def lanes_of(part: Lead, outlet: str) -> tuple[int | None, ...]:
    """Return at which pin of a socket each wire of a lead ends, in the order of its plug."""
    ways, theirs = pin_map(part, outlet), part.socket_pins or PINS
    return tuple(theirs.index(ways[pin]) if pin in ways else None for pin in part.pins or PINS)


@picture.register
def _(part: WingPlug, artist: Artist) -> Glyph:
    rows = [
        (name, " ".join(str(n or "–") for n in (c.signal, c.positive, c.negative)))
        for name, c in part.circuits.items()
    ]
    return root_plug(artist.teller.tag(part), rows)
