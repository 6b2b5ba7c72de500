"""A rail sags below what the radio is to have, though its source gives enough.

What it looks for
    The volts on the rail of a receiver, an autopilot or a sequencer, where the source without load
    gives enough and the wires, plugs, switch and diodes on the way take too much: below 4.8 V in an
    operating case that lasts (a warning), or below what the part itself works on in any case (an
    error). Where the gauge or length of a wire on the way is not stated, that is listed instead.

Why it matters
    All servos working at once pull the rail down for a moment; a receiver that starts anew in the
    air takes seconds in which nothing answers the sticks.

An example that fails
    receivers:
      rx: {sockets: 6, supply-sockets: 2}
    servos:
      aileron-left: {class: 13g-metal-gear, moves: aileron, length: 250 mm, plug: rx.1}
      aileron-right: {class: 13g-metal-gear, moves: aileron, length: 250 mm, plug: rx.5}
      elevator: {class: 13g-metal-gear, moves: elevator, length: 250 mm, plug: rx.2}
    regulators:
      radio: {volts: 5 V, rated: 5 A, burst: 9 A, plug: rx.batt-1, wire: 26 AWG, length: 900 mm}

The same, mended
    receivers:
      rx: {sockets: 6, supply-sockets: 2}
    servos:
      aileron-left: {class: 13g-metal-gear, moves: aileron, length: 250 mm, plug: rx.1}
      aileron-right: {class: 13g-metal-gear, moves: aileron, length: 250 mm, plug: rx.5}
      elevator: {class: 13g-metal-gear, moves: elevator, length: 250 mm, plug: rx.2}
    regulators:
      radio: {volts: 6 V, rated: 5 A, burst: 9 A, plug: [rx.batt-1, rx.batt-2], wire: 20 AWG,
        length: 150 mm}

Where it comes from
    A rail at or above 4.8 V with the sticks stirred by hand: common practice; no published source.
    The volts are Ohm's law over the copper (ASTM B258, IEC 60028) and the catalogue's contacts.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from harness.base.finding import Finding, Severity
from harness.facts.bearing import case_numbers, over, when
from harness.facts.currents import currents
from harness.facts.radio_contacts import overloaded
from harness.facts.rail_volts import battery_volts
from harness.facts.rails import Feed, bec_of, rails, volts_from
from harness.facts.sources import embattled, name_of
from harness.facts.supplied import supplies_of
from harness.facts.wording import volts, with_origin
from harness.parts.autopilot import Autopilot
from harness.parts.contacts import Contact
from harness.parts.figure import from_catalogue, rule_figure, stated
from harness.parts.part import Part
from harness.parts.receiver import Receiver
from harness.parts.sequencer import Sequencer
from harness.rules.rule import Desk, rule
from harness.wiring.build import Wiring
from harness.wiring.fact import fact
from harness.wiring.limits import volts_limit
from harness.wiring.supply_ways import ways_to

TINY = 1e-6
"""V."""


@dataclass(frozen=True, slots=True)
class Rail:
    """A rail that has a source; `idle` is what the source gives without load, V."""

    part: Part
    plus: Contact
    minus: Contact
    source: Part
    idle: float


@rule(Severity.WARNING)
def check(desk: Desk) -> Iterator[Finding]:
    """Report the worst rail of each part once."""
    if currents(desk.wiring).shorted:
        return
    least = rule_figure(desk.plan.catalogue, "rail", "minimum").number
    for part in (*desk.plan.of(Receiver), *desk.plan.of(Autopilot), *desk.plan.of(Sequencer)):
        low = [
            (fed, case, rail)
            for rail in _rails(desk, part)
            if rail.idle > least + TINY and not _told_elsewhere(desk, rail)
            for fed, case in _low(desk, rail, least)
        ]
        fed, case, rail = min(low, key=lambda f: (round(f[0], 6), f[2].plus), default=(0, "", None))
        if rail is not None and _all_known(desk, rail):
            yield _finding(desk, rail, fed, case)


def _rails(desk: Desk, part: Part) -> Iterator[Rail]:
    minus = Contact(part.id, "rail", "negative")
    for inside in ("rail", "logic") if isinstance(part, Autopilot) else ("rail",):
        plus = Contact(part.id, inside, "positive")
        feeds = (
            rails(desk.wiring).feeds(plus) if plus in rails(desk.wiring).wiring.nets.root else []
        )
        known = [(idle, f) for f in feeds if (idle := _idle(desk, f, minus)) is not None]
        if known:
            idle, feed = max(known, key=lambda pair: (pair[0], pair[1].source.owner))
            yield Rail(part, plus, minus, desk.plan.parts[feed.source.owner], idle)


def _idle(desk: Desk, feed: Feed, minus: Contact) -> float | None:
    return volts_from(desk.wiring, feed, minus, "nominal")


def _low(desk: Desk, rail: Rail, least: float) -> Iterator[tuple[float, str]]:
    """Yield the volts of a rail in each solved case in which they are too low.

    The minimum of a rail is for sticks stirred by hand, a load that lasts; for seconds, with
    everything stalled, a rail may fall to what its part works on.
    """
    outcome, own = currents(desk.wiring).outcome, volts_limit(desk.plan, rail.part, "volts-min")
    for fed, case in zip(outcome.volts(rail.plus, rail.minus), outcome.cases, strict=True):
        limit = least if case.lasting else own.number if own else -math.inf
        if not math.isnan(fed) and currents(desk.wiring).counts(case) and fed < limit - TINY:
            yield float(fed), case.name


@fact
def _heavy(wiring: Wiring) -> frozenset[str]:
    """The rails whose supply plugs, and the supplies that, are asked too much anyway."""
    weak = {supply.part.id for supply in supplies_of(wiring) if supply.overloaded}
    return frozenset({joint.rail for joint in overloaded(wiring)} | weak | embattled(wiring))


def _told_elsewhere(desk: Desk, rail: Rail) -> bool:
    """Whether another rule has told why: overload, a fight of sources, a pack that is too low."""
    owners = {feed.source.owner for feed in rails(desk.wiring).feeds(rail.plus)}
    if _heavy(desk.wiring) & {rail.part.id, *owners}:
        return True
    bec, fed = bec_of(rail.source), battery_volts(desk.wiring, rail.source, "empty")
    more = from_catalogue(
        desk.plan.catalogue, "regulators", (bec and bec.kind) or "switching", "drop-out"
    )
    if bec is not None and fed is not None and more and fed < bec.volts + more.number - TINY:
        return True
    part = rail.part
    if not isinstance(part, Autopilot) or part.rail != "logic":
        return False
    limit = stated(part, "limit", part.limit)
    flow = currents(desk.wiring).out_of([(part.id, name) for name in part.sockets])
    return limit is not None and over(flow.burst, limit.number)


def _all_known(desk: Desk, rail: Rail) -> bool:
    """List the wires on the way whose figures had to be assumed."""
    flows, plan = currents(desk.wiring), desk.plan
    ohms, number_of = flows.outcome.net.ohms, {k: n for n, k in enumerate(flows.wiring.links)}
    ways = ways_to(flows.wiring, rail.plus)
    numbers = {number_of[link] for way in ways for link in way.links}
    found = {a for n in numbers if n in ohms for a in ohms[n].assumed}
    keyed = [a for a in found if hasattr(plan.parts[a.part], a.key.replace("-", "_"))]
    for a in sorted(keyed, key=lambda a: (a.part, a.key)):
        desk.not_known("rail-sags", plan.parts[a.part], f"{a.what} ({a.key})", a.key)
    return not keyed


def _finding(desk: Desk, rail: Rail, fed: float, case: str) -> Finding:
    least, part = rule_figure(desk.plan.catalogue, "rail", "minimum"), rail.part
    own = volts_limit(desk.plan, part, "volts-min")
    lost = own is not None and fed < own.number - TINY
    limit = own if lost and own is not None else least
    plug = currents(desk.wiring).wiring.by_plug.get((rail.source.id, "plug"))
    which = "logic" if rail.plus.port == "logic" else "rail"
    return check.finding(
        f"the {which} of {part.named()} sags to {volts(round(fed, 2))}{when(case)}, below the"
        f" {volts(limit.number)} {'it works on' if lost else 'it is to have'}, although"
        f" {name_of(rail.source)} gives {volts(round(rail.idle, 2))} without load",
        plug.span if plug else part.span,
        part,
        rail.source,
        severity=Severity.ERROR if lost else Severity.WARNING,
        help="shorter or thicker supply wires, a second supply lead, or a source of more volts"
        " that everything on the rail bears",
        numbers=(
            ("limit", with_origin(volts(limit.number), limit)),
            *case_numbers(desk.wiring, case),
        ),
    )
