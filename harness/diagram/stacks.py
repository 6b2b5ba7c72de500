"""A pack with the parallel leads at it, one under the other: one piece where width is short.

The leads between them run down at the right of the pack. To the layout such a stack is one part;
what it made of it is taken apart again.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from harness.base.data import dataclass
from harness.diagram.routes import rounded
from harness.diagram.stages import DrawnLead, Extract, FlaggedPart, PartsSheet, PortId
from harness.drawing.glyph import Glyph
from harness.drawing.layout_model import Laid, LaidNode, Rect
from harness.drawing.scene import Group, Point
from harness.parts.contacts import Form
from harness.wiring.build import Mate, Wiring

DROP = 6.0  # how far right of a pack its lead runs down, points
APART = 6.0
Under = Mapping[str, tuple[str, Mate]]
"""By part what stands under it, and the mate between them."""


def under(wiring: Wiring, cut: Extract, home: Mapping[str, str]) -> Under:
    """Return what may stand under what: parallel leads under a pack that feeds nothing else."""
    parts, fans = wiring.plan.parts, {name for name in cut.parts if _fans_out(wiring, name)}
    fed: dict[str, list[Mate]] = {}
    for mate in cut.mates:
        if mate.socket is not None:
            fed.setdefault(mate.socket.part.id, []).append(mate)
    found: dict[str, tuple[str, Mate]] = {}
    for name, mates in fed.items():
        if parts[name].holds_cells and len(mates) == 1 and name in home:
            _stack(name, fed, home, fans, found)
    return found


def _fans_out(wiring: Wiring, name: str) -> bool:
    """Say whether a part leads from one battery plug to several sockets."""
    ports = wiring.by_part[name]
    plugs = [port for port in ports if port.is_plug]
    battery = all(port.form is Form.POWER for port in ports)
    return wiring.plan.parts[name].in_line and battery and len(plugs) == 1 and len(ports) > 2


def _stack(
    name: str,
    fed: Mapping[str, Sequence[Mate]],
    home: Mapping[str, str],
    fans: set[str],
    found: dict[str, tuple[str, Mate]],
) -> None:
    """Follow a chain of parallel leads down from a pack."""
    for mate in fed.get(name, ()):
        lower = mate.plug.part
        if lower.id in fans and lower.id not in found and home[name] == home[lower.id]:
            found[name] = (lower.id, mate)
            _stack(lower.id, fed, home, fans, found)
            return


@dataclass(frozen=True)
class StackMember:
    """A part in a stack: its piece, and how far from the stack's top left corner it stands."""

    piece: FlaggedPart
    x: float
    y: float


class Stacks:
    """A sheet with its stacks as single pieces, and the way back."""

    def __init__(self, sheet: PartsSheet, below: Under) -> None:
        self.whole = sheet
        self.inner = [f"lead-{'.'.join(mate.plug.id)}" for _, mate in below.values()]
        lower = {name for name, _ in below.values()}
        self.members = {
            f"stack-{root}": self._members(root, below) for root in below if root not in lower
        }
        self.home = {m.piece.id: key for key, ms in self.members.items() for m in ms}

    def _members(self, root: str, below: Under) -> list[StackMember]:
        """Put one under the other, so that each lead runs straight down."""
        piece = self.whole.pieces[f"part-{root}"]
        found = [StackMember(piece, 0.0, 0.0)]
        line, y = piece.glyph.width + DROP, piece.glyph.height
        name = root
        while name in below:
            name, mate = below[name]
            piece = self.whole.pieces[f"part-{name}"]
            y += APART
            found.append(StackMember(piece, line - piece.glyph.places[mate.plug.name].x, y))
            y += piece.glyph.height
        left = min(member.x for member in found)
        return [replace(member, x=member.x - left) for member in found]

    def sheet(self) -> PartsSheet:
        """Return the sheet that is laid out."""
        pieces = {n: p for n, p in self.whole.pieces.items() if n not in self.home}
        pieces |= {key: self._piece(key, members) for key, members in self.members.items()}
        leads = tuple(self._lead(s) for s in self.whole.strands if s.id not in self.inner)
        return replace(self.whole, pieces=pieces, strands=leads)

    def _lead(self, lead: DrawnLead) -> DrawnLead:
        return replace(lead, tail=self._end(lead.tail), head=self._end(lead.head))

    def _end(self, end: PortId) -> PortId:
        return (self.home[end[0]], "/".join(end)) if end[0] in self.home else end

    @staticmethod
    def _piece(key: str, members: Sequence[StackMember]) -> FlaggedPart:
        places = {
            f"{m.piece.id}/{name}": place.moved(m.x, m.y)
            for m in members
            for name, place in m.piece.glyph.places.items()
        }
        wide = max(m.x + m.piece.glyph.width for m in members)
        high = max(m.y + m.piece.glyph.height for m in members)
        items = tuple(m.piece.glyph.at(m.x, m.y) for m in members)
        glyph = Glyph(Group(key, items), wide, high, places, (0.0, 0.0))
        return FlaggedPart(key, glyph, members[0].piece.zone)

    def taken_apart(self, laid: Laid) -> Laid:
        """Return a layout of the stacks as one of the whole sheet."""
        nodes = {name: node for name, node in laid.nodes.items() if name not in self.members}
        for key, members in self.members.items():
            corner = laid.nodes[key].rect
            nodes |= {m.piece.id: _node(m, corner.x + m.x, corner.y + m.y) for m in members}
        inner: dict[str, tuple[Point, ...]] = {}
        for lead in (s for s in self.whole.strands if s.id in self.inner):  # right, then down
            start, end = (nodes[name].ports[port] for name, port in (lead.tail, lead.head))
            inner[lead.id] = rounded([start, (end[0], start[1]), end])
        return replace(laid, nodes=nodes, edges={**laid.edges, **inner})


def _node(member: StackMember, x: float, y: float) -> LaidNode:
    glyph = member.piece.glyph
    ports = {name: (x + place.x, y + place.y) for name, place in glyph.places.items()}
    return LaidNode(Rect(x, y, glyph.width, glyph.height), ports)
