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

from harness.base.finding import Finding, Severity
from harness.facts.rails import rails
from harness.facts.wording import joined
from harness.parts.contacts import Contact
from harness.parts.esc import Esc
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Mate


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each ESC once."""
    for esc in desk.plan.of(Esc):
        chain = desk.wiring.upstream(esc.id) if esc.fed else ()
        if not chain or rails(desk.wiring).feeds(Contact(esc.id, "body", "positive")):
            continue
        cut = next((mate for mate in chain if "positive" in mate.join.pulled), None)
        if cut is not None:
            yield _finding(esc, cut)
        elif not _rail_dead(desk, chain[-1]):
            yield _finding(esc, chain[0])


def _rail_dead(desk: Desk, last: Mate) -> bool:
    """Whether the driver has no supply either: another rule's report, or not yet known."""
    socket = last.socket
    return socket is None or not rails(desk.wiring).feeds(socket.pin("positive"))


def _finding(esc: Esc, at: Mate) -> Finding:
    pulled = "positive" in at.join.pulled
    why = f": the red pin of {joined(at)} is pulled" if pulled else ""
    return check.finding(
        f"{esc.named()} needs its signal side fed, and no source reaches it{why}",
        at.join.spans.get("pulled", at.span),
        esc,
        at.plug.part,
        spot="plug",
        help="put the red pin back" if pulled else "give its red wire a source of 5 V",
    )
