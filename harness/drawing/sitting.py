"""What of a part its picture shows: the one way from a part to its glyph.

A whole part sits for the views, one end of it for the small pictures of the steps.
"""

from __future__ import annotations

from collections.abc import Mapping

from harness.base.data import dataclass, field, replace
from harness.drawing.glyph import Glyph, GlyphPlace, Tag, Where
from harness.drawing.glyphs_control import Kind, Socket, box
from harness.drawing.ribbon import RibbonWire

TALL = 29.0  # row of a port with a current under its flag
NO_NAMES: Mapping[str, str] = {}


@dataclass(frozen=True, slots=True, kw_only=True)
class Sitting:
    """The ports that are seen, and the words about them.

    `used`: sockets in which something is plugged; `functions`: what the channel of a socket does;
    `far`: ports whose leads leave at the other side than usual; `small`: for a picture of one end
    alone; `rooms`: how much of the breadth the flags on its leads take; `capacity`: in place of
    what a pack's label says; `wires`: IEC 60757 letters in the order of its plug; `noted`: sockets
    whose plug has a word at it; `tall`: ports with a current under their flag; `under`: it stands
    below what feeds it, and its outlet `down` leaves at its lower side; `unseen`: ports of a case
    that are left out.
    """

    tag: Tag
    plugs: tuple[str, ...] = ()
    sockets: tuple[str, ...] = ()
    used: frozenset[str] = frozenset()
    functions: Mapping[str, str] = field(default_factory=dict)
    far: frozenset[str] = frozenset()
    small: bool = False
    rooms: Mapping[str, float] = field(default_factory=dict)
    capacity: str = ""
    wires: tuple[str, ...] = ()
    noted: frozenset[str] = frozenset()
    tall: frozenset[str] = frozenset()
    under: bool = False
    down: str = ""
    unseen: frozenset[str] = frozenset()

    def beside(self, usual: Where) -> Where:
        """Return where the name stands: below a small picture, else as usual."""
        return "below" if self.small else usual

    def exits(self, names: Mapping[str, str] = NO_NAMES, *, far: bool = False) -> list[Socket]:
        """Return its own leads as they come out of its case, by the names given."""
        plugs = (n for n in self.plugs if (n in self.far) == far and n not in self.unseen)
        return [self._roomy(Socket(names.get(n, n), fixed=True, name=n), n) for n in plugs]

    def strip(self, *, far: bool = False) -> list[Socket]:
        """Return its sockets."""
        names = (n for n in self.sockets if (n in self.far) == far and n not in self.unseen)
        functions, used = self.functions, self.used
        return [self._roomy(Socket(n, functions.get(n, ""), n in used), n) for n in names]

    def _roomy(self, socket: Socket, name: str) -> Socket:
        """Return a socket, or a lead's own exit, with room for what is said of the lead there."""
        high = TALL if name in self.tall else socket.high
        return replace(socket, room=self.rooms.get(name, 0.0), high=high)

    def box(self, kind: Kind, names: Mapping[str, str] = NO_NAMES) -> Glyph:
        """Return a case: its own leads at the left, its sockets at the right, far ones opposite."""
        left = [*self.strip(far=True), *self.exits(names)]
        return box(self.tag, kind, left=left, right=[*self.strip(), *self.exits(names, far=True)])

    def ribbon(self) -> tuple[RibbonWire, ...]:
        """Return its wires in their colours; grey where nobody can say."""
        return tuple(RibbonWire(code or "GY") for code in self.wires)

    def shared_place(self, glyph: Glyph) -> Glyph:
        """Share the one place of a small part between its leads."""
        place = glyph.places["lead"]
        start = place.y - 7.0 * (len(self.plugs) - 1)
        rows = enumerate(self.plugs)
        places = {n: GlyphPlace(place.x, start + 14 * i, "left") for i, n in rows}
        sockets = {name: GlyphPlace(26, place.y, "right") for name in self.sockets}
        return replace(glyph, places=places | sockets)


def renamed(glyph: Glyph, **names: str) -> Glyph:
    """Give the places of a picture the names of the part's ports."""
    places = {names.get(name, name): place for name, place in glyph.places.items()}
    return replace(glyph, places=places)
