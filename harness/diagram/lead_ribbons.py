"""Leads as ribbons: which wires, how thick, from which picture to which."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

from harness.diagram.currents import Currents
from harness.diagram.part_words import Teller
from harness.diagram.stages import DrawnLead, PortId
from harness.drawing.ribbon import (
    BALANCE,
    CONTROL,
    MOST_SETS,
    MOTOR,
    POWER,
    TWISTED,
    End,
    Gauge,
    RibbonWire,
)
from harness.parts.contacts import Form, LinkKind, Port
from harness.wiring.build import Mate, Wiring
from harness.wiring.fact import fact
from harness.wiring.ratings import branches, split_of

GAUGES: Mapping[Form, Gauge] = {
    Form.THREE_PIN: CONTROL, Form.BUS: CONTROL, Form.POWER: POWER, Form.MOTOR: MOTOR,
    Form.TWO_WIRE: CONTROL, Form.BALANCE: BALANCE, Form.SATELLITE: CONTROL,
}  # fmt: skip
PLAIN: Mapping[Form, tuple[str, ...]] = {
    Form.MOTOR: ("BK", "BK", "BK"),
    Form.TWO_WIRE: ("RD", "BK"),
    Form.POWER: ("RD", "BK"),
    Form.BALANCE: ("RD", "BK"),
    Form.BUS: ("WH", "RD", "BK"),
    Form.SATELLITE: ("WH", "RD", "BK"),
    Form.THREE_PIN: ("WH", "RD", "BK"),
}
INNER = frozenset({LinkKind.WIRE, LinkKind.INSIDE, LinkKind.RELAY, LinkKind.DIODE})


class Strander:
    """Makes the strands of one wiring."""

    def __init__(
        self,
        wiring: Wiring,
        teller: Teller,
        codes: Mapping[PortId, str],
        currents: Currents | None = None,
    ) -> None:
        self.wiring, self.teller, self.codes, self.currents = wiring, teller, codes, currents
        links = (*wiring.links, *(link for place in wiring.opens for link in place.links))
        self.wired = {c for k in links if k.kind in INNER for c in (k.a, k.b)}
        self._made: dict[PortId, DrawnLead] = {}

    def strand(self, mate: Mate, tail: PortId, head: PortId) -> DrawnLead:
        """Return the ribbon of one mate between two places of pictures."""
        if mate.plug.id not in self._made:
            self._made[mate.plug.id] = self._strand(mate, tail, head)
        return replace(self._made[mate.plug.id], tail=tail, head=head)

    def _strand(self, mate: Mate, tail: PortId, head: PortId) -> DrawnLead:
        plug = mate.plug
        at: End = "head" if plug.id in turned_plugs(self.wiring) else "tail"
        wires = self._wires(mate, at)
        if mate.turned or mate.crossed:
            wires = wires[::-1]
        name = ".".join(plug.id)
        side = self.wiring.plan.side(plug.part)
        return DrawnLead(
            f"lead-{name}",
            tail,
            head,
            wires,
            gauge_of(mate),
            self.teller.lead(mate),
            (plug.form.name.lower().replace("_", "-"),),
            self.codes.get(plug.id, plug.short),
            side,  # type: ignore[arg-type]
            mate.socket is not None and mate.socket.part.regulates,
            self.currents.at(mate) if self.currents else None,
            self._sets(plug),
        )

    def _sets(self, plug: Port) -> int:
        """How many sets of wires come out of a plug: several where a lead splits right there."""
        many = len(self.wiring.by_part[plug.part.id]) - 1
        fan = split_of(plug.part) == "plug" and not branches(self.wiring, plug.part)[0].is_plug
        return min(many, MOST_SETS) if fan else 1

    def _wires(self, mate: Mate, at: End) -> tuple[RibbonWire, ...]:
        plug, gone = mate.plug, mate.open
        if plug.part.carries_signal and (ends := plug.part.ends.get("plug")):
            pairs = list(zip(plug.order, ends, strict=False))
        elif plug.colours:
            pairs = [(pin, c) for pin in plug.order if (c := plug.colours.get(pin))]
            pairs = [pair for pair in pairs if plug.pin(pair[0]) in self.wired] or pairs
        else:
            return tuple(RibbonWire(code) for code in PLAIN[plug.form])
        return tuple(RibbonWire(code, at if pin in gone else "") for pin, code in pairs)


@fact
def turned_plugs(wiring: Wiring) -> frozenset[PortId]:
    """Return the plugs whose part is drawn left of the socket they go into.

    Current flows to the right: a regulator or a pack with a plug of its own stands left of what it
    feeds, with all leads, switches and diodes between them; a receiver stands before its autopilot.
    """
    found: set[PortId] = set()
    waiting = [mate for mate in wiring.mates if mate.socket is not None]
    for _ in range(len(waiting)):
        more = {m.plug.id for m in waiting if m.plug.id not in found and _feeds(wiring, m, found)}
        if not more:
            break
        found |= more
    return frozenset(found)


def _feeds(wiring: Wiring, mate: Mate, known: Collection[PortId]) -> bool:
    """Say whether what is at a plug feeds, or commands, the part it goes into."""
    part = mate.plug.part
    if part.is_radio:
        return True
    if part.regulates or part.holds_cells:
        return mate.plug.name != "supply"
    if not part.in_line:
        return False
    ports = wiring.by_part[part.id]
    if all(port.is_plug for port in ports):  # the end that gives no channel is what is fed
        ends = {id_: m.socket for port in ports if (m := wiring.by_plug.get(id_ := port.id))}
        fed = (end for end, socket in ends.items() if socket and not socket.channel)
        return len(ends) > 1 and mate.plug.id == next(fed, [*ends][-1])
    into = [m for port in ports for m in wiring.by_socket.get(port.id, ())]
    return bool(into) and all(m.plug.id in known for m in into)


def gauge_of(mate: Mate) -> Gauge:
    """Return how thick a lead is drawn."""
    thin = mate.socket is not None and mate.socket.form is Form.BALANCE
    if mate.plug.wire.lie == "twisted" and GAUGES[mate.plug.form] is CONTROL:
        return TWISTED
    return BALANCE if thin else GAUGES[mate.plug.form]
