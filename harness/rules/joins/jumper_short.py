"""A jumper plug shorts a pack.

What it looks for
    A jumper plug, which bridges both contacts of a socket, on a pack, or where it closes a loop
    round a pack. In a series lead in place of a missing pack it is right.

Why it matters
    It is a short circuit across the pack: sparks, molten contacts, fire.

An example that fails
    packs:
      main: {chemistry: lipo, cells: 6, connector: XT90}
    power-leads:
      bridge: {kind: jumper, connector: XT90, supply: main}

The same, mended
    power-leads:
      stack: {kind: series, connector: XT90, supply: [main, bridge.1]}
      bridge: {kind: jumper, connector: XT90}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.shorts import shorts
from harness.facts.wording import by_cells, joined, parts_named, volts
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.DANGER)
def check(desk: Desk) -> Findings:
    """Report each jumper plug that shorts."""
    for short in shorts(desk.wiring):
        pull, jumper = short.pull, short.jumper
        if short.kind != "jumper-short" or pull is None or jumper is None:
            continue
        yield check.finding(
            f'jumper plug "{jumper.id}" shorts {parts_named(short.packs)}:'
            f" {volts(short.volts)} through copper alone"
            f" ({', '.join(joined(mate) for mate in short.mates)})",
            pull.span,
            jumper,
            *short.packs,
            spot=pull.plug.name if pull.plug.part is jumper else "1",
            help=f'packs off; take "{jumper.id}" out: a jumper plug takes the place of a pack in a'
            " series lead, it never goes onto one",
            numbers=(by_cells("round the loop", short.volts, "packs"),),
        )
