"""Which function the radio expects on which channel."""

from __future__ import annotations

from harness.facts.signals import STICKS, radio_order
from harness.plan.plan import Plan

USUAL = {"gear": "5", "flap": "6"}
"""Channel 5 is commonly gear, 6 flap or the second aileron: common practice."""
SECOND_AILERON = "6"


def _letters(plan: Plan, stated: bool) -> str:
    order, _ = radio_order(plan)
    if not order and not stated:
        order = plan.catalogue.require("rules", "channels", "order").text
    return order if sorted(order) == sorted(STICKS) else ""


def expected_stick(plan: Plan, channel: str) -> str:
    """Return the stick function that one of the first four channels must have, or "".

    Only where the plan says what the radio sends, or an autopilot does.
    """
    letters = _letters(plan, stated=True)
    number = int(channel) if channel.isdecimal() else 0
    return STICKS[letters[number - 1]] if letters and 1 <= number <= 4 else ""


def expected(plan: Plan) -> dict[str, str]:
    """Return the channel that each function is expected on (transmitter order; catalogue rules)."""
    letters = _letters(plan, stated=False)
    return {**{STICKS[c]: str(n) for n, c in enumerate(letters, 1)}, **USUAL}
