"""Which joins a run goes through, and which groups of a diagram show them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from harness.diagram.trace import ends_of, traced
from harness.facts.of_leads import Facts
from harness.parts.contacts import Contact, Port
from harness.parts.part import Part
from harness.wiring.build import Mate, PortId, Wiring
from harness.wiring.graph import SupplyWay, entries, feeding, ways_to


def run_of(wiring: Wiring, plug: Port) -> list[Mate]:
    """Return the joins of a lead's run: up to receiver or pack, down to its devices and motors."""
    found = traced(wiring, [plug.id])
    sockets = {m.socket.id for m in found if m.socket is not None}
    escs = [m.plug.part.id for m in found if m.plug.part.drives]
    if plug.part.spins:
        escs += [part for part, _ in sockets]
        found += [m for part in escs for m in traced(wiring, _plugs(wiring, part))]
    found += [m for esc in escs for m in wiring.by_socket.get((esc, "motor"), ())]
    return _once(found)


def runs_of_part(wiring: Wiring, part: Part) -> list[Mate]:
    """Return the joins of every run through a part's plugs and sockets."""
    if part.across:
        return []
    found: list[Mate] = []
    for port in wiring.by_part[part.id]:
        mates = [wiring.by_plug[port.id]] if port.id in wiring.by_plug else []
        for mate in (*mates, *wiring.by_socket.get(port.id, ())):
            found += run_of(wiring, mate.plug)
    return _once(found)


def supplying(facts: Facts, run: Iterable[Mate], part: Part | None = None) -> list[Mate]:
    """Return the joins that bring supply to a part, or else to the devices of a run."""
    wiring = facts.wiring
    mates = list(run)
    plan = wiring.plan.parts
    names = {part.id} if part is not None else ends_of(mates) & set(plan)
    starts = [start for name in sorted(names) for start in entries(wiring, plan[name])]
    found: list[Mate] = []
    for start in starts:
        found += _fed(facts, start, set())
    known = {mate.plug.id for mate in mates}
    return [mate for mate in _once(found) if mate.plug.id not in known]


def _fed(facts: Facts, start: Contact, seen: set[str]) -> list[Mate]:
    """Return the joins from a contact to each source, and on to what feeds that source."""
    found: list[Mate] = []
    for way in ways_to(facts.wiring, start):
        owner = way.source.owner
        if owner in seen:
            continue
        seen.add(owner)
        found += _beside(facts.wiring, way)
        below = feeding(facts.wiring, way.source)
        found += _fed(facts, below, seen) if below else []
        if facts.wiring.plan.parts[owner].holds_cells:  # it may stand on another in series
            found += _fed(facts, way.source.a, seen)
    return found


def _beside(wiring: Wiring, way: SupplyWay) -> list[Mate]:
    """Return the joins of a way, with those that lie side by side with them."""
    own = way.mates(wiring)
    pairs = {(m.plug.part.id, m.socket.part.id) for m in own if m.socket is not None}
    return [
        m for m in wiring.mates
        if m.socket is not None and (m.plug.part.id, m.socket.part.id) in pairs
        and "positive" not in m.join.pulled
    ]  # fmt: skip


def _plugs(wiring: Wiring, part: str) -> list[PortId]:
    return [port.id for port in wiring.by_part[part] if port.is_plug]


def _once(mates: Iterable[Mate]) -> list[Mate]:
    return list({mate.plug.id: mate for mate in mates}.values())


def groups_of_part(name: str) -> tuple[str, ...]:
    """Return the groups that show a part: its picture, or its place and words drawn to scale."""
    return f"part-{name}", f"there-{name}", f"told-{name}"


def groups_of(run: Sequence[Mate], parts: set[str]) -> tuple[str, ...]:
    """Return the groups of a diagram that show joins and the parts at their ends."""
    found = [group for name in sorted(ends_of(run) | parts) for group in groups_of_part(name)]
    for mate in run:
        name = ".".join(mate.plug.id)
        kinds = ("lead", "flag", "current", "band", "beyond", "nowhere")
        found += [f"{kind}-{name}" for kind in kinds]
        if mate.socket is not None:
            found.append(f"flag-{'.'.join(mate.socket.id)}")
            found.append(f"part-{mate.socket.part.id}/way-{mate.socket.name}")
        found.append(f"part-{mate.plug.part.id}/trunk")
    return tuple(dict.fromkeys(found))
