"""The poles of a battery join are crossed.

What it looks for
    Battery bullets joined red to black, or an adapter that swaps the poles, where because of it a
    load is fed backwards or a pack is shorted. Two crossings that undo each other are no fault.
    A pack reversed in a parallel lead and one reversed in a stack have rules of their own.

Why it matters
    A speed controller fed backwards fails at once, with fire. If its signal ground reaches the
    same pack another way, the pack is shorted through the thin signal lead.

An example that fails
    packs:
      main: {chemistry: lipo, cells: 4, connector: bullet-4mm}
    receivers:
      rx: {sockets: 4}
    regulators:
      radio: {volts: 5 V, plug: rx.batt}
    escs:
      esc: {connector: bullet-4mm, plug: rx.3, supply: {into: main, poles: crossed}}

The same, mended
    escs:
      esc: {connector: bullet-4mm, plug: rx.3, supply: {into: main, poles: straight}}

Where it comes from
    Common practice; no published source: two bare bullets fit either way round.
"""

from __future__ import annotations

from harness.base.finding import Finding, Numbers, Severity
from harness.facts.poles import PoleFault, pole_faults
from harness.facts.wording import by_cells, joined, parts_named, verb, volts
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.DANGER)
def check(desk: Desk) -> Findings:
    """Report each crossing once."""
    faults = pole_faults(desk.wiring)
    return (_finding(fault) for fault in faults if fault.kind == "poles-crossed")


def _finding(fault: PoleFault) -> Finding:
    owner, mate = fault.crossing.owner, fault.crossing.mate
    loads, packs = ([part for part, _ in hit] for hit in (fault.wrong.loads, fault.wrong.shorts))
    effects: list[str] = []
    numbers: Numbers = ()
    if loads:
        much = max(v for _, v in fault.wrong.loads)
        effects.append(f"{parts_named(loads)} {verb(loads)} fed {volts(much)} backwards")
        numbers = (by_cells("backwards", much),)
    if packs:
        effects.append(f"{parts_named(packs)} {verb(packs)} shorted through the ground leads")
    where = f"between {joined(mate)}" if mate else f"inside {owner.named()}"
    return check.finding(
        f"red meets black {where.replace(' into ', ' and ')}: {' and '.join(effects)}",
        fault.crossing.span,
        owner,
        *loads,
        *packs,
        spot=mate.plug.name if mate else "in-1",
        help="pack off; join red to red and black to black, better by plugs that fit one way"
        if mate
        else "pack off; use one that joins red to red and black to black",
        numbers=numbers,
    )
