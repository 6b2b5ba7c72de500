"""A battery or motor connector carries more than its kind bears.

What it looks for
    The current through each pair of battery connectors, and of motor connectors whose class the
    plan states (`connector` of a motor, `motor-connector` of an ESC), against what their class
    bears continuously and for seconds. Builders' charts disagree: above the cautious figure it is
    a warning, above what any chart allows an error. Connectors that carry the same current are
    reported together. In a motor's wires flows what the motor takes, not what the pack gives.

Why it matters
    A contact that is too small gets hot, loses its spring, and can melt its housing.

An example that fails
    escs:
      esc: {rated: 80 A, supply: main, bec: none, wire: 10 AWG}
    motors:
      motor: {full-throttle: 45 A, plug: esc}
    packs:
      main: {chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 35 C, connector: XT60}

The same, mended
    packs:
      main: {chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 35 C, connector: XT90}

Where it comes from
    Common practice; no published source. The catalogue keeps the cautious figure and the
    charts' highest.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TypeAlias

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.electrics.flow import Flow
from harness.facts.currents import Bears, alike, amps, case_numbers, currents, passing, plug_bears
from harness.facts.fitting import classes_for
from harness.parts.contacts import Form, Port
from harness.plan.plan import Plan
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Mate

MOST = 4
"""More classes than this are not named."""
CALLED = {"balance": "balance plug"}
"""Classes that are no name of a connector."""

Heavy: TypeAlias = "tuple[Mate, Port, Flow, Bears]"
"""A plug and its socket with too much current, and what they bear."""


@rule(Severity.WARNING, Severity.ERROR, solved=True)
def check(desk: Desk) -> Findings:
    """Report each run of like connectors that carry the same current once."""
    groups: dict[str, list[list[Heavy]]] = defaultdict(list)
    for mate in desk.wiring.mates:
        flow = currents(desk.wiring).port(*mate.plug.id)
        socket = mate.socket
        if socket is None or socket.form not in {Form.POWER, Form.MOTOR, Form.BALANCE}:
            continue
        if not mate.fits or not flow.steady:
            continue
        found = _weaker(desk.plan, mate.plug, socket)
        # motor wires are soldered as often as not; a regulator's inside is its maker's
        stated = mate.plug.part.has_key("connector") or not socket.part.regulates
        if found is not None and found[1].exceeded(flow):
            _sort_in(groups[found[0]], (mate, socket, flow, found[1]))
        elif found is None and stated and socket.form is Form.POWER:
            desk.not_known(mate.plug.part, "the class of its battery connector (connector)")
    for connector, runs in groups.items():
        for run in runs:
            yield _finding(desk, connector, sorted(run, key=lambda entry: entry[0].span))


def _sort_in(runs: list[list[Heavy]], heavy: Heavy) -> None:
    """Put a connector to the run that carries the same current, or let it start one."""
    for run in runs:
        if alike(run[0][2], heavy[2]):
            run.append(heavy)
            return
    runs.append([heavy])


def _weaker(plan: Plan, plug: Port, socket: Port) -> tuple[str, Bears] | None:
    """Return the class and figures of the weaker side; a side not stated is taken to match."""
    sides = [port.connector for port in (plug, socket) if port.connector]
    known = [(name, bears) for name in sides if (bears := plug_bears(plan, name))]
    return min(known, key=lambda pair: (pair[1].steady.number, pair[0]), default=None)


def _finding(desk: Desk, connector: str, run: list[Heavy]) -> Finding:
    mate, _, flow, bears = run[0]
    where = spoken(f"{mate.plug.short} in {into.short}" for mate, into, _, _ in run)
    return check.at_plug(
        f"{passing(flow)} pass the {CALLED.get(connector, connector)} of {where}, which bears "
        f"{amps(bears.steady.number)} continuously by the cautious figure "
        f"({amps(bears.steady_chart.number)} by the charts) and {amps(bears.burst.number)} "
        "for seconds",
        mate,
        *(mate.plug.part for mate, *_ in run),
        *(into.part for _, into, *_ in run),
        severity=Severity.ERROR if bears.beyond_charts(flow) else None,
        help=_advice(desk, run),
        numbers=(*bears.numbers(), *case_numbers(desk.wiring, flow.steady_case, flow.burst_case)),
    )


def _advice(desk: Desk, run: list[Heavy]) -> str:
    """Name the connectors that bear it and take the wire; a pack has one more."""
    ports = [port for mate, socket, *_ in run for port in (mate.plug, socket)]
    if any(port.part.as_made for port in ports):
        return "one came fitted: let less flow through it, or share it out over a second lead"
    if ports[1].form is Form.BALANCE:
        return "feed it from the main connector of the pack, whose contacts bear more"
    fit, more = classes_for(desk.wiring, ports)
    return f"fit {spoken(fit[:MOST], 'or')} on both sides{more}" if fit else "share the current out"
