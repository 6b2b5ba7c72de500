"""Ground loops: two speed controllers on one pack whose signal grounds meet.

The return current of a motor splits between the thick main negative and the thin signal grounds
by their resistance. Copper by ASTM B258 and IEC 60028; contacts by the catalogue.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field

from harness.base.wire import resistance
from harness.checks.poles import put_right
from harness.checks.rule import Desk
from harness.checks.ways import near_of, tree, way
from harness.reader.parts.common import Part
from harness.reader.parts.control import Autopilot, Receiver, Stabiliser
from harness.reader.parts.power import Esc, Pack, PowerLead
from harness.wiring.build import Wiring
from harness.wiring.figures import Figure, from_catalogue
from harness.wiring.model import Contact, Form, Link, LinkKind

Step = tuple[Link, Contact]


@dataclass
class Path:
    """The ohms of a way, each with its origin; `missing`: (part, fact, key) that nobody stated."""

    ohms: list[tuple[str, float, str]] = field(default_factory=list)
    missing: list[tuple[str, str, str]] = field(default_factory=list)

    @property
    def total(self) -> float:
        """All of it in ohm."""
        return sum(ohm for _, ohm, _ in self.ohms)


@dataclass(frozen=True, slots=True)
class Side:
    """One speed controller: its way to the pack and its way to the common signal ground."""

    esc: Esc
    main: Path
    lead: Path


def share(r1: float, i1: float, r2: float, i2: float, leads: float) -> float:
    """Return the current through the signal grounds of two ESCs on one pack, in A.

    `r1`, `r2`: ohm of the main negatives up to where they meet; `i1`, `i2`: A in each;
    `leads`: ohm of both signal grounds with their contacts (trade.md, common practice; it is
    Kirchhoff's laws for the one loop).
    """
    return (r1 * i1 - r2 * i2) / (r1 + r2 + leads)


def loops(desk: Desk) -> list[list[Side]]:
    """Return the ESCs of each closed ground loop: one pack's minus and one signal ground."""
    wiring = put_right(desk)
    main = near_of(wiring.links, lambda link: not _lead_side(wiring, link))
    lead = near_of(wiring.links, lambda link: _lead_side(wiring, link))
    groups: dict[tuple[Contact, Contact], list[Esc]] = defaultdict(list)
    trees = {}
    for root in _packs(wiring):
        trees[root] = tree(main, root)
    for root in _boxes(wiring):
        trees[root] = tree(lead, root)
    packs, boxes = _packs(wiring), _boxes(wiring)
    for esc in desk.plan.of(Esc):
        one = next((r for r in packs if _minus(esc, "battery") in trees[r]), None)
        two = next((r for r in boxes if _minus(esc, "body") in trees[r]), None)
        if not esc.isolated and one is not None and two is not None:
            groups[one, two].append(esc)
    found = []
    for (one, two), escs in groups.items():
        mains = [way(trees[one], _minus(esc, "battery")) for esc in escs]
        leads = [way(trees[two], _minus(esc, "body")) for esc in escs]
        if len(escs) > 1:
            found.append(_sides(desk, wiring, escs, mains, leads))
    return found


def _minus(esc: Esc, inside: str) -> Contact:
    return Contact(esc.id, inside, "negative")


def _lead_side(wiring: Wiring, link: Link) -> bool:
    """Whether a link belongs to the 3-pin leads and the boxes they go to."""
    for contact in (link.a, link.b):
        port = wiring.ports.get((contact.part, contact.port))
        if port is not None and port.form is not Form.THREE_PIN:
            return False
        if contact.port in {"battery", "cells", "node", "tap"}:
            return False
    return True


def _packs(wiring: Wiring) -> list[Contact]:
    names = sorted(pack.id for pack in wiring.plan.of(Pack) if pack.plug is None)
    return [Contact(name, "cells", "negative") for name in names]


def _boxes(wiring: Wiring) -> list[Contact]:
    """Where signal grounds meet: boxes first, else any lead's plug."""
    boxes: list[str] = [part.id for part in wiring.plan.of(Receiver)]
    boxes += [part.id for part in wiring.plan.of(Autopilot)]
    boxes += [part.id for part in wiring.plan.of(Stabiliser)]
    return [Contact(name, "rail", "negative") for name in sorted(boxes)]


def _sides(
    desk: Desk, wiring: Wiring, escs: list[Esc], mains: list[list[Step]], leads: list[list[Step]]
) -> list[Side]:
    return [
        Side(esc, _path(desk, wiring, main, mains), _path(desk, wiring, lead, leads))
        for esc, main, lead in zip(escs, mains, leads, strict=True)
    ]


def _path(desk: Desk, wiring: Wiring, steps: list[Step], all_: list[list[Step]]) -> Path:
    """Add up a way to where it meets another one."""
    used = Counter(link for other in all_ for link, _ in other)
    found, leads = Path(), set()
    for link, _ in steps:
        if used[link] > 1:
            break
        if link.kind is LinkKind.MATE:
            _contact(desk, wiring, link, found)
        elif link.kind is LinkKind.WIRE:
            part = desk.plan.parts[link.owner]
            if not (isinstance(part, PowerLead) and link.owner in leads):
                _copper(link, part, found)
            leads.add(link.owner)
    return found


def _contact(desk: Desk, wiring: Wiring, link: Link, found: Path) -> None:
    port = wiring.ports[link.a.part, link.a.port]
    other = wiring.ports[link.b.part, link.b.port]
    if port.form is Form.THREE_PIN:
        figure = from_catalogue(desk.plan, "plugs", "servo-3pin", "contact-resistance-high")
    else:
        name = port.connector or other.connector
        figure = from_catalogue(desk.plan, "plugs", name, "contact-resistance")
    if figure is None:
        found.missing.append(
            (link.owner, "the class of its battery connector (connector)", "connector")
        )
    else:
        found.ohms.append((f"contact of {port.short}", figure.number, figure.origin))


def _copper(link: Link, part: Part, found: Path) -> None:
    """A lead's stated length is that of each of its branches."""
    wire, own, shared = link.wire, link.owner, getattr(part, "kind", "") == "parallel"
    signal = isinstance(part, Esc) and "plug" in {link.a.port, link.b.port}
    before, wires = ("lead-", "signal lead") if signal else ("", "wires")
    size = wire.size if wire else None
    length = wire.length if wire else None
    if size is None:
        found.missing.append((own, f"the gauge of its {wires} ({before}wire)", f"{before}wire"))
    if length is None:
        found.missing.append(
            (own, f"the length of its {wires} ({before}length)", before + "length")
        )
    if size is not None and length is not None:
        words = f"{length:g} mm of {size.text}" + (", one branch" if shared else "")
        figure = Figure(resistance(size, length), "ASTM B258, IEC 60028, 20 degC")
        found.ohms.append((f"{own}, {words}", figure.number, figure.origin))
