"""A pack is asked for more current than its label can be trusted for.

What it looks for
    What hangs on a pack, against its C rate times its capacity. Labels are optimistic, so only
    50 to 60 % of that is trusted; above the label itself it is an error.

Why it matters
    A pack asked for too much gets hot and puffs up, its volts sag, and the ESC or the receiver
    cuts out when the power is wanted most. Heed its maker's instructions.

An example that fails
    escs:
      esc: {rated: 80 A, supply: main, bec: none, wire: 10 AWG}
    motors:
      motor: {full-throttle: 38 A, plug: esc}
    packs:
      main: {chemistry: lipo, cells: 3, capacity: 2.2 Ah, rate: 25 C, connector: XT60}

The same, mended
    packs:
      main: {chemistry: lipo, cells: 3, capacity: 2.2 Ah, rate: 40 C, connector: XT60}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Numbers, Severity
from harness.electrics.flow import Flow
from harness.facts.currents import amps, apart, case_numbers, currents, over, when
from harness.facts.stronger import packs_for
from harness.parts.figure import Figure, from_catalogue
from harness.parts.pack import Pack
from harness.parts.part import of_kind
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Wiring


@rule(Severity.WARNING, Severity.ERROR, solved=True)
def check(desk: Desk) -> Findings:
    """Report each pack once."""
    for pack in desk.plan.of(Pack):
        flow = currents(desk.wiring).by_source.get(pack.id)
        if flow is None or not flow.live:
            continue
        trust = from_catalogue(desk.plan.catalogue, "packs", pack.chemistry, "label-trust")
        if pack.rate is not None and pack.capacity is not None and trust is not None:
            yield from _judge(desk, pack, flow, pack.rate * pack.capacity, trust)
        _list_unknown(desk, pack, flow)


def _list_unknown(desk: Desk, pack: Pack, flow: Flow) -> None:
    for word, what in (("capacity", "its capacity"), ("rate", "the C rate on its label (rate)")):
        if getattr(pack, word) is None:
            desk.not_known(pack, what)
    for draw in flow.missing:
        fed = [name for name, f in currents(desk.wiring).by_source.items() if draw in f.draws]
        packs_alone = all(desk.plan.parts[name].holds_cells for name in fed if name != pack.id)
        if not draw.part.drives and packs_alone:
            desk.not_known(draw.part, draw.missing)


def _judge(desk: Desk, pack: Pack, flow: Flow, label: float, trust: Figure) -> Findings:
    allowed = label * trust.number
    if not over(flow.steady, allowed) and not over(flow.burst, label):
        return
    takes, trusted = apart(flow.steady, allowed)
    cases = case_numbers(desk.wiring, flow.steady_case, flow.burst_case)
    yield check.finding(
        f"{pack.named()} must give {takes} continuously, {amps(flow.burst)} at once"
        f"{when(flow.burst_case)}; "
        f"its label says {amps(label)}, of which {trusted} can be trusted",
        pack.at("rate"),
        pack,
        severity=Severity.ERROR if over(max(flow.steady, flow.burst), label) else None,
        help=_advice(desk, pack, trust),
        numbers=(*_numbers(desk, pack, label, trust), *cases),
    )


def _advice(desk: Desk, pack: Pack, trust: Figure) -> str:
    """Name how large it must be for what then flows; the packs of a stack stay alike."""

    def mended(after: Wiring) -> bool:
        flow, then = currents(after).by_source.get(pack.id), after.plan.parts[pack.id]
        (now,) = of_kind(Pack, [then])
        label = (now.rate or 0.0) * (now.capacity or 0.0)
        heavy = flow is None or over(flow.steady, label * trust.number) or over(flow.burst, label)
        return not heavy

    size = packs_for(desk.wiring, [pack], mended)
    if "all alike" in size:
        return f"take {size}, or of a higher rate"
    size = size or "a pack of more capacity"
    return f"take {size}, or of a higher rate, or a second one in parallel"


def _numbers(desk: Desk, pack: Pack, label: float, trust: Figure) -> Numbers:
    low = from_catalogue(desk.plan.catalogue, "packs", pack.chemistry, "label-trust-low")
    lines = f"plan lines {pack.at('capacity').line} and {pack.at('rate').line}"
    return (
        ("C rate times capacity", f"{amps(label)}, {lines}"),
        ("trusted share", f"{trust.number:.0%}, {trust.origin}"),
        *((("trusted share, low", f"{low.number:.0%}, {low.origin}"),) if low else ()),
    )
