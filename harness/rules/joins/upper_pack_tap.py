"""Something fed from the upper pack of a stack has its ground at the receiver.

What it looks for
    A regulator, sensor, speed controller or sequencer on the upper pack of a series join whose
    ground reaches, by the receiver or another lead, the minus of the lower pack. If it is isolated,
    or nothing else ties the receiver to the lower pack, there is no fault.

Why it matters
    The minus of the upper pack is the plus of the lower one. The ground lead shorts the lower pack
    through wires made for a servo: they glow and burn their neighbours.

An example that fails
    packs:
      low: {chemistry: lipo, cells: 6, capacity: 5 Ah, connector: XT90}
      high: {chemistry: lipo, cells: 6, capacity: 5 Ah, connector: XT90}
    power-leads:
      stack: {kind: series, connector: XT90, supply: [low, high-y.1]}
      high-y: {kind: parallel, ways: 2, connector: XT90, supply: high}
    receivers:
      rx: {sockets: 4}
    escs:
      esc: {cells-max: 12, bec: none, connector: XT90, plug: rx.3, supply: stack.1}
    regulators:
      radio: {kind: switching, volts: 6 V, connector: XT90, plug: rx.batt, supply: high-y.2}

The same, mended
    power-leads:
      high-y: taken out
      stack: {kind: series, connector: XT90, supply: [low-y.1, high]}
      low-y: {kind: parallel, ways: 2, connector: XT90, supply: low}
    regulators:
      radio: {kind: switching, volts: 6 V, connector: XT90, plug: rx.batt, supply: low-y.2}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.facts.shorts import Short, shorts
from harness.facts.wording import by_cells, joined, parts_named, volts
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.DANGER)
def check(desk: Desk) -> Findings:
    """Report each tap once."""
    return (_finding(short) for short in shorts(desk.wiring) if short.kind == "upper-pack-tap")


def _finding(short: Short) -> Finding:
    tap, pull = short.taps[0], short.pull
    assert pull is not None
    back = parts_named(short.taps[1:]) or "another lead"
    return check.finding(
        f"{tap.named()} is fed above {parts_named(short.packs)}, and its ground goes back below by"
        f" {back}: {volts(short.volts)} are shorted through signal leads"
        f" ({', '.join(joined(mate) for mate in short.mates)})",
        pull.span,
        tap,
        *short.packs,
        *short.taps[1:],
        spot=pull.plug.name,
        help=f"packs off; {_cure(tap)}",
        numbers=(by_cells("across the loop", short.volts, "packs"),),
    )


def _cure(tap: Part) -> str:
    """What makes its own volts, or meters them, may hang on a pack; nothing else may."""
    if tap.has_key("isolated"):
        return f'feed "{tap.id}" from the lowest pack of the stack, or use an isolated one'
    return f'feed "{tap.id}" from the radio, or from a supply of its own volts'
