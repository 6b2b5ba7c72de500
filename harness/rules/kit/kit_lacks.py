"""The kit does not hold everything the plan uses.

What it looks for
    With a `kit:` in the plan, each 3-pin lead that no piece of the kit does for, and each part of
    another kind that the kit lists. Alike things are told once. It is a note, for they may be on
    their way; a warning as soon as more 3-pin leads are lacking than `buy-at-most` allows.

Why it matters
    A lead that is found missing with the wing half closed is replaced by whatever lies about:
    thinner, longer, or made in a hurry. Bought in time it is the right one.

An example that fails
    receivers:
      rx: {sockets: 6}
    servos:
      rudder: {class: 9g-analogue, moves: rudder, plug: rudder-ext.1}
    leads:
      rudder-ext: {kind: extension, plug: rx.4, wire: 22 AWG, length: 600 mm}
    kit:
      - {kind: extension, wire: 22 AWG, length: 450 mm, spare: yes}
    buy-at-most: 0

The same, mended
    kit:
      - {kind: extension, wire: 22 AWG, length: 600 mm}

Where it comes from
    Common practice: inventory before work; no published source.
"""

from __future__ import annotations

from collections.abc import Sequence

from harness.airframe.kit.shopping import GROUPS, Purchase, leads_to_buy, shopping
from harness.base.finding import Finding, Numbers, Severity
from harness.base.near import spoken
from harness.facts.airframe import kit
from harness.facts.wording import parts_named
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.WARNING, Severity.NOTE)
def check(desk: Desk) -> Findings:
    """Report what is to be bought; at once where that is more than the plan allows."""
    found = kit(desk.wiring)
    if found is None:
        return
    buying, most = shopping(found), desk.plan.buy_at_most
    if most is not None and leads_to_buy(buying) > most:
        yield _too_many([purchase for purchase in buying if purchase.group == GROUPS[0]], most)
        buying = tuple(purchase for purchase in buying if purchase.group != GROUPS[0])
    for purchase in buying:
        yield check.finding(
            f"the kit lacks {_counted(purchase)} for {parts_named(purchase.parts)}",
            purchase.parts[0].span,
            *purchase.parts,
            severity=Severity.NOTE,
            help="buy or make it, or list it under kit: if it is there; `harness kit` prints the"
            " list",
            numbers=_nearest([purchase]),
        )


def _too_many(leads: Sequence[Purchase], most: int) -> Finding:
    parts = [part for purchase in leads for part in purchase.parts]
    first = min(parts, key=lambda part: part.span)
    return check.finding(
        f"the kit lacks {spoken(map(_counted, leads))} for {parts_named(parts)}; "
        f"the plan allows {most or 'none'} to be bought",
        first.span,
        first,
        *parts,
        help="plan with what is there, or raise buy-at-most and buy it; `harness kit` prints"
        " the list",
        numbers=(
            ("leads to buy", str(leads_to_buy(leads))),
            ("buy-at-most", str(most)),
            *_nearest(leads),
        ),
    )


def _counted(purchase: Purchase) -> str:
    return purchase.counted + (f" ({purchase.size})" if purchase.size else "")


def _nearest(purchases: Sequence[Purchase]) -> Numbers:
    whys = dict.fromkeys(why for purchase in purchases for why in purchase.nearest)
    return tuple(("nearest in the kit", why) for why in whys)
