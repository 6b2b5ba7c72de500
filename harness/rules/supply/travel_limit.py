"""A pack holds more than may travel by air without approval.

What it looks for
    The watt-hours of a pack, its nominal volts times its capacity, above 100 Wh.

Why it matters
    Above 100 Wh an airline must approve a lithium battery beforehand; a pack turned away at the
    airport stays there. Ask the airline, and heed its rules and the pack maker's instructions.

An example that fails
    packs:
      main: {chemistry: lipo, cells: 6, capacity: 5 Ah}

The same, mended
    packs:
      main: {chemistry: lipo, cells: 6, capacity: 4.4 Ah}

Where it comes from
    TSA, what can I bring: lithium batteries of more than 100 watt-hours need the airline's
    approval. 3.7 V a LiPo cell: PX4 user guide, battery page.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.electrics.packs import watt_hours
from harness.facts.battery import pack_volts
from harness.facts.currents import over
from harness.facts.wording import in_plan, volts_line, with_origin
from harness.parts.pack import Pack
from harness.rules.rule import Desk, Findings, rule

LITHIUM = frozenset({"lipo", "lihv", "liion", "life"})
"""The chemistries the limit is made for."""


@rule(Severity.NOTE)
def check(desk: Desk) -> Findings:
    """Report each pack above the limit."""
    limit = desk.figure("travel", "limit")
    for pack in desk.plan.of(Pack):
        nominal = pack_volts(desk.plan, pack, "nominal")
        held = watt_hours(desk.plan, pack)
        if pack.chemistry not in LITHIUM or nominal is None or held is None:
            continue
        if over(held, limit.number):
            yield check.finding(
                f"{pack.named()} holds {held:.3g} Wh, above the {limit.number:g} Wh that travel by"
                " air without the airline's approval",
                pack.at("capacity"),
                pack,
                help="ask the airline before you fly, or take two smaller packs in parallel",
                numbers=(
                    volts_line("nominal volts", nominal),
                    ("capacity", in_plan(f"{pack.capacity:g} Ah", pack.at("capacity"))),
                    ("limit", with_origin(f"{limit.number:g} Wh", limit)),
                ),
            )
