"""Small pictures of one end of a plug: the part it goes into, or the part it comes from.

The part that has the socket stands at the left and shows that one socket; the part whose plug it
is stands at the right, its lead leaving at its left.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from harness.diagram.part_words import spoken_id
from harness.diagram.pictures import sitting_of
from harness.drawing import look
from harness.drawing.font import text_width
from harness.drawing.glyph import Glyph, GlyphPlace, Tag
from harness.parts.contacts import Port
from harness.parts.part import Part
from harness.wiring.build import Wiring

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


def both_halves(wiring: Wiring, part: Part, ident: str) -> Glyph:
    """Return a wing plug with all its circuits."""
    return part.picture(sitting_of(wiring, part, Tag(f"{ident}/{part.id}", spoken_id(part.id))))
