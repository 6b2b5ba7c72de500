"""Simple sums of current: every draw follows the copper to its source, and the links add up.

Sources side by side share evenly, and so do ways side by side; a series stack carries the same
current at every level. The drop along the way is not part of these sums.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field

from harness.reader.parts.common import Part
from harness.reader.parts.control import Retract, Sequencer
from harness.reader.parts.power import Esc, Pack, Regulator
from harness.wiring.build import PortId, Wiring
from harness.wiring.draws import Draw, draw_of, esc_draws, motors_on
from harness.wiring.figures import Figure, from_catalogue
from harness.wiring.model import Contact, Form, Link, LinkKind
from harness.wiring.reach import Reach, steps_of


@dataclass
class Flow:
    """Current through one thing: what share of which draw passes."""

    shares: dict[Draw, float] = field(default_factory=dict)

    def add(self, draw: Draw, share: float) -> None:
        """Add a share of what one part draws."""
        self.shares[draw] = self.shares.get(draw, 0.0) + share

    def merge(self, other: Flow, share: float = 1.0) -> None:
        """Add a share of another flow."""
        for draw, part in other.shares.items():
            self.add(draw, part * share)

    @property
    def steady(self) -> float:
        """A continuously."""
        return sum(draw.steady * share for draw, share in self.shares.items())

    @property
    def burst(self) -> float:
        """A for seconds: the worst group stalls while all the other groups move freely."""
        return sum(self.peaks().values())

    @property
    def parts(self) -> list[str]:
        """The ids of what draws."""
        return sorted({draw.part.id for draw in self.shares})

    @property
    def missing(self) -> list[Draw]:
        """The draws that nobody knows."""
        return [draw for draw in self.shares if draw.missing]

    def worst_group(self) -> str:
        """Return the group whose stall adds most; ties go to the first by name."""
        extra: dict[str, float] = defaultdict(float)
        for draw, share in self.shares.items():
            if draw.together != "always":
                extra[draw.together] += (draw.stall - draw.moving) * share
        return min(extra, key=lambda group: (-extra[group], group), default="")

    def peaks(self) -> dict[Draw, float]:
        """Return what each draw adds to `burst`, in A."""
        worst = {self.worst_group(), "always"}
        return {
            draw: share * (draw.stall if draw.together in worst else draw.moving)
            for draw, share in self.shares.items()
        }


@dataclass
class Flows:
    """Flow by link number, by source part (pack, ESC with BEC, regulator) and by port.

    `demands` are the draws by the contact they hang on; `unfed` the ids of parts that draw
    but have no source; `fed_by` counts the sources that reach a contact.
    """

    wiring: Wiring
    by_link: dict[int, Flow] = field(default_factory=lambda: defaultdict(Flow))
    by_source: dict[str, Flow] = field(default_factory=dict)
    by_port: dict[PortId, Flow] = field(default_factory=dict)
    demands: dict[Contact, Flow] = field(default_factory=lambda: defaultdict(Flow))
    unfed: list[str] = field(default_factory=list)
    fed_by: Counter[Contact] = field(default_factory=Counter)

    def port(self, part: str, port: str) -> Flow:
        """Return the current through the positive contact of a port."""
        return self.by_port.get((part, port), Flow())

    def through(self, contact: Contact) -> Flow:
        """Return the current through a contact inside a part: what comes in goes out."""
        total = Flow()
        total.merge(self.demands.get(contact, Flow()), 0.5)
        for number, link in enumerate(self.wiring.links):
            if number in self.by_link and contact in (link.a, link.b):
                total.merge(self.by_link[number], 0.5)
        return total


def flows_of(wiring: Wiring) -> Flows:
    """Add up every draw of a plan."""
    flows = Flows(wiring)
    _place(flows)
    steps = steps_of(wiring.links)
    sources = [link for link in wiring.links if link.kind is LinkKind.SOURCE]
    sources.sort(key=lambda link: link.owner)
    reached = {source.owner: Reach.of(steps, source.b) for source in sources}
    flows.fed_by = Counter(contact for reach in reached.values() for contact in reach)
    for source in _downstream_first(sources, reached):
        total = _collect(flows, source, reached)
        flows.by_source[source.owner] = total
        _pass_on(flows, source, total)
    _list_unfed(flows)
    _by_port(flows)
    return flows


def _place(flows: Flows) -> None:
    """Hang every draw on its contact."""
    for part in sorted(flows.wiring.plan.parts.values(), key=lambda p: p.id):
        draw = draw_of(flows.wiring.plan, part)
        if draw is not None:
            flows.demands[_hangs_on(flows, draw)].add(draw, 1.0)
        if isinstance(part, Esc):
            for full in esc_draws(part, motors_on(flows.wiring, part)):
                flows.demands[Contact(part.id, "battery", "positive")].add(full, 1.0)


def _hangs_on(flows: Flows, draw: Draw) -> Contact:
    """A bare motor's current comes from the rail of the box that drives it."""
    mate = flows.wiring.by_plug.get((draw.part.id, "plug"))
    socket = mate.socket if mate and mate.fits else None
    if mate is None or socket is None or not isinstance(draw.part, Retract):
        return Contact(draw.part.id, draw.inside, "positive")
    if not isinstance(socket.part, Sequencer) or socket.form is not Form.TWO_WIRE:
        return Contact(draw.part.id, draw.inside, "positive")
    for port in (mate.plug, socket):
        flows.by_port[port.id] = Flow({draw: 1.0})
    return Contact(socket.part.id, "rail", "positive")


def _downstream_first(sources: list[Link], reached: dict[str, Reach]) -> list[Link]:
    """Order the sources so that each comes after all it feeds; a ring is cut somewhere."""
    inputs = {
        other.owner: (other.a, Contact(other.owner, "battery", "positive")) for other in sources
    }
    feeds = {
        owner: {o for o, ends in inputs.items() if o != owner and any(e in reach for e in ends)}
        for owner, reach in reached.items()
    }
    order: list[Link] = []
    rest = {source.owner: source for source in sources}
    while rest:
        ready = [owner for owner in rest if not feeds[owner] & rest.keys()]
        order += [rest.pop(owner) for owner in ready or list(rest)[:1]]
    return order


def _collect(flows: Flows, source: Link, reached: dict[str, Reach]) -> Flow:
    """Bring home a source's share of every draw it reaches, adding up the links on the way."""
    reach = reached[source.owner]
    here: dict[Contact, Flow] = defaultdict(Flow)
    for contact, wanted in flows.demands.items():
        if contact in reach:
            here[contact].merge(wanted, 1 / flows.fed_by[contact])
    for contact in reversed(reach.before):
        if contact in here:
            _send(flows, reach, contact, here)
    return here[reach.start]


def _send(flows: Flows, reach: Reach, contact: Contact, here: dict[Contact, Flow]) -> None:
    """Move what is wanted at a contact one step, or one block, nearer to the source."""
    number, nearer = reach.before[contact]
    entry, ways = reach.entry(contact), [[number]]
    if entry != contact:
        nearer, ways = entry, reach.ways(contact)
    for way in ways:
        for link in way:
            flows.by_link[link].merge(here[contact], 1 / len(ways))
    here[nearer].merge(here[contact])


def efficiency(flows: Flows, kind: str) -> Figure | None:
    """Return the share of input power a switching supply gives on; None for a linear one."""
    return from_catalogue(flows.wiring.plan, "regulators", kind or "switching", "efficiency")


def _pass_on(flows: Flows, source: Link, total: Flow) -> None:
    """What a source gives it takes from below: a pack in a stack, a BEC from its pack."""
    part = flows.wiring.plan.parts[source.owner]
    if isinstance(part, Pack):
        flows.demands[source.a].merge(_below(flows, source, total))
        return
    draw = _input(flows, part, source, total)
    if draw is not None:
        flows.demands[Contact(part.id, "battery", "positive")].add(draw, 1.0)


def _below(flows: Flows, source: Link, total: Flow) -> Flow:
    """Return what comes back below a pack; what is fed by it alone comes back to its own minus."""
    nets = flows.wiring.nets
    minus = {draw: Contact(draw.part.id, draw.inside, "negative") for draw in total.shares}
    return Flow({d: s for d, s in total.shares.items() if not nets.same(minus[d], source.a)})


def _input(flows: Flows, part: Part, source: Link, total: Flow) -> Draw | None:
    """A switching supply takes volts out / volts in / efficiency of what it gives."""
    low, high = (Contact(part.id, "battery", pin) for pin in ("negative", "positive"))
    volts_in = flows.wiring.nets.volts(low, high)
    if not volts_in or not total.shares or not isinstance(part, Esc | Regulator):
        return None
    bec = part.bec if isinstance(part, Esc) else part
    good = efficiency(flows, getattr(bec, "kind", ""))
    ratio = 1.0 if good is None else source.volts / abs(volts_in) / good.number
    steady, burst = total.steady * ratio, total.burst * ratio
    return Draw(part, "battery", steady, burst, burst, "always", "the sum of what it feeds")


def _list_unfed(flows: Flows) -> None:
    for contact, wanted in flows.demands.items():
        if flows.fed_by[contact]:
            continue
        own = [d for d in wanted.shares if d.inside == contact.port]
        names = [d.part.id for d in own if not (d.missing and isinstance(d.part, Esc))]
        flows.unfed += [name for name in names if name not in flows.unfed]


def _by_port(flows: Flows) -> None:
    """Read the current of each port off the mated pair at its positive contact."""
    for number, flow in flows.by_link.items():
        link = flows.wiring.links[number]
        if link.kind is not LinkKind.MATE:
            continue
        for contact in (link.a, link.b):
            if contact.pin == "positive":
                flows.by_port[contact.part, contact.port] = flow
