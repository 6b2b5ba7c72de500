"""The poles of a battery join are crossed.

What it looks for
    Battery wires joined red to black, an adapter that swaps the poles, or capacitors soldered the
    wrong way round, where because of it something is fed backwards or a pack is shorted; by a pack
    or by what a regulator gives. Two crossings that undo each other are no fault.
    A pack reversed in a parallel lead and one reversed in a stack have rules of their own.

Why it matters
    A speed controller fed backwards fails at once, with fire. If its signal ground reaches the
    same pack another way, the pack is shorted through the thin signal lead.

An example that fails
    packs:
      main: {chemistry: lipo, cells: 4, connector: bullet-4mm}
      radio: {chemistry: nimh, cells: 4, plug: rx.batt}
    receivers:
      rx: {sockets: 4}
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
from harness.base.near import spoken
from harness.facts.poles import PoleFault, pole_faults
from harness.facts.wording import joined, parts_named, verb, volts
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
        fate = spoken(sorted({part.fed_backwards for part in loads}), "or")
        who = f"{parts_named(loads)} {verb(loads)}"
        effects.append(f"{who} fed {volts(much)} backwards and will {fate}")
        numbers = (("backwards", f"{volts(much)}: nominal volts of packs and supplies as stated"),)
    if packs:
        effects.append(f"{parts_named(packs)} {verb(packs)} shorted through the ground leads")
    where, help_ = f"inside {owner.named()}", "use one that joins like poles"
    if mate is not None:
        where = f"between {joined(mate)}"
        help_ = "join red to red and black to black, better by plugs that fit one way"
    elif owner.across:
        where = f"where {owner.named()} is soldered to {owner.across}"
        help_ = "solder its striped side to black; a new one, if it has been under power"
    return check.finding(
        f"red meets black {where.replace(' into ', ' and ')}: {' and '.join(effects)}",
        fault.crossing.span,
        owner,
        *loads,
        *packs,
        spot=mate.plug.name if mate else "in-1",
        help=f"packs off; {help_}",
        numbers=numbers,
    )
