"""An ESC whose signal side needs a supply gets none.

What it looks for
    An ESC with `fed: yes` whose red wire reaches no source: the pin is pulled, or the rail it goes
    to has none. Where the whole rail is dead, that is reported instead.

Why it matters
    Without volts on its signal side an isolated ESC hears nothing: the motor does not start.

An example that fails
    receivers:
      rx: {sockets: 4}
    packs:
      radio: {chemistry: nimh, cells: 4, plug: rx.batt}
    escs:
      esc: {bec: none, isolated: yes, fed: yes, plug: {into: rx.3, pulled: positive}}

The same, mended
    escs:
      esc: {bec: none, isolated: yes, fed: yes, plug: rx.3}

Where it comes from
    An isolated ESC without BEC may need +5 V fed to it: PX4 documentation.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.fed import SIDE, faults, unmet
from harness.facts.rails import rails
from harness.facts.wording import verb
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Mate


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each open place once, and each ESC that no source would reach anyway."""
    for fault in faults(desk.wiring):
        if fault.needs == {SIDE}:
            yield check.at_open(f": {_needs(fault.parts)}", desk.wiring, fault)
    for need in unmet(desk.wiring):
        chain = desk.wiring.upstream(need.part.id)
        if need.what == SIDE and not _rail_dead(desk, chain[-1]):
            yield check.at_plug(
                _needs([need.part]), chain[0], need.part, help="give its red wire a source of 5 V"
            )


def _needs(escs: list[Part]) -> str:
    own = verb(escs, "needs its signal side", "need their signal sides")
    names = " and ".join(esc.named() for esc in escs)
    return f"{names} {own} fed, and no source reaches {verb(escs, 'it', 'them')}"


def _rail_dead(desk: Desk, last: Mate) -> bool:
    """Whether the driver has no supply either: another rule's report, or not yet known."""
    socket = last.socket
    return socket is None or not rails(desk.wiring).feeds(socket.pin("positive"))
