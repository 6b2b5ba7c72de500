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
      rx: {sockets: 4}
    escs:
      esc: {bec: none, isolated: yes, plug: rx.3, supply: split.1}
    sensors:
      volts: {plug: rx.4, supply: split.2}

The same, mended
    packs:
      main: {chemistry: lipo, cells: 6}
      radio: {chemistry: nimh, cells: 4, plug: rx.batt}
    power-leads:
      split: {kind: parallel, ways: 2, supply: main}
    receivers:
      rx: {sockets: 4}
    escs:
      esc: {bec: none, isolated: yes, plug: rx.3, supply: split.1}
    sensors:
      volts: {isolated: yes, plug: rx.4, supply: split.2}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from harness.base.finding import Finding, Severity
from harness.checks.poles import put_right
from harness.checks.rails import rails
from harness.checks.rule import Desk, rule
from harness.checks.say import parts_named
from harness.checks.shorts import shorts
from harness.checks.ways import near_of, tree, way
from harness.reader.parts.common import Part
from harness.reader.parts.power import Esc, Regulator
from harness.wiring.model import Contact


@rule("ground", Severity.WARNING)
def check(desk: Desk) -> Iterator[Finding]:
    """Report each bridge once, with all the isolated parts it makes useless."""
    if shorts(desk):
        return
    by_bridge: dict[str, list[Part]] = defaultdict(list)
    made: list[Esc | Regulator] = [*desk.plan.of(Esc), *desk.plan.of(Regulator)]
    for part in made:
        if part.isolated and (bridge := _bridge(desk, part)) is not None:
            by_bridge[bridge.id].append(part)
    for name, parts in by_bridge.items():
        yield _finding(desk, desk.plan.parts[name], sorted(parts, key=lambda p: p.id))


def _bridge(desk: Desk, part: Part) -> Part | None:
    """Return the part whose inside ties both sides together."""
    one, other = (Contact(part.id, inside, "negative") for inside in ("battery", "body"))
    wiring = put_right(desk)
    if not wiring.nets.same(one, other):
        return None
    steps = way(tree(near_of(wiring.links), one), other)
    sides = {"battery", "tap", "supply"}
    crossing = [k.owner for k, _ in steps if len({k.a.port, k.b.port} & sides) == 1]
    inside = [name for name in crossing if name != part.id and name in desk.plan.parts]
    tied = [
        n
        for n in inside
        if {"plug", "body", "rail"} & {c.port for k, _ in steps if k.owner == n for c in (k.a, k.b)}
    ]
    return desk.plan.parts[tied[0]] if tied else None


def _finding(desk: Desk, bridge: Part, parts: list[Part]) -> Finding:
    feeds = rails(desk).feeds(Contact(parts[0].id, "body", "positive"))
    supply = any(feed.source.owner == bridge.id for feed in feeds)
    verb = "is isolated, but its" if len(parts) == 1 else "are isolated, but their"
    return check.finding(
        f"{parts_named(parts)} {verb} battery and signal sides are joined by {bridge.named()}",
        parts[0].at("isolated"),
        parts[0],
        *parts[1:],
        bridge,
        severity=Severity.NOTE if supply else Severity.WARNING,
        help=f'isolate "{bridge.id}" as well, or feed it from another pack',
    )
