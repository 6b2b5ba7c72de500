"""Bare battery bullets are joined and nobody says which way round.

What it looks for
    A battery join of bullets where the plan does not state `poles`.

Why it matters
    Two bare bullets fit either way round; the wrong way feeds the speed controller backwards.

An example that fails
    packs:
      main: {chemistry: lipo, cells: 3, connector: bullet-4mm}
      radio: {chemistry: nimh, cells: 4, plug: rx.batt}
    escs:
      esc: {bec: none, connector: bullet-4mm, plug: rx.3, supply: main}
    receivers:
      rx: {sockets: 4}

The same, mended
    escs:
      esc: {bec: none, connector: bullet-4mm, plug: rx.3, supply: {into: main, poles: straight}}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.poles import fits_turned
from harness.facts.wording import joined
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Mate, facts_at


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each join once."""
    for mate, socket in desk.joins():
        if fits_turned(desk.wiring, mate) and not mate.join.poles and not _seen(desk, mate):
            yield check.at_plug(
                f"{joined(mate)}: bare bullets fit either way round, and the plan does not say how",
                mate,
                socket.part,
                help="pack off; mark both red ends, join them, and write"
                f" `{{into: {mate.join.into}, poles: straight}}`",
            )


def _seen(desk: Desk, mate: Mate) -> bool:
    facts = facts_at(desk.plan, mate.plug, mate.socket)
    return mate.turned or any(fact.fact == "crossed" for fact in facts)
