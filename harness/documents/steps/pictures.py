"""Small pictures of a step: a plug and its socket, a part alone, both ends of leads to label.

They are laid out by hand, in rows, so that sixty of them take no time: no wider than a hand of
sheet, so that every word can be read where the picture is 7 cm broad. The part that has the socket
stands at the left and shows that one socket; the part whose plug it is stands at the right, its
lead leaving at its left.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import cast

from harness.base.data import dataclass, replace
from harness.diagram.lead_ribbons import GAUGES, PLAIN, Strander
from harness.diagram.part_words import Teller, spoken_id
from harness.diagram.pictures import sitting_of
from harness.documents.labels.label import Label, Side
from harness.drawing import look
from harness.drawing.font import text_width
from harness.drawing.glyph import Glyph, GlyphPlace, Tag
from harness.drawing.glyphs_control import plug_body
from harness.drawing.marks import FLAG_HEIGHT, flag
from harness.drawing.ribbon import CONTROL, Gauge, RibbonWire, bend, ribbon
from harness.drawing.scene import Item, Scene, bounds, moved, text
from harness.facts.of_leads import insulation
from harness.parts.contacts import Form, Port
from harness.parts.part import Part
from harness.rules.run import Report
from harness.wiring.build import Mate, PortId, Wiring
from harness.wiring.codes import port_codes
from harness.wiring.leads import PhysicalLead

MARGIN = 3.0
RUN = 7.0
"""Bare ribbon on either side of a flag, points."""
PULLED = 18.0
"""The same before a flag where the gap of a pulled pin must be seen."""
ROW = 17.0
BETWEEN = 5.0
HALF = 120.0
"""Breadth of the words at one end of a label row, points."""


class Pictures:
    """Draws the small pictures of one report."""

    def __init__(self, report: Report) -> None:
        self.wiring = report.wiring
        self.codes: dict[PortId, str] = port_codes(report.wiring)
        self.strander = Strander(report.wiring, Teller(report, self.codes), self.codes)

    def plug(self, mate: Mate, ident: str) -> Scene:
        """Return a plug on its way into its socket: part, socket, lead with its label, part."""
        assert mate.socket is not None
        strand = self.strander.strand(mate, mate.socket.id, mate.plug.id)
        wires = tuple(replace(w, pulled="tail" if w.pulled else "") for w in strand.wires)
        left, into = glyph_of(PicturedEnd(self.wiring, f"{ident}/into", mate.socket))
        right, of = glyph_of(PicturedEnd(self.wiring, f"{ident}/of", mate.plug))
        lane, wide = self._lead(ident, mate.plug, wires, strand.gauge)
        stub, start = self._stub(f"{ident}/stub", mate.socket, left)
        items: list[Item] = [*(moved(item, 0, -into.y) for item in stub)]
        items.append(left.at(start, -into.y))
        edge = start + into.x
        items += [moved(item, edge, 0) for item in lane]
        items.append(right.at(edge + wide - of.x, -of.y))
        words = f"{strand.code}: {mate.plug.short} into {mate.socket.short}"
        return scene(items, words)

    def part(self, port: Port, ident: str) -> Scene:
        """Return a part alone, with the plug or socket at which it is tested."""
        drawn, place = glyph_of(PicturedEnd(self.wiring, ident, port, free=True))
        code = self.codes.get(port.id, "")
        items: list[Item] = []
        start = 0.0
        if port.is_plug:
            wires = tuple(RibbonWire(code) for code in self._insulation(port))
            lane, start = self._lead(ident, port, wires, GAUGES[port.form])
            body = (
                plug_body(0, 0) if port.form in {Form.THREE_PIN, Form.BUS, Form.SATELLITE} else []
            )
            items = [*body, *lane]
        items.append(drawn.at(start - place.x if port.is_plug else 0.0, -place.y))
        return scene(items, f"{code} {port.part.named()}".strip())

    def parts(self, ports: Sequence[Port], ident: str) -> Scene:
        """Return several parts alone, one below the other."""
        items: list[Item] = []
        for number, port in enumerate(ports):
            one = self.part(port, f"{ident}/{number}")
            low = bounds(items)[3] + BETWEEN if items else 0.0
            items += [moved(item, 0, low - bounds(one.items)[1]) for item in one.items]
        return scene(items, " and ".join(port.part.named() for port in ports))

    def halves(self, part: Part, ident: str) -> Scene:
        """Return a wing plug with all its circuits, in its two halves."""
        tag = Tag(f"{ident}/{part.id}", spoken_id(part.id))
        drawn = part.picture(sitting_of(self.wiring, part, tag))
        return scene([drawn.group], f"both halves of {part.named()}")

    def fed(self, mates: Sequence[Mate], joint: str, ident: str) -> Scene:
        """Return the leads that go through a joint, one below the other, each with its label."""
        items: list[Item] = []
        for number, mate in enumerate(mates):
            strand = self.strander.strand(mate, mate.plug.id, mate.plug.id)
            wires = tuple(replace(wire, pulled="") for wire in strand.wires)
            lane, wide = self._lead(f"{ident}/{number}", mate.plug, wires, strand.gauge)
            into = mate.socket.short if mate.socket is not None else ""
            words = look.shortened(f"to {into}", look.SMALL, HALF)
            label = text(wide + 6, 2.9, words, look.SMALL, fill=look.INK)
            body = plug_body(0, 0) if mate.plug.form is Form.THREE_PIN else []
            items += [moved(item, 0, ROW * number) for item in (*body, *lane, label)]
        return scene(items, f"leads through the joint of {joint}")

    def labels(self, leads: Iterable[tuple[PhysicalLead, Sequence[Label]]], ident: str) -> Scene:
        """Return the labels of leads: for each a row, its plug's end left, its other ends right."""
        items: list[Item] = []
        y = 0.0
        for number, (lead, labels) in enumerate(leads):
            row, high = self._label_row(lead, labels, f"{ident}/{number}")
            items += [moved(item, 0, y) for item in row]
            y += high
        return scene(items, "labels of the leads")

    def _label_row(
        self, lead: PhysicalLead, labels: Sequence[Label], ident: str
    ) -> tuple[list[Item], float]:
        near, far = labels[: len(lead.near)], labels[len(lead.near) :]
        wires = tuple(RibbonWire(code) for code in self._insulation(lead.port))
        count = max(len(near), len(far))
        items: list[Item] = []
        for side, some in enumerate((near, far)):
            for row, label in enumerate(some):
                x, name = side * (HALF + 16), f"{ident}/{side}.{row}"
                items += [moved(i, x, ROW * row) for i in self._label(label, name)]
        line = bend((HALF + 2, 0), (HALF + 14, 0))
        if wires:
            items.append(ribbon(f"{ident}/wires", line, wires, gauge=GAUGES[lead.port.form]))
        return items, ROW * count

    def _label(self, label: Label, ident: str) -> list[Item]:
        tip = flag(ident, label.code, side=label.side)
        words = look.shortened(label.end, look.SMALL, HALF - tip.width - 4)
        item = text(tip.width + 4, 2.9, words, look.SMALL, fill=look.INK)
        return [tip.at(0, -FLAG_HEIGHT / 2), item]

    def _insulation(self, port: Port) -> tuple[str, ...]:
        return insulation(port)[0] or PLAIN[port.form]

    def _lead(
        self, ident: str, port: Port, wires: Sequence[RibbonWire], gauge: Gauge = CONTROL
    ) -> tuple[list[Item], float]:
        """Return a lead from (0, 0) to the right, its label on it, and how long it is drawn."""
        code = self.codes.get(port.id, port.short)
        side = cast("Side", self.wiring.plan.side(port.part))
        tip = flag(f"{ident}/flag", code, side=side)
        before = PULLED if any(wire.pulled for wire in wires) else RUN
        wide = before + tip.width + RUN
        lane = ribbon(f"{ident}/lead", bend((0, 0), (wide, 0)), wires, gauge=gauge, title=code)
        return [lane, tip.at(before, -FLAG_HEIGHT / 2)], wide

    def _stub(self, ident: str, socket: Port, drawn: Glyph) -> tuple[list[Item], float]:
        """Return the lead that a socket sits on, left of its picture, and where that begins."""
        if not socket.part.is_lead:
            return [], 0.0
        code = self.codes.get(socket.id, "")
        place = _entry(drawn)
        if not code:
            return [], 0.0
        wires = tuple(RibbonWire(c) for c in self._insulation(socket))
        lane, wide = self._lead(ident, socket, wires, GAUGES[socket.form])
        return [moved(item, 0, place.y) for item in lane], wide - place.x


def _entry(drawn: Glyph) -> GlyphPlace:
    """Return where a lead's own wires arrive at its picture: at the left, half way up."""
    left = [p for p in drawn.places.values() if p.side == "left"]
    if left:
        return left[0]
    some = next(iter(drawn.places.values()))
    return GlyphPlace(0.0, some.y, "left")


def scene(items: Sequence[Item], words: str) -> Scene:
    """Return items as a drawing just as large as they are."""
    left, top, right, low = bounds(items)
    at = (MARGIN - left, MARGIN - top)
    shifted = tuple(moved(item, *at) for item in items)
    return Scene(right - left + 2 * MARGIN, low - top + 2 * MARGIN, shifted, words, words)


NAME_WIDTH = 96.0
"""Most breadth of a part's name under its picture, points."""


@dataclass(frozen=True, slots=True)
class PicturedEnd:
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


def glyph_of(end: PicturedEnd) -> tuple[Glyph, GlyphPlace]:
    """Return the picture of one end, and where the lead arrives at it."""
    name, is_plug = end.port.name, end.port.is_plug
    sitting = replace(
        sitting_of(end.wiring, end.part, end.tag),
        plugs=(name,) if is_plug else (),
        sockets=() if is_plug else (name,),
        used=frozenset() if is_plug or end.free else frozenset({name}),
        small=True,
    )
    drawn = end.part.picture(sitting)
    return drawn, drawn.places[name]
