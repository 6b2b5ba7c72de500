"""Leads that parts carry for the plugs of others, a pack's or a regulator's: their flags."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from harness.diagram.stages import PortId
from harness.drawing.glyph import Glyph
from harness.drawing.marks import FLAG_HEIGHT, flag
from harness.drawing.scene import Group, moved_group
from harness.parts.contacts import Port
from harness.parts.part import Part
from harness.rules.run import Report
from harness.wiring.leads import is_own_socket_lead

OVER = 4.0  # how far a flag on a picture reaches over its edge, points
APART = 4.0  # between two flags on one lead


class Outlets:
    """The sockets in use at the ends of leads of a part's own, by part, and their flags."""

    def __init__(self, report: Report, codes: Mapping[PortId, str]) -> None:
        self.report, self.codes = report, codes
        self._tips: dict[PortId, Glyph] = {}

    def of(self, part: Part) -> list[Port]:
        """Return the sockets in use at the ends of a part's own leads."""
        wiring = self.report.wiring
        sockets = (p for p in wiring.by_part[part.id] if p.id in wiring.by_socket)
        return [p for p in sockets if not p.is_plug and is_own_socket_lead(wiring, p)]

    def tip(self, port: Port) -> Glyph:
        """Return the flag of such a lead, drawn once."""
        if port.id not in self._tips:
            code = self.codes[port.id]
            title = f"lead {code}\n{port.part.lead_word(port.name)} of {port.part.named()}"
            side = self.report.plan.side(port.part)
            name = f"flag-{port.part.id}.{port.name}"
            self._tips[port.id] = flag(name, code, side=side, title=title)  # type: ignore[arg-type]
        return self._tips[port.id]

    def rooms(self, part: Part) -> dict[str, float]:
        """Return how much of a picture's breadth the flag on each of its leads takes."""
        return {port.name: self.tip(port).width - OVER for port in self.of(part)}


def laid_on(glyph: Glyph, name: str, tip: Glyph) -> Glyph:
    """The picture with a flag on itself, where a lead leaves it."""
    place = glyph.places[name]
    x = place.x - OVER if place.side == "left" else place.x + OVER - tip.width
    on = moved_group(tip.group, x, place.y - FLAG_HEIGHT / 2)
    return replace(glyph, group=replace(glyph.group, items=(*glyph.group.items, on)))


def in_a_row(one: Glyph, other: Glyph) -> Glyph:
    """Two flags one after the other on the same lead."""
    items = (one.group, moved_group(other.group, one.width + APART, 0.0))
    return replace(one, group=Group("", items), width=one.width + APART + other.width)
