"""Simple sums of current: every draw follows the copper to its source, and the links add up.

Parallel sources share evenly; a series stack carries the same current at every level. The
drop along the way is not part of these sums.
"""

from __future__ import annotations

from collections import defaultdict, deque
from dataclasses import dataclass, field

from harness.reader.parts.power import Esc, Motor, Pack, Regulator
from harness.wiring.build import Wiring
from harness.wiring.draws import Draw, draw_of
from harness.wiring.figures import Figure, from_catalogue, stated
from harness.wiring.model import COPPER, Contact, Link, LinkKind

ALONG = COPPER | {LinkKind.DIODE}
Way = dict[int, float]
"""By link number, the share of a current that takes it."""


@dataclass
class Flow:
    """Current through one thing, in A: `steady` for good, `burst` for seconds.

    `groups` holds, by what moves together, the sum of stalls and the sum of free moving.
    """

    steady: float = 0.0
    always: float = 0.0
    groups: dict[str, tuple[float, float]] = field(default_factory=dict)
    parts: list[str] = field(default_factory=list)

    def add(self, draw: Draw, share: float) -> None:
        """Add a share of what one part draws."""
        self.steady += draw.steady * share
        self.parts.append(draw.part.id)
        if draw.together == "always":
            self.always += draw.stall * share
            return
        stall, moving = self.groups.get(draw.together, (0.0, 0.0))
        added = (stall + draw.stall * share, moving + draw.moving * share)
        self.groups[draw.together] = added

    @property
    def burst(self) -> float:
        """The stalls of the worst group, while all the other groups move freely."""
        free = sum(moving for _, moving in self.groups.values())
        worst = max((stall - moving for stall, moving in self.groups.values()), default=0.0)
        return self.always + free + worst


@dataclass
class Flows:
    """Flow by link, by source part (pack, ESC with BEC, regulator), and the way back to them."""

    wiring: Wiring
    by_link: dict[int, Flow] = field(default_factory=lambda: defaultdict(Flow))
    by_source: dict[str, Flow] = field(default_factory=lambda: defaultdict(Flow))
    by_port: dict[tuple[str, str], Flow] = field(default_factory=dict)
    unfed: list[str] = field(default_factory=list)
    _links: dict[Contact, list[tuple[int, Contact]]] = field(default_factory=dict)
    _sources: list[Link] = field(default_factory=list)

    def port(self, part: str, port: str) -> Flow:
        """Return the current through the positive contact of a port."""
        return self.by_port.get((part, port), Flow())


def flows_of(wiring: Wiring) -> Flows:
    """Add up every draw of a plan."""
    flows = Flows(wiring)
    flows._links = _adjacent(wiring)
    flows._sources = [link for link in wiring.links if link.kind is LinkKind.SOURCE]
    for part in sorted(wiring.plan.parts.values(), key=lambda p: p.id):
        draw = draw_of(wiring.plan, part)
        if draw is not None:
            _spread(flows, draw)
    _inputs(flows)
    _motors(flows)
    _by_port(flows)
    return flows


def _adjacent(wiring: Wiring) -> dict[Contact, list[tuple[int, Contact]]]:
    found: dict[Contact, list[tuple[int, Contact]]] = defaultdict(list)
    for number, link in enumerate(wiring.links):
        if link.kind in ALONG:
            found[link.b].append((number, link.a))
        if link.kind in COPPER:
            found[link.a].append((number, link.b))
    return found


def _spread(flows: Flows, draw: Draw) -> None:
    """Send one draw along the positive copper to its sources."""
    start = Contact(draw.part.id, draw.inside, "positive")
    ways = _ways(flows, start)
    if not ways:
        flows.unfed.append(draw.part.id)
        return
    for source, links in ways:
        _along(flows, links, draw, 1 / len(ways))
        _into(flows, source, draw, 1 / len(ways), {source.owner})


def _along(flows: Flows, links: Way, draw: Draw, share: float) -> None:
    for link, part in links.items():
        flows.by_link[link].add(draw, share * part)


def _into(flows: Flows, source: Link, draw: Draw, share: float, seen: set[str]) -> None:
    """Charge a source; where its low end hangs on another source, go down the stack."""
    flows.by_source[source.owner].add(draw, share)
    if not isinstance(flows.wiring.plan.parts[source.owner], Pack):
        return
    lower = [(s, way) for s, way in _ways(flows, source.a) if s.owner not in seen]
    for below, links in lower:
        _along(flows, links, draw, share / len(lower))
        _into(flows, below, draw, share / len(lower), seen | {below.owner})


def _ways(flows: Flows, start: Contact) -> list[tuple[Link, Way]]:
    """Return the sources whose high end is on the copper of `start`, each with the links to it.

    Where several ways are equally short, as with two supply plugs side by side, they share evenly.
    """
    before: dict[Contact, list[tuple[int, Contact]]] = {start: []}
    far = {start: 0}
    todo = deque([start])
    while todo:
        here = todo.popleft()
        for number, there in flows._links.get(here, ()):
            if there not in far:
                far[there], before[there] = far[here] + 1, []
                todo.append(there)
            if far[there] == far[here] + 1:
                before[there].append((number, here))
    return [(s, _shares(before, far, s.b)) for s in flows._sources if s.b in before]


def _shares(
    before: dict[Contact, list[tuple[int, Contact]]], far: dict[Contact, int], end: Contact
) -> Way:
    """Split one unit of current evenly at every fork on the way back from a source."""
    shares: Way = {}
    layer = {end: 1.0}
    for _ in range(far[end]):
        nearer: dict[Contact, float] = defaultdict(float)
        for contact, share in layer.items():
            for link, step in before[contact]:
                part = share / len(before[contact])
                shares[link] = shares.get(link, 0.0) + part
                nearer[step] += part
        layer = nearer
    return shares


def efficiency(flows: Flows, kind: str) -> Figure | None:
    """Return the share of input power a switching supply gives on."""
    return from_catalogue(flows.wiring.plan, "regulators", kind or "switching", "efficiency")


def _inputs(flows: Flows) -> None:
    """What ESCs with a BEC and regulators draw from their pack to make their volts."""
    for name in sorted(flows.by_source):
        part = flows.wiring.plan.parts[name]
        if not isinstance(part, Esc | Regulator):
            continue
        volts_in = _volts_in(flows, name)
        if not volts_in:
            continue
        out = flows.by_source[name]
        bec = part.bec if isinstance(part, Esc) else part
        kind, volts = getattr(bec, "kind", ""), getattr(bec, "volts", 0.0)
        good = efficiency(flows, kind)
        linear = kind == "linear" or good is None
        ratio = 1.0 if linear else volts / volts_in / good.number  # type: ignore[union-attr]
        steady, burst = out.steady * ratio, out.burst * ratio
        _spread(flows, Draw(part, "battery", steady, burst, burst, "always", "its own output"))


def _volts_in(flows: Flows, name: str) -> float | None:
    low, high = (Contact(name, "battery", pin) for pin in ("negative", "positive"))
    volts = flows.wiring.nets.volts(low, high)
    return abs(volts) if volts else None


def _motors(flows: Flows) -> None:
    """Battery current at full throttle, drawn by the ESC a motor hangs on."""
    for motor in sorted(flows.wiring.plan.of(Motor), key=lambda m: m.id):
        mate = flows.wiring.by_plug.get((motor.id, "plug"))
        amps = stated(motor, "full-throttle", motor.full_throttle)
        if mate is None or mate.socket is None or amps is None:
            continue
        esc, full = mate.socket.part, amps.number
        _spread(flows, Draw(esc, "battery", full, full, full, "always", amps.origin))


def _by_port(flows: Flows) -> None:
    """Read the current of each port off the wire or inside link at its positive contact."""
    for number, flow in flows.by_link.items():
        link = flows.wiring.links[number]
        if link.kind is not LinkKind.MATE:
            continue
        for contact in (link.a, link.b):
            if contact.pin == "positive":
                flows.by_port[contact.part, contact.port] = flow
