"""A fuse blows in normal use, or does not protect the wire behind it.

What it looks for
    A fuse rated below the current that flows through it continuously; and a fuse rated above what
    the wires in line with it bear by any chart.

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
from harness.electrics.flow import Flow
from harness.facts.currents import (
    amps,
    case_numbers,
    currents,
    number,
    over,
    when,
    wire_bears,
    wires_with,
)
from harness.parts.contacts import Form, Port
from harness.parts.figure import Figure, stated
from harness.parts.fuse import Fuse
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.WARNING, Severity.ERROR, solved=True)
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
        severity=Severity.ERROR,
        help=f"fit a fuse above {amps(flow.steady)}, and wire that bears what the fuse does",
        numbers=(number("rated", rated), *case_numbers(desk.wiring, flow.steady_case)),
    )


def _in_line(desk: Desk, fuse: Fuse, flow: Flow) -> list[Port]:
    """Return the ports whose wire is in line with a fuse, its own first."""
    own = [p for p in desk.wiring.by_part[fuse.id] if p.wire.size and p.form is Form.POWER]
    return own + [p for p in wires_with(desk.wiring, flow) if p.part.id != fuse.id]


def _too_large(desk: Desk, fuse: Fuse, flow: Flow, rated: Figure) -> Findings:
    sizes = [(p.wire.size, p.part) for p in _in_line(desk, fuse, flow) if p.wire.size]
    if not sizes:
        desk.not_known(fuse, "the gauge of the wire it protects")
        return
    thin, part = min(sizes, key=lambda size: size[0].area_mm2)
    bears = wire_bears(desk.plan, thin, battery=True)
    if bears is not None and over(rated.number, bears.steady_chart.number):
        yield check.finding(
            f"{fuse.named()} is rated {amps(rated.number)}, but the {thin.text} wire of "
            f"{part.named()} in line with it bears {amps(bears.steady_chart.number)} at most: "
            "the wire burns before the fuse blows",
            fuse.at("rated"),
            fuse,
            part,
            help="fit a smaller fuse, or thicker wire",
            numbers=(number("rated", rated), *bears.numbers()),
        )
