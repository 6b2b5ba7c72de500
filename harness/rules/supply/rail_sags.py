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

from harness.base.finding import Finding, Severity
from harness.facts.currents import assumed_on, case_numbers, currents, when
from harness.facts.rails import name_of, rails
from harness.facts.supplied import (
    IdleRail,
    asked_too_much,
    idle_rails,
    logic_overloads,
    too_few_volts,
)
from harness.facts.wording import volts, volts_line
from harness.parts.autopilot import Autopilot
from harness.parts.receiver import Receiver
from harness.parts.sequencer import Sequencer
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.graph import ways_to

TINY = 1e-6
"""V."""


@rule(Severity.WARNING, Severity.ERROR, solved=True)
def check(desk: Desk) -> Findings:
    """Report the worst rail of each part once."""
    if currents(desk.wiring).shorted:
        return
    least = desk.figure("rail", "minimum").number
    for part in (*desk.plan.of(Receiver), *desk.plan.of(Autopilot), *desk.plan.of(Sequencer)):
        low = [
            (fed, case, rail)
            for rail in idle_rails(desk.wiring, part)
            if rail.idle > least + TINY and not _told_elsewhere(desk, rail)
            for fed, case in _low(desk, rail, least)
        ]
        fed, case, rail = min(low, key=lambda f: (round(f[0], 6), f[2].plus), default=(0, "", None))
        if rail is not None and _all_known(desk, rail):
            yield _finding(desk, rail, fed, case)


def _low(desk: Desk, rail: IdleRail, least: float) -> Iterator[tuple[float, str]]:
    """Yield the volts of a rail in each solved case in which they are too low.

    The minimum of a rail is for sticks stirred by hand, a load that lasts; for seconds, with
    everything stalled, a rail may fall to what its part works on.
    """
    outcome, own = currents(desk.wiring).outcome, rail.part.known(desk.plan.catalogue, "volts-min")
    for fed, case in zip(outcome.volts(rail.plus, rail.minus), outcome.cases, strict=True):
        limit = least if case.lasting else own.number if own else -math.inf
        if not math.isnan(fed) and currents(desk.wiring).counts(case) and fed < limit - TINY:
            yield float(fed), case.name


def _told_elsewhere(desk: Desk, rail: IdleRail) -> bool:
    """Whether another rule has told why: overload, a fight of sources, a pack that is too low."""
    wiring, part = desk.wiring, rail.part
    owners = {feed.source.owner for feed in rails(wiring).feeds(rail.plus)}
    if asked_too_much(wiring) & {part.id, *owners} or too_few_volts(wiring, rail.source):
        return True
    return part.id in logic_overloads(wiring)


def _all_known(desk: Desk, rail: IdleRail) -> bool:
    """List the wires on the way whose figures had to be assumed."""
    wiring = currents(desk.wiring).wiring
    number_of = {link: number for number, link in enumerate(wiring.links)}
    ways = ways_to(wiring, rail.plus)
    assumed = assumed_on(desk.wiring, {number_of[link] for way in ways for link in way.links})
    for a in assumed:
        desk.not_known(desk.plan.parts[a.part], f"{a.what} ({a.key})", a.key)
    return not assumed


def _finding(desk: Desk, rail: IdleRail, fed: float, case: str) -> Finding:
    part, limit = rail.part, desk.figure("rail", "minimum")
    own = part.known(desk.plan.catalogue, "volts-min")
    severity, wants = Severity.WARNING, "it is to have"
    if own is not None and fed < own.number - TINY:
        limit, severity, wants = own, Severity.ERROR, "it works on"
    plug = currents(desk.wiring).wiring.by_plug.get((rail.source.id, "plug"))
    which = "logic" if rail.plus.port == "logic" else "rail"
    return check.finding(
        f"the {which} of {part.named()} sags to {volts(round(fed, 2))}{when(case)}, below the"
        f" {volts(limit.number)} {wants}, although {name_of(rail.source)} gives"
        f" {volts(round(rail.idle, 2))} without load",
        plug.span if plug else part.span,
        part,
        rail.source,
        severity=severity,
        help="shorter or thicker supply wires, a second supply lead, or a source of more volts"
        " that everything on the rail bears",
        numbers=(volts_line("limit", limit), *case_numbers(desk.wiring, case)),
    )
