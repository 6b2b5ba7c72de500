"""The plug and the socket of a battery join or a motor are of different kinds.

What it looks for
    A battery plug of one class that the plan puts into a socket of another class; a motor whose
    `connector` is not the `motor-connector` of its ESC.

Why it matters
    They do not go together, or only with force. It comes to light on the field, where the fix is
    a soldering iron in the wind or two bare wires twisted.

An example that fails
    packs:
      main: {chemistry: lipo, cells: 4, connector: XT90}
    power-leads:
      long: {kind: extension, connector: XT60, supply: main}

The same, mended
    power-leads:
      long: {kind: adapter, connector: XT60, connector-in: XT90, supply: main}

Where it comes from
    The thing itself: a plug goes into a socket of its own class.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.currents import currents, over
from harness.facts.fitting import goes_together, unlike
from harness.facts.wording import joined
from harness.parts.contacts import Form, Port
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Mate


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each join once."""
    differing = unlike(desk.wiring)
    for mate, socket in desk.joins():
        if Form.BALANCE in socket.forms or socket.form not in {Form.POWER, Form.MOTOR}:
            continue
        ours, theirs = mate.plug.connector, socket.connector
        if mate.plug.id in differing:
            yield check.at_plug(
                f"{joined(mate)} does not go: the plug is {ours}, the socket is {theirs}",
                mate,
                socket.part,
                help=_advice(desk, mate, socket),
                numbers=(("plug", ours), ("socket", theirs)),
            )
        elif bool(ours) != bool(theirs):
            silent = socket.part if ours else mate.plug.part
            what = "battery" if socket.form is Form.POWER else "motor"
            word = "connector" if what == "battery" or silent.spins else "motor-connector"
            desk.not_known(silent, f"the class of its {what} connector ({word})")


def _advice(desk: Desk, mate: Mate, socket: Port) -> str:
    """Both as the one that bears more, if all else still goes; an adapter for what both bear.

    Of a motor's wires one of the ends is changed: nobody makes adapters for them.
    """
    plug = mate.plug
    ports = (plug, socket)
    bears = [desk.plan.catalogue.value("plugs", p.connector, "continuous") for p in ports]
    each = [(found.number if found else None) or 0.0 for found in bears]
    best, weak = ports if each[0] >= each[1] else ports[::-1]
    if plug.form is Form.MOTOR:
        stays = weak if weak.part.as_made and not best.part.as_made else best
        return f"fit {stays.connector} on both"
    one = (
        stays
        for stays, goes in ((best, weak), (weak, best))
        if goes_together(desk.wiring, mate, stays, goes)
    )
    alike = [f"fit {stays.connector} on both" for stays in one][:1]
    heavy = currents(desk.wiring).port(*plug.id).steady
    most = f", for {min(each):g} A at most" if min(each) and each[0] != each[1] else ""
    if not alike or not min(each) or not over(heavy, min(each)):
        alike.append(f"put an adapter from {socket.connector} to {plug.connector} between{most}")
    return ", or ".join(alike)
