"""A source is fed backwards through its own output.

What it looks for
    A rail with one source straight on it and another that comes in through a diode. The diode
    saves its own source; the one without a diode is fed by the other when that has more volts, or
    as soon as its own pack is unplugged. How much flows is solved from the whole network, with
    the pack that has no diode empty and the other source full.

Why it matters
    A BEC fed backwards may wake its ESC or fail. A pack fed backwards is charged with no limit:
    a lithium pack treated so burns.

An example that fails
    receivers:
      rx: {sockets: 4, supply-sockets: 2}
    packs:
      first: {chemistry: nimh, cells: 5, plug: rx.batt-1}
      second: {chemistry: life, cells: 2, plug: guard.1}
    diodes:
      guard: {kind: schottky, plug: rx.batt-2}

The same, mended
    packs:
      first: {chemistry: nimh, cells: 5, plug: other-guard.1}
    diodes:
      other-guard: {kind: schottky, plug: rx.batt-1}

Where it comes from
    Common practice; no published source: a diode or isolator in each of several supplies.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.battery import driven_back
from harness.facts.blocked import blocked
from harness.facts.rails import RailFeed, fighting, name_of, rails, source_volts
from harness.facts.supplied import carrier_of, window
from harness.facts.wording import amps, volts, volts_line
from harness.parts.contacts import Link
from harness.parts.figure import from_catalogue
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule

NONE = 0.01
"""A; less is no charging."""


@rule(Severity.WARNING, Severity.ERROR, solved=True)
def check(desk: Desk) -> Findings:
    """Report each source without a diode once."""
    told = {part.id for found in blocked(desk.wiring) for part in found.idle}
    for net, sources in rails(desk.wiring).direct.items():
        if (
            len(sources) == 1
            and sources[0].owner not in told
            and not fighting(desk.wiring, sources)
        ):
            feeds = sorted(rails(desk.wiring).feeds(net), key=lambda feed: feed.source.owner)
            behind = [feed for feed in feeds if feed.source not in sources]
            if behind:
                yield from _judged(desk, sources[0], behind[0])


def _judged(desk: Desk, straight: Link, feed: RailFeed) -> Findings:
    part, other = (desk.plan.parts[link.owner] for link in (straight, feed.source))
    own, more = source_volts(desk.wiring, part, "empty"), source_volts(desk.wiring, other, "full")
    if own is None or more is None:
        return
    alone = carrier_of(desk.wiring, [part.id, other.id])
    always = "carries the rail all the time and " if alone and alone[0] == other.id else ""
    then = f"{always}feeds it backwards when its own pack is unplugged"
    if part.holds_cells:
        back = driven_back(desk.wiring, part, other)
        if back <= NONE:
            return
        then = f"{always}charges it with {amps(back)} when it is empty: up to"
        then += f" {volts(more.number - feed.drop)} against {volts(own.number)}"
    yield check.finding(
        f"{name_of(part)} sits on the rail without a diode, so {name_of(other)} {then}",
        part.at("plug"),
        part,
        other,
        severity=Severity.ERROR if part.holds_cells else None,
        spot="plug",
        help=f"put {_diode(desk, part)} between {part.named()} and the rail as well",
        numbers=(volts_line(part.id, own), volts_line(other.id, more)),
    )


def _diode(desk: Desk, part: Part) -> str:
    """A plain diode takes volts that not everything on the rail can spare."""
    gives, needs = source_volts(desk.wiring, part, "nominal"), window(desk.wiring, part).needs
    drop = from_catalogue(desk.plan.catalogue, "diodes", "schottky", "drop")
    spare = gives and needs and drop and gives.number - drop.number < needs[0]
    return "an isolator (`kind: ideal`, a diode takes too much)" if spare else "a diode or isolator"
