"""Legs that no sequencer holds back, and what is said of them before the supply comes on."""

from __future__ import annotations

from collections.abc import Sequence

from harness.base.near import spoken
from harness.electrics.gear.motion import functions_of
from harness.wiring.build import Wiring

HELD = "the model held or on a stand, never on its wheels"


def loose_legs(wiring: Wiring) -> list[str]:
    """Return the legs that answer to a channel themselves, by id."""
    movers = (mover for some in functions_of(wiring).values() for mover in some)
    return sorted(m.part.id for m in movers if m.part.is_leg and m.box is None)


def leg_warning(loose: Sequence[str]) -> str:
    """Say what such legs do when the supply comes on; "" where there are none."""
    if not loose:
        return ""
    verb, them = ("runs", "it") if len(loose) == 1 else ("run", "them")
    return (
        f"{spoken(loose)} {verb} at once to where the gear switch stands when the supply comes on,"
        f" as no sequencer holds {them} back: never switch on with the model on its wheels; hold"
        " it, or put it on a stand"
    )
