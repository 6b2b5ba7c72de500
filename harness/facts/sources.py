"""Which of several sources on one rail stays, and which pins to pull to part the others."""

from __future__ import annotations

from dataclasses import dataclass

from harness.facts.rails import rails
from harness.parts.contacts import COPPER, Contact, Link, LinkKind
from harness.parts.part import Part
from harness.wiring.build import Wiring
from harness.wiring.graph import Tree, current_graph
from harness.wiring.mate import Mate


@dataclass(frozen=True, slots=True)
class Parting:
    """A plug at which two sources are parted: its red pin pulled, or all of it."""

    mate: Mate
    red: bool


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


def embattled(wiring: Wiring) -> set[str]:
    """Return the sources that fight on some rail: what volts there are is anybody's guess."""
    nets = (rivals(wiring, direct) for direct in rails(wiring).direct.values())
    return {link.owner for sources in nets if fighting(wiring, sources) for link in sources}


def _black_pulled(wiring: Wiring, owner: str) -> bool:
    mate = wiring.by_plug.get((owner, "plug"))
    pulled = mate.join.pulled if mate else ()
    return "negative" in pulled and "positive" not in pulled


def kept(wiring: Wiring, sources: list[Link]) -> Link:
    """Return the source to keep: a regulator or radio pack put there for it, then any pack.

    One that is itself fed by another of them is no use once that one is pulled.
    """
    owners = {link.owner for link in sources}

    def rank(link: Link) -> tuple[int, float, bool, str]:
        part = wiring.plan.parts[link.owner]
        order = 0 if part.regulates else 1 if part.holds_cells else 2
        bec = part.makes
        fed = any(join.part in owners for _, join in part.joins())
        return order, -((bec.rated or 0.0) if bec else 0.0), fed, part.id

    return min(sources, key=rank)


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
