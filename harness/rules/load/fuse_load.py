"""A fuse blows in normal use, or does not protect the wire behind it.

What it looks for
    A fuse rated below the current that flows through it continuously; and a fuse rated above what
    the wires behind it bear by any chart: all of them as far as the next fuse, thin branches too.

Why it matters
    A fuse that is too small cuts the power in the air. One that is too large never blows: the
    wire burns instead.

An example that fails
    escs:
      esc: {rated: 60 A, supply: main-fuse, bec: none, connector: XT60, wire: 12 AWG}
    motors:
      motor: {full-throttle: 38 A, plug: esc}
    fuses:
      main-fuse: {rated: 30 A, supply: main, connector: XT60, wire: 12 AWG}
    packs:
      main: {chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 35 C, connector: XT60}

The same, mended
    fuses:
      main-fuse: {rated: 60 A, supply: main, connector: XT60, wire: 12 AWG}

Where it comes from
    What a fuse is for. What wires bear: common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.base.units import parse_wire
from harness.electrics.flow import Flow
from harness.facts.currents import (
    Bears,
    amps,
    case_numbers,
    currents,
    number,
    over,
    when,
    wire_bears,
)
from harness.facts.fuses import protected
from harness.facts.wording import parts_named
from harness.parts.contacts import Form, Port
from harness.parts.figure import Figure, stated
from harness.parts.fuse import Fuse
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR, solved=True)
def check(desk: Desk) -> Findings:
    """Report each fuse once; one that blows goes before one that does not."""
    for fuse in desk.plan.of(Fuse):
        rated = stated(fuse, "rated", fuse.rated)
        flow = currents(desk.wiring).port(fuse.id, "in-1")
        assert rated is not None
        if over(flow.steady, rated.number):
            yield _blows(desk, fuse, flow, rated)
        else:
            yield from _too_large(desk, fuse, flow, rated)


def _blows(desk: Desk, fuse: Fuse, flow: Flow, rated: Figure) -> Finding:
    return check.finding(
        f"{fuse.named()} is rated {amps(rated.number)}, but {amps(flow.steady)} flow through it "
        f"continuously{when(flow.steady_case)}: it blows in the air",
        fuse.at("rated"),
        fuse,
        help=_larger(desk, fuse, flow),
        numbers=(number("rated", rated), *case_numbers(desk.wiring, flow.steady_case)),
    )


def _larger(desk: Desk, fuse: Fuse, flow: Flow) -> str:
    """It must not blow in the air, and must blow before a wire behind it burns."""
    tops = [bears.steady_chart.number for bears, _ in _wires(desk, fuse)]
    if tops and not over(flow.steady, min(tops)):
        top = f"up to {amps(min(tops))}, what the wire behind it bears"
        return f"fit a fuse above {amps(flow.steady)} and {top}"
    return f"fit a fuse above {amps(flow.steady)}, and wire that bears what the fuse does"


def _wires(desk: Desk, fuse: Fuse) -> list[tuple[Bears, Port]]:
    return [
        (bears, port)
        for port in protected(desk.wiring, fuse)
        if port.wire.size is not None
        and (bears := wire_bears(desk.plan, port.wire.size, port.form is Form.POWER)) is not None
    ]


def _too_large(desk: Desk, fuse: Fuse, flow: Flow, rated: Figure) -> Findings:
    wires = _wires(desk, fuse)
    if not wires:
        desk.not_known(fuse, "the gauge of the wire it protects")
        return
    thin = [(bears, port) for bears, port in wires if over(rated.number, bears.steady_chart.number)]
    if not thin:
        return
    thin.sort(key=lambda wire: wire[0].steady_chart.number)
    bears, port = thin[0]
    parts = list({port.part.id: port.part for _, port in thin}.values())
    bear = "bears" if len(parts) == 2 else "bear"
    more = f" (and {parts_named(parts[1:])} {bear} too little)" if len(parts) > 1 else ""
    assert port.wire.size is not None
    yield check.finding(
        f"{fuse.named()} is rated {amps(rated.number)}, but the {port.wire.size.text} wire of "
        f"{port.part.named()} behind it bears {amps(bears.steady_chart.number)} at most{more}: "
        "the wire burns before the fuse blows",
        fuse.at("rated"),
        fuse,
        *(part for part in parts if part is not fuse),
        help=_advice(desk, flow, rated, thin),
        numbers=(number("rated", rated), *bears.numbers()),
    )


def _advice(desk: Desk, flow: Flow, rated: Figure, thin: list[tuple[Bears, Port]]) -> str:
    """A smaller fuse where it carries what flows; else one at each thin branch; or thicker wire."""
    most, parts = thin[0][0].steady_chart.number, {port.part.id: port.part for _, port in thin}
    names, battery = parts_named(parts.values()), all(p.form is Form.POWER for _, p in thin)
    if over(flow.steady, most):
        each = "a fuse of its own" if len(parts) == 1 else "fuses of their own"
        first = f"give {names} {each}, {amps(most)} at most, right where the thin wire begins"
    else:
        first = f"fit a fuse above {amps(flow.steady)} and up to {amps(most)}"
    for row in reversed(desk.plan.catalogue.rows("wires")):
        bears = wire_bears(desk.plan, parse_wire(row), battery)
        if bears is not None and not over(rated.number, bears.steady_chart.number):
            return f"{first}, or use {row} or thicker for {names}"
    return first
