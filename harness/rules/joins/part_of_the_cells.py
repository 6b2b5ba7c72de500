"""Something is to be fed from some of a pack's cells.

What it looks for
    A plug that goes to a tap of a pack's balance plug (`main.balance.2`: between the pack's minus
    and the plus of its second cell) instead of to all of its cells.

Why it matters
    The cells below the tap run down further than the others. The pack still shows its volts when
    they are past their end: they are ruined, and may burn at the next charge.

An example that fails
    packs:
      main: {chemistry: lipo, cells: 4, capacity: 3 Ah, connector: XT60}
    power-leads:
      tap: {kind: balance-adapter, supply: main.balance.2, connector: XT30}

The same, mended
    power-leads:
      tap: {kind: balance-adapter, supply: main.balance, connector: XT30}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.base.units import CHARGE, format_quantity
from harness.parts.contacts import Form
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each tap once."""
    for mate in desk.wiring.mates:
        pack = desk.plan.parts.get(mate.join.part)
        base, _, tap = mate.join.socket.partition(".")
        if pack is None or not pack.holds_cells or base != "balance" or not tap:
            continue
        count = int(tap)
        if not 0 < count < pack.cells:
            right = f"its taps are 1 to {pack.cells - 1}, all its cells are `{pack.id}.balance`"
            yield check.at_plug(f"{pack.named()} has no tap {count}", mate, pack, help=right)
            continue
        whole = f"{pack.id}.balance" if Form.BALANCE in mate.plug.forms else pack.id
        held = getattr(pack, "capacity", None)
        much = f" of {format_quantity(held, CHARGE)}" if held else ""
        yield check.at_plug(
            f"{mate.plug.part.named()} is fed from {count} of the {pack.cells} cells{much} of"
            f" {pack.named()}: these run down alone, past their end while the pack still shows"
            " enough volts",
            mate,
            pack,
            help=f"feed it from all of its cells (`{whole}`), through a regulator where they are"
            " too many volts",
        )
