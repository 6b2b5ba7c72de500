"""Packs: volts at rest and resistance of their cells, what they hold and may give, how they hang.

Reserve, cautious current, watt-hours; which hang side by side, and which feed a motor.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import TYPE_CHECKING

from harness.base.data import dataclass
from harness.catalogue.tables import FROM_PLAN
from harness.parts.contacts import Contact
from harness.parts.esc import Esc
from harness.parts.figure import Figure, rule_figure, stated
from harness.parts.pack import Pack
from harness.plan.plan import Plan
from harness.wiring.build import Wiring
from harness.wiring.fact import fact
from harness.wiring.ratings import motors_on

if TYPE_CHECKING:
    from networkx import MultiDiGraph

RESERVE = Figure(0.2, "our own assumption: a class without a reserve")

STEPS = tuple(range(0, 101, 10))
"""The charges, in percent, at which the catalogue gives a cell's volts."""


def packs_of(plan: Plan) -> list[Pack]:
    """Return the packs of a plan, by id."""
    return sorted(plan.of(Pack), key=lambda pack: pack.id)


def curve_of(plan: Plan, pack: Pack) -> list[float]:
    """Return the volts at rest of one cell, at the charges of `STEPS`."""
    values = [pack.known(plan.catalogue, f"ocv-{step}") for step in STEPS]
    known = [value.number for value in values if value is not None]
    if len(known) == len(STEPS):
        return known
    low, high = (pack.known(plan.catalogue, word) for word in ("empty", "full"))
    bottom, top = (low.number if low else 3.0), (high.number if high else 4.2)
    return [bottom + (top - bottom) * step / 100 for step in STEPS]


def rest_volts(plan: Plan, pack: Pack, charge: float) -> float:
    """Return the volts at rest of a whole pack that is `charge` full (0 to 1)."""
    return along(curve_of(plan, pack), pack, charge)


def along(curve: list[float], pack: Pack, charge: float) -> float:
    """The same, by the curve of its cells."""
    place = min(max(charge, 0.0), 1.0) * (len(STEPS) - 1)
    low = min(int(place), len(STEPS) - 2)
    return pack.cells * (curve[low] + (curve[low + 1] - curve[low]) * (place - low))


def charge_at(plan: Plan, pack: Pack, volts: float) -> float:
    """Return how full a pack is, 0 to 1, that shows `volts` at rest."""
    curve, cell = curve_of(plan, pack), volts / pack.cells
    if cell >= curve[-1]:
        return 1.0
    for low, (a, b) in enumerate(pairwise(curve)):
        if cell < b:
            return max(0.0, (low + (cell - a) / (b - a)) / (len(STEPS) - 1))
    return 1.0


def cell_ohms(plan: Plan, pack: Pack, *, stiff: bool = False) -> Figure:
    """Return the resistance of one cell at 20 degC: stated, or of its class by capacity and C rate.

    Cautious, so high, as a sag asks for; `stiff`: the other end, as what flows between packs or
    through a fault asks for. A cell of twice the capacity is two cells side by side; one made for
    twice the rate resists half, so that cells lose about the same volts at what their label says.
    """
    catalogue, row, ah = plan.catalogue, pack.row, pack.capacity
    of = pack.known(catalogue, "cell-resistance-capacity")
    size = of.number / ah if of and ah else 1.0
    usual = pack.known(catalogue, "cell-resistance")
    if usual is None:
        return Figure(0.01, "our own assumption: a class without a cell resistance")
    if pack.cell_resistance is not None:
        return usual
    usual = usual * size
    drop, low = (pack.known(catalogue, f"drop-at-rate{end}") for end in ("", "-low"))
    own_class = catalogue.require(*row, "cell-resistance").status == FROM_PLAN
    if own_class or drop is None or low is None:
        return usual
    if not pack.rate or not ah:
        least = pack.known(catalogue, "cell-resistance-low")
        return least * size if stiff and least else usual
    most = pack.known(catalogue, "rate-most")
    rate = pack.rate if stiff or most is None else min(pack.rate, most.number)
    ends = [usual, drop * (1 / (rate * ah))]
    if stiff:
        ends = [usual * (low.number / drop.number), low * (1 / (rate * ah))]
    return min(ends, key=lambda figure: figure.number)


def warmth_factor(plan: Plan, pack: Pack, temperature: float) -> float:
    """Return by how much the cells resist more than at 20 degC: straight up to 0 degC and on."""
    cold = pack.known(plan.catalogue, "cold-factor")
    extra = (cold.number if cold else 1.0) - 1.0
    return 1.0 + extra * max(0.0, (20.0 - temperature) / 20.0)


def cold_share(plan: Plan, pack: Pack, temperature: float) -> float:
    """Return what a pack gives of its capacity over that at 20 degC: straight to 0 and to -40."""
    found = pack.known(plan.catalogue, "cold-capacity")
    lost = 1.0 - (found.number if found else 1.0)
    return 1.0 - lost * min(max(0.0, (20.0 - temperature) / 20.0), 3.0)


def pack_ohms(plan: Plan, pack: Pack, temperature: float = 20.0, *, stiff: bool = False) -> float:
    """Return the resistance of all cells of a pack in ohm."""
    cell = cell_ohms(plan, pack, stiff=stiff)
    return pack.cells * cell.number * warmth_factor(plan, pack, temperature)


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
    return tuple(Energy(pack.id, watt_hours(plan, pack), limit) for pack in packs_of(plan))


def watt_hours(plan: Plan, pack: Pack) -> float | None:
    """Return what a pack holds, Wh: nominal volts of its cells times its capacity."""
    cell = pack.known(plan.catalogue, "nominal")
    if pack.capacity is None or cell is None:
        return None
    return cell.number * pack.cells * pack.capacity


def reserve_of(plan: Plan, pack: Pack) -> Figure:
    """Return how much of a pack stays in it at landing, 0 to 1."""
    if plan.reserve is not None:
        return Figure(plan.reserve, "the plan's reserve")
    return pack.known(plan.catalogue, "reserve") or RESERVE


def cautious_limit(plan: Plan, pack: Pack) -> Figure | None:
    """Return what a pack gives continuously in A: rate x capacity x trust in the label."""
    trust = pack.known(plan.catalogue, "label-trust")
    label = label_limit(pack)
    if label is None or trust is None:
        return None
    return Figure(label.number * trust.number, f"{label.origin}; {trust.origin}")


def label_limit(pack: Pack) -> Figure | None:
    """Return what the label of a pack says it gives, in A: rate x capacity."""
    if not pack.rate or not pack.capacity:
        return None
    return Figure(pack.rate * pack.capacity, f"plan line {pack.at('rate').line}")


def known_rest(plan: Plan, pack: Pack) -> Figure | None:
    """Return the volts at rest of a pack as the plan has them: metered, or by its stated charge."""
    if pack.volts is not None or pack.charge is None:
        return stated(pack, "volts", pack.volts)
    charge = stated(pack, "charge", pack.charge)
    return charge and Figure(rest_volts(plan, pack, pack.charge), f"by its charge, {charge.origin}")


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
    packs = {pack.id: pack for pack in packs_of(wiring.plan)}
    for name, pack in packs.items():
        low, high = poles(wiring, pack)
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
    for pack in packs_of(wiring.plan):
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


def damage_volts(plan: Plan, pack: Pack) -> Figure | None:
    """Return the volts of a whole pack below which its cells take damage."""
    cell = pack.known(plan.catalogue, "damage")
    return cell * pack.cells if cell else None


def cut_off(wiring: Wiring, esc: Esc) -> Figure | None:
    """Return the battery volts at which an ESC cuts its motors; None where it does not.

    As stated a cell, else the catalogue's for the chemistry, times the cells of its longest chain.
    """
    chains = pack_chains(wiring, esc)
    if esc.cut_off == "none" or not chains:
        return None
    longest = max(chains, key=lambda chain: sum(pack.cells for pack in chain))
    own = stated(esc, "cut-off", esc.cut_off)
    each = [own or pack.known(wiring.plan.catalogue, "cut-off") for pack in longest]
    known = [figure for figure in each if figure is not None]
    if len(known) < len(each):
        return None
    volts = sum(one.number * pack.cells for one, pack in zip(known, longest, strict=True))
    return Figure(volts, known[0].origin)
