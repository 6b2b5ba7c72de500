"""The lead of a satellite receiver is open.

What it looks for
    A wire of a satellite receiver's lead without contact: a pin pulled, a wire or the lead found
    open or dead.

Why it matters
    The main receiver goes on alone, and everything moves as before. What is lost is the second set
    of aerials: in an attitude in which the main receiver hears nothing, nobody does.

An example that fails
    receivers:
      rx: {sockets: 6, satellite-sockets: 1}
    satellites:
      tail: {plug: {into: rx.sat, pulled: signal}}
    packs:
      radio: {chemistry: nimh, cells: 5, plug: rx.batt}

The same, mended
    satellites:
      tail: {plug: rx.sat}

Where it comes from
    The thing itself; that two sets of aerials lie apart and crosswise is common practice.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.base.near import spoken
from harness.parts.contacts import Contact
from harness.parts.satellite import Satellite
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Mate

WIRES = {"signal": "pale", "positive": "red", "negative": "black"}


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each satellite receiver once."""
    for part in desk.plan.of(Satellite):
        mate = desk.wiring.by_plug.get((part.id, "plug"))
        if mate is None or mate.socket is None or not (mate.fits and mate.first):
            continue
        if gone := _gone(desk, mate):
            wires = spoken([WIRES[pin] for pin in gone], "and")
            have = "wire" if len(gone) == 1 else "wires"
            yield check.finding(
                f"no contact by the {wires} {have} of {part.named()} in {mate.into}:"
                f" only {mate.socket.part.named()} hears the transmitter",
                mate.span,
                part,
                mate.socket.part,
                spot="plug",
                help="put the pin back"
                if set(gone) & set(mate.join.pulled)
                else "mend the lead and say so in the plan (mended)",
            )


def _gone(desk: Desk, mate: Mate) -> list[str]:
    assert mate.socket is not None
    nets, socket, part = desk.wiring.nets, mate.socket, mate.plug.part.id
    return [
        pin for pin in mate.plug.order if not nets.same(Contact(part, "body", pin), socket.pin(pin))
    ]
