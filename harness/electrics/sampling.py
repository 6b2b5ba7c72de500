"""What differs from one aeroplane to the next of the same plan, and draws of it.

Every span runs from a low to a high end, and the catalogue says no more than these ends: all
figures between them are taken to be equally likely (a uniform distribution), which favours
neither the middle nor the ends. What is not named here does not vary: lengths and gauges of
wire, temperatures, what motors and radio boxes draw.
"""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence

import numpy as np

from harness.base.data import dataclass
from harness.electrics.network import Network, Spread
from harness.electrics.packs import packs_of
from harness.electrics.solver.circuit import Array
from harness.parts.bec import supply_figure
from harness.parts.contacts import Link, LinkKind
from harness.parts.figure import Figure, from_catalogue
from harness.plan.plan import Plan
from harness.wiring.ratings import THREE_PIN, connector_of

METERED = Figure(0.005, "our own assumption: a hand meter reads volts to 0.5 %")
MEASURED = Figure(0.05, "our own assumption: a current or a resistance is measured to 5 %")

CONTACTS, CELLS, SET_POINTS, CURRENTS = "contacts", "cells", "set-points", "currents"


@dataclass(frozen=True, slots=True)
class SampledSpan:
    """One figure that varies: factors `low` and `high` of what the network takes, their origin.

    `group`: contacts, cells, set-points or currents; `unit`: what varies as one (a plug, a pack,
    a supply, a servo); `name`: which place of a unit varies by itself, the same in every plan
    that has it; `key`: what a Spread calls it.
    """

    group: str
    unit: str
    name: str
    key: str
    low: float
    high: float
    origin: str


@dataclass(frozen=True, slots=True)
class Corner:
    """Everything at an end of its span: 1 for strong, -1 for weak, 0 as in the catalogue.

    Strong feeds have good contacts, good cells and high set-points. `one` and `other` say it of
    every second plug, pack and supply, `currents` says which end servos and legs draw.
    """

    name: str
    one: int
    other: int
    currents: int


CORNERS = (
    Corner("as in the catalogue", 0, 0, 0),
    Corner("weak feeds, large currents", -1, -1, 1),
    Corner("strong feeds, small currents", 1, 1, -1),
    Corner("strong feeds, large currents", 1, 1, 1),
    Corner("weak feeds, small currents", -1, -1, -1),
    Corner("every second feed strong, large currents", 1, -1, 1),
    Corner("every other feed strong, large currents", -1, 1, 1),
)
"""The second has the lowest volts, the third the highest; the last two lean on one of two feeds."""


def spans_of(net: Network) -> tuple[SampledSpan, ...]:
    """Return every figure of a network that varies, by group and name."""
    found = [*_contacts(net), *_cells(net), *_set_points(net), *_currents(net)]
    return tuple(sorted(found, key=lambda span: (span.group, span.name, span.key)))


def spread_of(net: Network, kind: str = "monte-carlo", draws: int = 1000, seed: int = 1) -> Spread:
    """Return draws of everything that varies in a network (built for any cases).

    `kind`: "monte-carlo" for `draws` random ones, or "corners" for those of `CORNERS`. The same
    seed gives the same factor to the same plug, pack, supply or servo, whatever else is in the
    plan and in whatever order; fewer draws are the first of more. Raises ValueError for another
    kind, no draws, or a seed below 0.
    """
    spans = spans_of(net)
    if kind == "corners":
        return _gathered(len(CORNERS), spans, _at_corners(spans))
    if kind != "monte-carlo" or draws < 1 or seed < 0:
        raise ValueError(f"no such draws: {kind}, {draws} of them, seed {seed}")
    return _gathered(draws, spans, lambda span: _at_random(span, draws, seed))


def _at_random(span: SampledSpan, draws: int, seed: int) -> Array:
    """Each name has a stream of its own; hashing it leaves no two names with the same one."""
    name = hashlib.sha256(f"{span.group} {span.name}".encode()).digest()
    stream = np.random.SeedSequence([seed, int.from_bytes(name[:16], "big")])
    place = np.random.Generator(np.random.PCG64(stream)).random(draws)
    return np.asarray(span.low + (span.high - span.low) * place)


def _at_corners(spans: Sequence[SampledSpan]) -> Callable[[SampledSpan], Array]:
    """Plugs of one kind lie side by side in the order of units, and so do plug-1 and plug-2."""
    units: dict[tuple[str, str], set[str]] = defaultdict(set)
    for span in spans:
        units[_side_by_side(span)].add(span.unit)
    ranks = {
        (side, unit): rank for side, all_ in units.items() for rank, unit in enumerate(sorted(all_))
    }

    def factors(span: SampledSpan) -> Array:
        even = ranks[_side_by_side(span), span.unit] % 2 == 0
        return np.array([_end(span, corner, even) for corner in CORNERS])

    return factors


def _side_by_side(span: SampledSpan) -> tuple[str, str]:
    port = span.unit.partition(".")[2]
    return span.group, port.rstrip("0123456789").rstrip("-")


def _end(span: SampledSpan, corner: Corner, even: bool) -> float:
    strong = corner.one if even else corner.other
    high = {SET_POINTS: strong, CURRENTS: corner.currents}.get(span.group, -strong)
    return {-1: span.low, 0: 1.0, 1: span.high}[high]


def _gathered(
    draws: int, spans: Iterable[SampledSpan], of: Callable[[SampledSpan], Array]
) -> Spread:
    groups: dict[str, dict[str, Array]] = defaultdict(dict)
    for span in spans:
        groups[span.group][span.key] = of(span)
    return Spread(draws, *(groups[g] for g in (CONTACTS, CELLS, SET_POINTS, CURRENTS)))


def _contacts(net: Network) -> Iterator[SampledSpan]:
    for number, ohms in sorted(net.ohms.items()):
        if not ohms.contact:
            continue
        link = net.wiring.links[number]
        low, high, origin = _contact_ends(net, link)
        at = link.b if link.kind is LinkKind.INSIDE else link.a
        unit = f"{at.part}.{at.port}"
        yield SampledSpan(CONTACTS, unit, f"{unit}.{at.pin}", str(number), low, high, origin)


def _contact_ends(net: Network, link: Link) -> tuple[float, float, str]:
    """A class without ends of its own differs by as much as the 3-pin plug does."""
    plan, part = net.wiring.plan, net.wiring.plan.parts[link.owner]
    ports = (net.wiring.ports.get((end.part, end.port)) for end in (link.a, link.b))
    names = {connector_of(port) for port in ports if port is not None}
    if link.kind is LinkKind.INSIDE and part.circuits:
        names.add(part.connector)
    own = [ends for name in sorted(names) if (ends := _ends(plan, "plugs", name, CONTACT))]
    if own:
        return min(e[0] for e in own), max(e[1] for e in own), own[0][2]
    usual = _ends(plan, "plugs", THREE_PIN, CONTACT)
    assert usual is not None
    return usual[0], usual[1], f"our own assumption: as much as a 3-pin plug; {usual[2]}"


CONTACT = "contact-resistance"


def _ends(plan: Plan, table: str, row: str, key: str) -> tuple[float, float, str] | None:
    """Return low and high of a class as shares of its figure; None when it has neither."""
    usual = from_catalogue(plan.catalogue, table, row, key)
    ends = [from_catalogue(plan.catalogue, table, row, f"{key}-{end}") for end in ("low", "high")]
    known = [figure for figure in ends if figure is not None]
    if usual is None or usual.number <= 0 or not known:
        return None
    shares = [1.0, *(figure.number / usual.number for figure in known)]
    return min(shares), max(shares), known[0].origin


def _cells(net: Network) -> Iterator[SampledSpan]:
    """A pack differs as a whole: the cells of one are of one lot."""
    for pack in packs_of(net.wiring.plan):
        spread = pack.known(net.wiring.plan.catalogue, "resistance-spread")
        if pack.cell_resistance is not None:
            spread = MEASURED
        if spread is not None:
            yield _about(CELLS, pack.id, spread)


def _set_points(net: Network) -> Iterator[SampledSpan]:
    for name in sorted(net.converters):
        part = net.wiring.plan.parts[name]
        bec, spread = part.makes, supply_figure(part, net.wiring.plan.catalogue, "tolerance")
        assert bec is not None
        if bec.metered is not None:
            spread = METERED
        if spread is not None:
            yield _about(SET_POINTS, name, spread)


def _about(group: str, part: str, spread: Figure) -> SampledSpan:
    half = min(spread.number, 0.95)  # whatever a class says, nothing is without any resistance
    return SampledSpan(group, part, part, part, 1 - half, 1 + half, spread.origin)


def _currents(net: Network) -> Iterator[SampledSpan]:
    """A servo that draws much while moving draws much when held: one name, a span a state."""
    for demand in net.demands:
        part, plan = demand.part, net.wiring.plan
        for state, word in part.draw_keys.items():
            row, key = part.class_, f"{part.id} {state}"
            if getattr(part, word) is not None:
                low, high = 1 - MEASURED.number, 1 + MEASURED.number
                yield SampledSpan(CURRENTS, part.id, part.id, key, low, high, MEASURED.origin)
            elif ends := _ends(plan, part.row[0], row, word):
                yield SampledSpan(CURRENTS, part.id, part.id, key, *ends)
