"""What feeds a positive net and at how many volts, and which of several sources stays.

All of it is asked of the wiring with faults of polarity and open places at fault put right, so that
such a fault is reported once, by its own rule.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from typing import TYPE_CHECKING

from harness.base.data import dataclass, replace
from harness.base.near import spoken
from harness.base.span import Span
from harness.facts.battery import pack_volts
from harness.facts.currents import over, sold
from harness.facts.fed import put_right
from harness.parts.contacts import COPPER, Contact, Form, Link, LinkKind
from harness.parts.figure import Figure, from_catalogue, rule_figure
from harness.parts.part import Part
from harness.wiring.build import Mate, Wiring
from harness.wiring.fact import fact
from harness.wiring.graph import Tree, current_graph
from harness.wiring.live import live
from harness.wiring.nets import Nets

if TYPE_CHECKING:
    from networkx import DiGraph

    from harness.facts.currents import Joint


@dataclass(frozen=True, slots=True)
class RailFeed:
    """A source whose plus reaches a net; `drop` is what the diodes on the way take, V."""

    source: Link
    drop: float = 0.0


@dataclass(frozen=True, slots=True)
class FedPart:
    """A part that takes its supply from a rail, with both of its contacts."""

    part: Part
    positive: Contact
    negative: Contact


@fact
def rails(wiring: Wiring) -> Rails:
    """Return what feeds what."""
    return Rails.of(wiring)


@dataclass
class Rails:
    """Direct sources that give by net, and the diodes from net to net with their drop."""

    wiring: Wiring
    direct: dict[Contact, list[Link]]
    diodes: DiGraph[Contact]

    @classmethod
    def of(cls, wiring: Wiring) -> Rails:
        """Sort the sources and diodes of a plan by net."""
        from networkx import DiGraph

        wiring = put_right(wiring)
        root, giving = wiring.nets.root, live(wiring).giving
        direct: dict[Contact, list[Link]] = defaultdict(list)
        diodes: DiGraph[Contact] = DiGraph()
        for link in wiring.links:
            if link.kind is LinkKind.SOURCE:
                if link.owner in giving:
                    direct[root[link.b]].append(link)
            elif link.kind is LinkKind.DIODE and not diodes.has_edge(root[link.a], root[link.b]):
                diodes.add_edge(root[link.a], root[link.b], drop=_drop(wiring, link))
        return cls(wiring, dict(direct), diodes)

    def boxes(self, contact: Contact) -> list[Part]:
        """Return the parts whose rail a contact's net is, by id."""
        net = self.wiring.nets.net(contact)
        names = {inner.part for inner in net if inner.port in {"rail", "logic"}}
        return [self.wiring.plan.parts[name] for name in sorted(names)]

    def feeds(self, contact: Contact) -> list[RailFeed]:
        """Return the sources of a contact's net, the straight ones first."""
        from networkx import bfs_edges

        start = self.wiring.nets.root.get(contact, contact)
        drops = {start: 0.0}
        if start in self.diodes:
            for net, before in bfs_edges(self.diodes, start, reverse=True):
                drops[before] = drops[net] + self.diodes.edges[before, net]["drop"]
        return [
            RailFeed(link, drop) for net, drop in drops.items() for link in self.direct.get(net, ())
        ]


def _drop(wiring: Wiring, link: Link) -> float:
    """The least a diode takes: what counts when the volts may be too high."""
    part = wiring.plan.parts[link.owner]
    low = from_catalogue(wiring.plan.catalogue, *part.row, "drop-low")
    figure = low or from_catalogue(wiring.plan.catalogue, *part.row, "drop")
    return figure.number if figure else 0.0


def consumers(wiring: Wiring) -> Iterator[FedPart]:
    """Yield the parts that take a supply, in file order; bare-motor legs take none of their own."""
    for part in wiring.plan.parts.values():
        inside = part.fed_at
        if not inside:
            continue
        plus = Contact(part.id, inside, "positive")
        minus = Contact(part.id, "rail" if inside == "logic" else inside, "negative")
        if plus in put_right(wiring).nets.root:
            yield FedPart(part, plus, minus)


def source_volts(wiring: Wiring, part: Part, state: str) -> Figure | None:
    """Return the volts of a pack in a state, or of a BEC.

    A BEC gives what was metered, else what is stated.
    """
    if part.holds_cells:
        return pack_volts(wiring.plan, part, state)
    bec = part.makes
    if bec is None:
        return None
    word, number = ("volts", bec.volts) if bec.metered is None else ("metered", bec.metered)
    return Figure(number, f"plan line {bec.spans[word].line}" if word in bec.spans else "plan")


def meter_shift(wiring: Wiring, part: Part) -> float:
    """Return by how much a supply was metered off what it should give, V; 0 where too far off."""
    allowed, bec = rule_figure(wiring.plan.catalogue, "metered", "allowance").number, part.makes
    if bec is None or bec.metered is None:
        return 0.0
    off = bec.metered - bec.volts
    return 0.0 if over(abs(off), allowed * bec.volts) else off


@fact
def _states(wiring: Wiring) -> dict[str, Nets]:
    return {}


def nets_at(wiring: Wiring, state: str) -> Nets:
    """Return the potentials with every pack "full", "nominal" or "empty"."""
    kept = _states(wiring)
    if state not in kept:
        wiring = put_right(wiring)
        sources = (link for link in wiring.links if link.kind is LinkKind.SOURCE)
        kept[state] = wiring.nets.fed_by(_in_state(wiring, link, state) for link in sources)
    return kept[state]


def _in_state(wiring: Wiring, link: Link, state: str) -> Link:
    figure = source_volts(wiring, wiring.plan.parts[link.owner], state)
    return replace(link, volts=figure.number) if figure else link


def volts_from(wiring: Wiring, feed: RailFeed, minus: Contact, state: str) -> float | None:
    """Return what a feed puts between a net and a minus; None when the minus is not tied to it."""
    low = nets_at(wiring, state).volts(minus, feed.source.a)
    figure = source_volts(wiring, wiring.plan.parts[feed.source.owner], state)
    if low is None or figure is None:
        return None
    return low + figure.number - feed.drop


@dataclass(frozen=True, slots=True)
class Parting:
    """A plug at which two sources are parted: its red pin pulled, or all of it."""

    mate: Mate
    red: bool


def one_lead(wiring: Wiring, box: str) -> Part | None:
    """Return what feeds a rail and has but one lead for it: an ESC's BEC, a pack; or None.

    A regulator can be had with several.
    """
    feeds = rails(wiring).feeds(Contact(box, "rail", "positive"))
    parts = (wiring.plan.parts[feed.source.owner] for feed in feeds)
    return next((part for part in parts if not part.regulates), None)


def from_a_regulator(wiring: Wiring, source: Part, joint: Joint, leads: int) -> str:
    """Say how a rail is fed instead by what has several leads."""
    off = "pull its red pin" if source.drives else "unplug it"
    steady, burst = (sold(wiring, need) for need in (joint.flow.steady, joint.flow.burst))
    own = "" if source.drives or not joint.mate.socket else joint.mate.socket.name
    return (
        f"{source.maker} has one lead: {off} and feed {joint.rail} from a regulator of {steady} and"
        f" {burst} for seconds, {by_leads(wiring, joint.rail, leads, own)}"
    )


def by_leads(wiring: Wiring, box: str, leads: int, own: str = "") -> str:
    """Say into which sockets supply leads go; `own` is to be had. Those for supply come first."""
    every = [
        p
        for p in wiring.by_part[box]
        if not p.is_plug
        and Form.THREE_PIN in p.forms
        and not p.data
        and (p.name == own or not wiring.by_socket.get(p.id))
    ]
    every.sort(key=lambda port: (port.name != own, port.channel != ""))
    free = spoken(port.short for port in every[:leads])
    if len(every) >= leads:
        return f"by {leads} leads into {free}"
    but = f"only {free} {'is' if len(every) == 1 else 'are'}" if every else "no socket is"
    return f"by {leads} leads; {but} free for them: free more, or feed some servos elsewhere"


def name_of(part: Part) -> str:
    """Name a source: a pack, a regulator, or the BEC of an ESC."""
    return part.maker


def fighting(wiring: Wiring, sources: list[Link]) -> bool:
    """Say whether the sources on one net are more than one, packs joined on purpose aside."""
    parts = [wiring.plan.parts[link.owner] for link in sources]
    radio = [part for part in parts if part.feeds_radio]
    made = [part for part in parts if part.makes is not None]
    return len(parts) > 1 and (bool(made) or len(radio) > 1)


def rivals(wiring: Wiring, sources: list[Link]) -> list[Link]:
    """Return the sources of a net that can drive current into each other: their minus meets too.

    One whose black pin is pulled instead of the red one is `signal-without-ground`'s: that rule
    has both pins put right.
    """
    wiring = rails(wiring).wiring
    left = [link for link in sources if not _black_pulled(wiring, link.owner)]
    groups: dict[Contact, list[Link]] = {}
    for link in left:
        groups.setdefault(wiring.nets.root[link.a], []).append(link)
    return max(groups.values(), key=len, default=[])


@dataclass(frozen=True, slots=True)
class Fight:
    """Sources that feed one positive net at once, by id: which to keep, where to part the others.

    `volts`: of each full source, where they are known; `drives`: whether one drives current into
    another; `span`: where the plan has the first plug to part, else the last source.
    """

    sources: list[Link]
    keep: Link
    pulls: list[Parting]
    volts: list[tuple[Part, Figure]]
    drives: bool
    span: Span


@fact
def fights(wiring: Wiring) -> tuple[Fight, ...]:
    """Return each positive net that has more than one source."""
    nets = (rivals(wiring, direct) for direct in rails(wiring).direct.values())
    return tuple(
        _fight(wiring, sorted(sources, key=lambda link: link.owner))
        for sources in nets
        if fighting(wiring, sources)
    )


def _fight(wiring: Wiring, sources: list[Link]) -> Fight:
    keep = kept(wiring, sources)
    pulls = cuts(rails(wiring).wiring, sources, keep)
    parts = [wiring.plan.parts[link.owner] for link in sources]
    at = [(part, figure) for part in parts if (figure := source_volts(wiring, part, "full"))]
    apart = len({round(figure.number, 3) for _, figure in at}) > 1
    drives = apart or any(part.holds_cells for part in parts)
    return Fight(sources, keep, pulls, at, drives, pulls[0].mate.span if pulls else parts[-1].span)


def embattled(wiring: Wiring) -> set[str]:
    """Return the sources that fight on some rail: what volts there are is anybody's guess."""
    return {link.owner for fight in fights(wiring) for link in fight.sources}


def _black_pulled(wiring: Wiring, owner: str) -> bool:
    mate = wiring.by_plug.get((owner, "plug"))
    pulled = mate.join.pulled if mate else ()
    return "negative" in pulled and "positive" not in pulled


def kept(wiring: Wiring, sources: list[Link]) -> Link:
    """Return the source to keep: a regulator or radio pack put there for it, then any pack.

    One that is itself fed by another of them is no use once that one is pulled, and one that gives
    more than some part on the rail bears is kept last of all.
    """
    owners = {link.owner for link in sources}
    high = too_high(wiring, sources) if len(sources) > 1 else set()

    def rank(link: Link) -> tuple[bool, int, float, bool, str]:
        part = wiring.plan.parts[link.owner]
        order = 0 if part.regulates else 1 if part.holds_cells else 2
        bec = part.makes
        fed = any(join.part in owners for _, join in part.joins())
        return part.id in high, order, -((bec.rated or 0.0) if bec else 0.0), fed, part.id

    return min(sources, key=rank)


def too_high(wiring: Wiring, sources: list[Link]) -> set[str]:
    """Return those of some sources that, full, give more than a part on their rail bears."""
    plan, owners = wiring.plan, {link.owner for link in sources}
    bears = [
        limit.number
        for on in consumers(wiring)
        if owners & {feed.source.owner for feed in rails(wiring).feeds(on.positive)}
        and (limit := on.part.known(plan.catalogue, "volts-max"))
    ]
    full = {name: source_volts(wiring, plan.parts[name], "full") for name in owners}
    most = min(bears, default=float("inf"))
    return {name for name, figure in full.items() if figure and figure.number > most + 1e-6}


def cuts(wiring: Wiring, sources: list[Link], keep: Link) -> list[Parting]:
    """Return where to part every other source from the one that stays, by id."""
    tree = Tree(current_graph(k for k in wiring.links if k.kind in COPPER), keep.b)
    found: dict[tuple[str, str], Parting] = {}
    for link in sources:
        if link is not keep:
            cut = _cut(wiring, link, list(tree.way(link.b)))
            if cut is not None:
                found[cut.mate.plug.id] = cut
    return sorted(found.values(), key=lambda cut: cut.mate.plug.id)


def _cut(wiring: Wiring, link: Link, steps: list[Link]) -> Parting | None:
    """Part a sequencer with its own supply at its input lead, an ESC at its signal lead."""
    mates = [wiring.by_plug[s.a.part, s.a.port] for s in steps if s.kind is LinkKind.MATE]
    joining = [m for m in mates if m.plug.part.carries_signal and len(m.plug.part.joins()) > 1]
    if joining:
        return Parting(joining[-1], red=True)
    boxes = [m for m in mates if m.plug.part.sequences and m.plug.name == "plug"]
    own = [m for m in boxes if getattr(m.plug.part, "supply", None)]
    if own:
        return Parting(own[0], red=True)
    part = wiring.plan.parts[link.owner]
    if part.drives and (mate := wiring.by_plug.get((part.id, "plug"))):
        return Parting(mate, red=True)
    near = next((m for m in mates if _touches(m, part)), None)
    return Parting(near, red=False) if near else None


def _touches(mate: Mate, part: Part) -> bool:
    return mate.plug.part is part or (mate.socket is not None and mate.socket.part is part)


def is_in_use(wiring: Wiring, part: Part) -> bool:
    """Say whether a supply reaches anything but itself."""
    nets = rails(wiring).wiring.nets
    net = nets.net(Contact(part.id, "body", "positive"))
    return any(c.port in {"rail", "logic", "body"} and c.part != part.id for c in net)


def bec_not_stated(wiring: Wiring, net: Contact) -> Part | None:
    """Return an ESC on a net of which nobody said whether it has a BEC."""
    contacts = rails(wiring).wiring.nets.net(net)
    names = sorted({contact.part for contact in contacts if contact.port == "body"})
    parts = [wiring.plan.parts[name] for name in names]
    return next((part for part in parts if part.drives and part.bec is None), None)
