"""An isolated part's two sides are joined by other copper.

What it looks for
    An isolated ESC or regulator whose battery minus and signal ground are one piece of copper all
    the same, by another part on the same pack. Where that part is what feeds the rail (a BEC or
    regulator on the same pack), it is a note: the isolation then has little to do.

Why it matters
    The isolation was paid for to keep motor currents and noise out of the receiver; a sensor or a
    second ESC that ties both sides together makes it useless without anyone noticing.

An example that fails
    packs:
      main: {chemistry: lipo, cells: 6}
      radio: {chemistry: nimh, cells: 4, plug: rx.batt}
    power-leads:
      split: {kind: parallel, ways: 2, supply: main}
    receivers:
      rx: {sockets: 4, telemetry: tele}
    escs:
      esc: {bec: none, isolated: yes, plug: rx.3, supply: split.1}
    sensors:
      volts: {plug: rx.tele, supply: split.2}

The same, mended
    sensors:
      volts: {isolated: yes, plug: rx.tele, supply: split.2}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from collections import defaultdict

from harness.base.finding import Finding, Severity
from harness.facts.ground import bridges
from harness.facts.rails import rails
from harness.facts.shorts import shorts
from harness.facts.wording import parts_named, quoted, verb
from harness.parts.esc import Esc
from harness.parts.part import Part
from harness.parts.regulator import Regulator
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.WARNING, Severity.NOTE)
def check(desk: Desk) -> Findings:
    """Report each bridge once, with all the isolated parts it makes useless."""
    if shorts(desk.wiring):
        return
    by_bridge: dict[tuple[str, ...], list[Part]] = defaultdict(list)
    made: list[Esc | Regulator] = [*desk.plan.of(Esc), *desk.plan.of(Regulator)]
    for part in made:
        if part.isolated and (tied := bridges(desk.wiring, part)):
            by_bridge[tuple(sorted(tied))].append(part)
    for names, parts in by_bridge.items():
        bridging = [desk.plan.parts[name] for name in names]
        yield _finding(desk, bridging, sorted(parts, key=lambda p: p.id))


def _finding(desk: Desk, bridges: list[Part], parts: list[Part]) -> Finding:
    supplies = {link.owner for sources in rails(desk.wiring).direct.values() for link in sources}
    supply = any(bridge.id in supplies and bridge.makes is not None for bridge in bridges)
    isolated = verb(parts, "is isolated, but its", "are isolated, but their")
    return check.finding(
        f"{parts_named(parts)} {isolated} battery and signal sides are joined by"
        f" {parts_named(bridges)}",
        parts[0].at("isolated"),
        *parts,
        *bridges,
        severity=Severity.NOTE if supply else None,
        help=f"use isolated ones for {quoted(bridge.id for bridge in bridges)} as well, or"
        f" {_instead(bridges)}",
    )


def _instead(bridges: list[Part]) -> str:
    """What meters a pack is of no use at another one."""
    it = verb(bridges, "it", "them")
    gives = all(bridge.makes is not None or bridge.drives for bridge in bridges)
    return f"feed {it} from another pack" if gives else f"leave {it} out"
