"""A loop of nothing but copper and packs has volts in it.

What it looks for
    Any way round the wiring that passes packs, plugs and wires only, and whose volts do not add
    up to nothing. The shortest such way is given as the list of plugs in it. Causes that have a
    rule of their own (a crossed join, a jumper plug, a tap on the upper pack) are left to it.

Why it matters
    It is a short circuit: nothing but the packs' own resistance limits the current.

An example that fails
    packs:
      main: {chemistry: lipo, cells: 4, connector: XT60}
    power-leads:
      split: {kind: parallel, ways: 2, connector: XT60, supply: main}
      stack: {kind: series, connector: XT60, supply: [split.1, split.2]}

The same, mended
    packs:
      main: {chemistry: lipo, cells: 4, capacity: 4 Ah, connector: XT60}
      second: {chemistry: lipo, cells: 4, capacity: 4 Ah, connector: XT60}
    power-leads:
      split: taken out
      stack: {kind: series, connector: XT60, supply: [main, second]}

Where it comes from
    Kirchhoff's voltage law; a cell has about 5 milliohm (PX4 user guide, battery page).
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.shorts import shorts
from harness.facts.wording import by_cells, joined, parts_named, verb, volts
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.DANGER)
def check(desk: Desk) -> Findings:
    """Report each loop once, opened at the plug to pull."""
    for short in shorts(desk.wiring):
        if short.kind == "shorted-loop" and short.pull is not None:
            yield check.at_plug(
                f"{parts_named(short.packs)} {verb(short.packs)} shorted:"
                f" {volts(short.volts)} round a loop of copper alone,"
                f" {', '.join(joined(mate) for mate in short.mates)}",
                short.pull,
                *short.packs,
                help=f"leave {joined(short.pull)} open, or pull it at once, and draw the join"
                " again",
                numbers=(by_cells("round the loop", short.volts, "packs"),),
            )
