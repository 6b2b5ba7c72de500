"""Motor current returns through the signal ground of a speed controller.

What it looks for
    The motor current that goes back by the signal ground of an ESC or of a box with a battery
    side: solved from the whole network in every operating case, one motor alone at full throttle
    among them, for shared packs and separate ones. An isolated ESC carries none. Where the
    gauge or length of the wires in the loop is not stated, that is listed instead.

Why it matters
    A signal lead is made for milliamperes. With long main negatives, or a bad contact in one, some
    amperes return through it: the ground wire heats up, the signal shifts, the motor stutters.

An example that fails
    packs:
      main: {chemistry: lipo, cells: 4, connector: AS150}
      radio: {chemistry: nimh, cells: 4, plug: rx.batt}
    power-leads:
      split: {kind: parallel, ways: 2, connector: AS150, supply: main, wire: 12 AWG, length: 900 mm}
    receivers:
      rx: {sockets: 4}
    escs:
      esc-left:
        {bec: none, connector: AS150, wire: 12 AWG, length: 200 mm, plug: rx.1, supply: split.1,
         lead-wire: 22 AWG, lead-length: 300 mm}
      esc-right: {like: esc-left, plug: rx.2, supply: split.2}
    motors:
      motor-left: {full-throttle: 30 A, plug: esc-left}
      motor-right: {like: motor-left, plug: esc-right}

The same, mended
    power-leads:
      split: {kind: parallel, ways: 2, connector: AS150, supply: main, wire: 10 AWG, length: 50 mm}
    escs:
      esc-left:
        {bec: none, connector: AS150, wire: 12 AWG, length: 100 mm, plug: rx.1, supply: split.1,
         lead-wire: 22 AWG, lead-length: 600 mm}

Where it comes from
    The split by resistance: ArduPilot, ESC grounding page (6 A by 14 AWG, 1 A by 22 AWG). The
    limits of 1 A and 3 A: common practice; no published source.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from harness.base.finding import Finding, Severity
from harness.facts.currents import assumed_on, case_numbers, currents, over, when
from harness.facts.ground import SHORTER, ReturnWays, Stray, ground_of, in_loops, strays, ways_of
from harness.facts.wording import amps, with_origin
from harness.parts.contacts import Contact
from harness.parts.esc import Esc
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR, Severity.WARNING, solved=True)
def check(desk: Desk) -> Findings:
    """Report the worst lead of each loop once."""
    if currents(desk.wiring).shorted:
        return
    warning = desk.figure("ground-loop", "warning").number
    groups: dict[Contact, list[Esc]] = defaultdict(list)
    for esc in in_loops(desk.wiring):
        groups[ground_of(desk.wiring, esc.id)].append(esc)
    ways = {net: ways_of(desk.wiring, escs) for net, escs in groups.items()}
    unsure = {net for net in ways if not _all_known(desk, groups[net], ways[net])}
    found: dict[Contact, list[Stray]] = defaultdict(list)
    for stray in strays(desk.wiring, warning):
        net = ground_of(desk.wiring, stray.part.id)
        if over(abs(stray.amps), warning) and net not in unsure:
            found[net].append(stray)
    yield from (_finding(desk, some, ways.get(net, {})) for net, some in found.items())


def _all_known(desk: Desk, escs: list[Esc], ways: dict[str, ReturnWays]) -> bool:
    """List what is missing, once each: nobody's guess decides."""
    links = {number for way in ways.values() for number in (*way.main, *way.lead)}
    assumed = assumed_on(desk.wiring, links)
    for a in assumed:
        desk.not_known(desk.plan.parts[a.part], f"{a.what} ({a.key})", a.key)
    demands = currents(desk.wiring).outcome.net.demands
    draws = {demand.part.id: demand.draw for demand in demands}
    silent = [esc for esc in escs if draws[esc.id].missing]
    for esc in silent:
        desk.not_known(esc, "the full-throttle current of its motor")
    return not assumed and not silent


def _finding(desk: Desk, some: list[Stray], ways: dict[str, ReturnWays]) -> Finding:
    """Mark the lead by which most goes back; name the one by which it comes round."""
    some = sorted(some, key=lambda s: (round(s.amps, 6), s.part.id))
    worst, other = some[0], some[-1]
    much = max(abs(stray.amps) for stray in some)
    severe = over(much, desk.figure("ground-loop", "error").number)
    limit = desk.figure("ground-loop", "error" if severe else "warning")
    part = worst.part
    other_kind = next((s.part.word for s in some if not s.part.drives), "")
    isolated = f"an isolated {other_kind}" if other_kind else "isolated ESCs"
    round_ = f" and that of {other.part.named()}" if other is not worst else ""
    return check.finding(
        f"{amps(much)} of motor current return through the signal ground of {part.named()}"
        f"{round_}{when(worst.case)}: the signal grounds close a loop beside the main negatives",
        part.at("length" if "length" in part.spans else "supply"),
        part,
        other.part,
        severity=Severity.ERROR if severe else Severity.WARNING,
        spot="plug",
        help=f"{SHORTER}, or use {isolated}; never cut the signal ground"
        if not any(stray.part.as_made for stray in some)
        else "give each ESC a pack of its own; never cut the signal ground",
        numbers=(
            *case_numbers(desk.wiring, worst.case),
            ("limit", with_origin(amps(limit.number), limit)),
            *_ohms(desk, ways.get(part.id)),
        ),
    )


def _ohms(desk: Desk, ways: ReturnWays | None) -> Iterator[tuple[str, str]]:
    """Yield what the negatives of an ESC resist, each with its origin."""
    outcome = currents(desk.wiring).outcome
    for word, links in (("main", ways.main), ("signal", ways.lead)) if ways else ():
        for number in links:
            ohms, link = outcome.net.ohms[number], outcome.wiring.links[number]
            label = f"{word} negative: {link.owner}, {link.kind.value}"
            yield label, f"{ohms.total * 1000:.3g} mohm ({ohms.origin})"
