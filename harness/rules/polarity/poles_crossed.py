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

from harness.base.finding import Finding, Severity
from harness.facts.poles import PoleFault, pole_faults
from harness.facts.wording import joined, parts_named, volts
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.DANGER)
def check(desk: Desk) -> Findings:
    """Report each crossing once."""
    for fault in pole_faults(desk.wiring):
        if fault.kind == "poles-crossed":
            yield _finding(fault)


def _finding(fault: PoleFault) -> Finding:
    crossing, wrong = fault.crossing, fault.wrong
    loads, packs = [part for part, _ in wrong.loads], [part for part, _ in wrong.shorts]
    effects, numbers = [], []
    if loads:
        much = max(v for _, v in wrong.loads)
        effects.append(f"{parts_named(loads)} {_is(loads)} fed {volts(much)} backwards")
        numbers.append(("backwards", f"{volts(much)} (cells times nominal volts, catalogue packs)"))
    if packs:
        effects.append(f"{parts_named(packs)} {_is(packs)} shorted through the ground leads")
    where = (
        f"between {joined(crossing.mate)}" if crossing.mate else f"inside {crossing.owner.named()}"
    )
    return check.finding(
        f"red meets black {where.replace(' into ', ' and ')}: {' and '.join(effects)}",
        crossing.span,
        crossing.owner,
        *(part for part in (*loads, *packs) if part is not crossing.owner),
        spot=crossing.mate.plug.name if crossing.mate else "in-1",
        help="join red to red and black to black, and give the bare ends plugs that fit one way",
        numbers=tuple(numbers),
    )


def _is(parts: list[Part]) -> str:
    return "is" if len(parts) == 1 else "are"
