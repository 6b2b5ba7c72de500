"""The pictures of the parts of one report, with a place for every port of the wiring."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from harness.diagram.currents import Currents
from harness.diagram.lead_ribbons import turned_plugs
from harness.diagram.part_words import Teller, spoken_id
from harness.diagram.stages import PortId
from harness.drawing.glyph import Glyph, Tag, flipped
from harness.drawing.glyphs_control import plug_body
from harness.drawing.marks import FLAG_HEIGHT, flag, flag_width, note_width
from harness.drawing.pill import pill
from harness.drawing.scene import moved_group
from harness.drawing.sitting import Sitting
from harness.facts.of_leads import pulled_words
from harness.parts.contacts import Port
from harness.parts.part import Part
from harness.rules.run import Report
from harness.wiring.build import Mate, Wiring
from harness.wiring.leads import is_own_socket_lead

APART = 4.0  # between two flags on one lead
OVER = 1.0  # how far a flag on a picture reaches over its edge, points
PLUGGED = 8.0  # how far the plug at the lead's end does


class Artist:
    """Draws the parts of one report."""

    def __init__(
        self, report: Report, teller: Teller, outlets: Outlets, currents: Currents | None = None
    ) -> None:
        self.report, self.teller, self.outlets = report, teller, outlets
        self.currents = currents
        self.wiring = report.wiring
        self.shown: frozenset[PortId] | None = None
        """The ports that a view shows of cases; all of them where nothing is said."""
        self._drawn: dict[str, Glyph] = {}

    def glyph(self, part: Part) -> Glyph:
        """Return the picture of a part; its places have the names of the part's ports."""
        if part.id not in self._drawn:
            drawn = part.picture(self.sitting(part))
            self._drawn[part.id] = flipped(drawn) if self._is_passed(part) else drawn
        return self._drawn[part.id]

    def hung(self, part: Part, below: tuple[str, Mate] | None) -> Glyph:
        """Return the picture of a part that hangs under what feeds it, itself with one below."""
        down = below[1].socket.name if below and below[1].socket else ""
        return part.picture(replace(self.sitting(part), under=True, down=down))

    def sitting(self, part: Part) -> Sitting:
        """Return all of a part."""
        whole = sitting_of(self.wiring, part, self._tag(part))
        pills = {port.name: self._pill(port) for port in self.wiring.by_part[part.id]}
        return replace(
            whole,
            tall=frozenset(name for name, wide in pills.items() if wide),
            noted=frozenset(name for name in whole.sockets if self._note(part, name)),
            far=frozenset(name for name in (*whole.plugs, *whole.sockets) if self._far(part, name)),
            rooms={**self.outlets.rooms(part), **self._rooms(part)},
            unseen=frozenset(n for n in pills if self.shown and (part.id, n) not in self.shown),
            capacity="".join(self.teller.said.get(part.id, ())) if part.holds_cells else "",
        )

    def _arriving(self, port: Port) -> Mate | None:
        """Return the mate of the lead that arrives at a port from the left."""
        turned = turned_plugs(self.wiring)
        if port.is_plug:
            mate = self.wiring.by_plug.get(port.id)
            return mate if mate and port.id not in turned else None
        into = self.wiring.by_socket.get(port.id, [])
        return next((mate for mate in into if mate.plug.id in turned), None)

    def _pill(self, port: Port) -> float:
        """Return the breadth of the current of the lead that arrives at a port; 0 for none."""
        mate = self._arriving(port)
        reading = self.currents.at(mate) if mate and self.currents else None
        return pill("", reading.amps, reading.share).width if reading else 0.0

    def _rooms(self, part: Part) -> dict[str, float]:
        """Return how much room in a case the words of each lead take that arrives there."""
        found: dict[str, float] = {}
        for port in self.wiring.by_part[part.id]:
            if words := self._note(part, port.name):
                found[port.name] = note_width(words)
            elif mate := self._arriving(port):
                code = self.outlets.codes.get(mate.plug.id, mate.plug.short)
                sided, words = bool(self.wiring.plan.side(mate.plug.part)), pulled_words(mate)
                beside = note_width(words) + APART if words and not port.is_plug else 0.0
                found[port.name] = max(flag_width(code, sided=sided) + beside, self._pill(port))
        return found

    def _note(self, part: Part, name: str) -> str:
        """Return the word at the plug in a socket at which a lead to the right starts."""
        turned = turned_plugs(self.wiring)
        into = self.wiring.by_socket.get((part.id, name), [])
        words = (pulled_words(mate) for mate in into if mate.plug.id not in turned)
        return next(filter(None, words), "")

    def _tag(self, part: Part) -> Tag:
        """A separate lead has no name but on its flag; a reverser is looked for by name."""
        if part.turns_signal:
            return replace(self.teller.tag(part, lines=()), name=spoken_id(part.id))
        lines = () if part.holds_cells else None
        return self.teller.tag(part, named=not part.carries_signal, lines=lines)

    def _is_passed(self, part: Part) -> bool:
        """Say whether what comes in at a lead's sockets leaves at its plug."""
        turned = turned_plugs(self.wiring)
        plugs = (p.id for p in self.wiring.by_part[part.id] if p.id in self.wiring.by_plug)
        return part.in_line and next(plugs, None) in turned

    def _far(self, part: Part, name: str) -> bool:
        """Say whether all leads at a port leave at the other side than usual."""
        if part.in_line:
            return False
        plug = self.wiring.by_plug.get((part.id, name))
        mates = [plug] if plug else self.wiring.by_socket.get((part.id, name), [])
        turned = turned_plugs(self.wiring)
        return bool(mates) and all(mate.plug.id in turned for mate in mates)


def sitting_of(wiring: Wiring, part: Part, tag: Tag) -> Sitting:
    """Return a part with all its ports, as it is plugged."""
    ports = wiring.by_part[part.id]
    channels = {name: channel.function for name, channel in wiring.plan.channels.items()}
    return Sitting(
        tag=tag,
        plugs=tuple(port.name for port in ports if port.is_plug),
        sockets=tuple(port.name for port in ports if not port.is_plug),
        used=frozenset(port.name for port in ports if port.id in wiring.by_socket),
        functions=part.channel_words(channels),
        wires=lead_wires(wiring, part),
    )


def lead_wires(wiring: Wiring, part: Part) -> tuple[str, ...]:
    """Return the insulation of a separate lead in the order of its plug's pins."""
    if not part.carries_signal:
        return ()
    port = wiring.ports[part.id, "plug"]
    return part.ends.get("plug") or tuple((port.colours or {}).get(pin, "") for pin in port.order)


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
    """The picture with a flag on itself, where a lead leaves it, and the plug at its end."""
    place = glyph.places[name]
    left = place.side == "left"
    on = moved_group(
        tip.group, place.x - OVER if left else place.x + OVER - tip.width, place.y - FLAG_HEIGHT / 2
    )
    end = place if left else place.moved(PLUGGED, 0.0)
    body = () if left else plug_body(end.x, end.y)
    group = replace(glyph.group, items=(*glyph.group.items, *body, on))
    places = {**glyph.places, name: end}
    return replace(glyph, group=group, width=max(glyph.width, end.x), places=places)
