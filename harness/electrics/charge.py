"""What packs hold and may give: reserve, cautious current, watt-hours, which hang side by side."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness.electrics.packs import charge_at
from harness.parts.contacts import Contact
from harness.parts.esc import Esc
from harness.parts.figure import Figure, from_catalogue, rule_figure
from harness.parts.pack import Pack
from harness.plan.plan import Plan
from harness.wiring.build import Wiring
from harness.wiring.fact import fact
from harness.wiring.ratings import motors_on

if TYPE_CHECKING:
    from networkx import MultiDiGraph

RESERVE = Figure(0.2, "our own assumption: a class without a reserve")


@dataclass(frozen=True, slots=True)
class Energy:
    """What a pack holds in Wh (nominal volts x cells x capacity; None without a capacity).

    `limit`: what passengers may carry without approval, in Wh.
    """

    pack: str
    watt_hours: float | None
    limit: Figure

    @property
    def over(self) -> bool:
        """Whether it is above the limit."""
        return self.watt_hours is not None and self.watt_hours > self.limit.number


def energies(plan: Plan) -> tuple[Energy, ...]:
    """Return what each pack holds, by id."""
    limit = rule_figure(plan.catalogue, "travel", "limit")
    packs = sorted(plan.of(Pack), key=lambda pack: pack.id)
    return tuple(Energy(pack.id, watt_hours(plan, pack), limit) for pack in packs)


def watt_hours(plan: Plan, pack: Pack) -> float | None:
    """Return what a pack holds, Wh: nominal volts of its cells times its capacity."""
    cell = from_catalogue(plan.catalogue, "packs", pack.chemistry, "nominal")
    if pack.capacity is None or cell is None:
        return None
    return cell.number * pack.cells * pack.capacity


def reserve_of(plan: Plan, pack: Pack) -> Figure:
    """Return how much of a pack stays in it at landing, 0 to 1."""
    if plan.reserve is not None:
        return Figure(plan.reserve, "the plan's reserve")
    return from_catalogue(plan.catalogue, "packs", pack.chemistry, "reserve") or RESERVE


def cautious_limit(plan: Plan, pack: Pack) -> Figure | None:
    """Return what a pack gives continuously in A: rate x capacity x trust in the label."""
    trust = from_catalogue(plan.catalogue, "packs", pack.chemistry, "label-trust")
    label = label_limit(pack)
    if label is None or trust is None:
        return None
    return Figure(label.number * trust.number, f"{label.origin}; {trust.origin}")


def label_limit(pack: Pack) -> Figure | None:
    """Return what the label of a pack says it gives, in A: rate x capacity."""
    if not pack.rate or not pack.capacity:
        return None
    return Figure(pack.rate * pack.capacity, f"plan line {pack.at('rate').line}")


def start_charge(plan: Plan, pack: Pack) -> float:
    """Return how full a pack is at first: stated, or by its metered volts, or full."""
    if pack.charge is not None:
        return pack.charge
    return 1.0 if pack.volts is None else charge_at(plan, pack, pack.volts)


def poles(wiring: Wiring, pack: Pack) -> tuple[Contact, Contact]:
    """Return the nets of a pack's negative and positive."""
    low, high = (Contact(pack.id, "cells", pin) for pin in ("negative", "positive"))
    return wiring.nets.root[low], wiring.nets.root[high]


def joined_groups(wiring: Wiring) -> tuple[tuple[Pack, ...], ...]:
    """Return the packs that copper joins in a ring, side by side or stack by stack, by id.

    Each pack is an edge between the nets of its poles; what lies on a common ring is a block of
    that graph without a cut vertex.
    """
    from networkx import Graph, biconnected_components

    graph: Graph[object] = Graph()
    packs = {pack.id: pack for pack in wiring.plan.of(Pack)}
    for name in sorted(packs):
        low, high = poles(wiring, packs[name])
        if low != high:
            graph.add_edge(low, name)
            graph.add_edge(name, high)
    blocks = [sorted(packs.keys() & block) for block in biconnected_components(graph)]
    return tuple(tuple(packs[name] for name in block) for block in sorted(blocks) if len(block) > 1)


@fact
def _levels(wiring: Wiring) -> MultiDiGraph[Contact]:
    """From the net of each pack's positive a step down to that of its negative, by its id."""
    from networkx import MultiDiGraph

    graph: MultiDiGraph[Contact] = MultiDiGraph()
    for pack in sorted(wiring.plan.of(Pack), key=lambda pack: pack.id):
        low, high = poles(wiring, pack)
        graph.add_edge(high, low, pack.id)
    return graph


def _ends(wiring: Wiring, esc: Esc) -> list[Contact]:
    """Return the nets of an ESC's positive and negative on the battery side."""
    ends = (Contact(esc.id, "battery", pin) for pin in ("positive", "negative"))
    return [wiring.nets.root.get(end, end) for end in ends]


def motor_packs(wiring: Wiring) -> dict[str, tuple[str, ...]]:
    """Return the packs that feed the motors of each ESC, by the ESC's id."""
    escs = sorted(wiring.plan.of(Esc), key=lambda esc: esc.id)
    return {esc.id: _between(wiring, esc) for esc in escs if motors_on(wiring, esc)}


def pack_chains(wiring: Wiring, esc: Esc) -> tuple[tuple[Pack, ...], ...]:
    """Return every chain of packs from an ESC's positive down to its negative."""
    from networkx import all_simple_edge_paths

    graph, (top, bottom) = _levels(wiring), _ends(wiring, esc)
    if top not in graph or bottom not in graph:
        return ()
    packs: dict[object, Pack] = {pack.id: pack for pack in wiring.plan.of(Pack)}
    if top == bottom:  # shorted: each pack with both poles on that net
        loops = graph.out_edges(top, keys=True)
        return tuple((packs[name],) for _, low, name in loops if low == top)
    ways = all_simple_edge_paths(graph, top, bottom)
    return tuple(tuple(packs[name] for *_, name in way) for way in ways)


def _between(wiring: Wiring, esc: Esc) -> tuple[str, ...]:
    """Go down from an ESC's positive through one pack after the other to its negative."""
    from networkx import generic_bfs_edges

    graph, (top, bottom) = _levels(wiring), _ends(wiring, esc)
    if top not in graph or top == bottom:
        return ()

    def below(net: Contact) -> Iterator[Contact]:
        return iter(graph[net] if net != bottom else ())

    nets = {top, *(net for _, net in generic_bfs_edges(graph, top, below))} - {bottom}
    return tuple(sorted(name for *_, name in graph.out_edges(nets, keys=True)))
