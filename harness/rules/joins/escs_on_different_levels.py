"""Two speed controllers on different levels of a stack share one receiver.

What it looks for
    Speed controllers whose battery minus lies on different levels of a series join, and whose
    signal grounds meet. Isolated ones may stand on any level.

Why it matters
    The signal grounds tie together two points that are a whole pack apart: the pack is shorted
    through both signal leads and the receiver.

An example that fails
    packs:
      low: {chemistry: lipo, cells: 4, capacity: 4 Ah, connector: XT60}
      high: {chemistry: lipo, cells: 4, capacity: 4 Ah, connector: XT60}
    power-leads:
      stack: {kind: series, connector: XT60, supply: [low-y.1, high-y.1]}
      low-y: {kind: parallel, ways: 2, connector: XT60, supply: low}
      high-y: {kind: parallel, ways: 2, connector: XT60, supply: high}
    receivers:
      rx: {sockets: 4}
    escs:
      esc-left: {bec: {volts: 5 V}, connector: XT60, plug: rx.3, supply: low-y.2}
      esc-right: {bec: none, connector: XT60, plug: rx.4, supply: high-y.2}

The same, mended
    escs:
      esc-right: {bec: none, isolated: yes, connector: XT60, plug: rx.4, supply: high-y.2}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.facts.shorts import Short, shorts
from harness.facts.wording import by_cells, parts_named, volts
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.DANGER)
def check(desk: Desk) -> Findings:
    """Report each upper speed controller once."""
    found = shorts(desk.wiring)
    return (_finding(short) for short in found if short.kind == "escs-on-different-levels")


def _finding(short: Short) -> Finding:
    upper, lower, pull = short.taps[0], short.taps[-1], short.pull
    assert pull is not None
    return check.finding(
        f"{upper.named()} stands {volts(short.volts)} above {lower.named()}, and their signal"
        f" grounds meet: {parts_named(short.packs)} is shorted through both signal leads",
        pull.span,
        upper,
        lower,
        *short.packs,
        spot=pull.plug.name,
        help=f'packs off; feed "{upper.id}" from the level that feeds "{lower.id}", or use'
        " an isolated ESC for it",
        numbers=(by_cells("between them", short.volts, "packs"),),
    )
