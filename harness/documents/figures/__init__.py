"""Figures of a solved harness as documents, and how numbers are rounded for people."""

from __future__ import annotations

import math
from typing import Any

from harness.base.colours import level_of
from harness.documents.cautions import MAKERS, armed
from harness.plan.plan import Plan

NONE = "-"
"""What stands where there is no figure."""
OVER = 1.0
NEAR = 0.8
"""Shares of what a thing bears from which on it is marked."""
ESTIMATES = (
    "These are estimates from what the plan says and from usual figures of each class; they do "
    "not replace a wattmeter and a measured flight."
)


def foot(plan: Plan) -> tuple[str, ...]:
    """Return what stands at the foot of every sheet of figures."""
    return ESTIMATES, armed(plan), MAKERS


def figure(value: float) -> str:
    """Write a figure with about three digits that count: 83.6, 2.83, 0.06."""
    if not math.isfinite(value):
        return NONE
    size = abs(value)
    text = f"{value:.{0 if size >= 99.95 else 1 if size >= 9.995 else 2}f}"
    return text[1:] if text.startswith("-") and not text.strip("-0.") else text


def whole(value: float) -> str:
    """Write a whole number: volts as millivolts, degrees, percents."""
    return NONE if not math.isfinite(value) else f"{round(value) or 0}"


def percent(share: float) -> str:
    """Write a share: 57 %; what is over stays over 100 %."""
    if not math.isfinite(share):
        return NONE
    number = share * 100
    return f"{max(round(number), 101) if number > 100 else round(number)} %"


def plainly(value: float) -> str:
    """Write a stated figure as it was stated, nearly: 5, 0.5, 7.25."""
    return f"{value:.4g}"


def lost(volts: float) -> str:
    """Write a drop: 65 mV, 1.20 V."""
    return f"{whole(volts * 1000)} mV" if abs(volts) < 0.9995 else f"{figure(volts)} V"


def tone_of(share: float) -> str:
    """Return the tone of a share: over what is borne, near it, or neither."""
    return level_of(share).shape if math.isfinite(share) else ""


def mark(number: int) -> str:
    """Return the letter of a case: a, b, ... z, aa, ab, ..."""
    head = mark(number // 26 - 1) if number >= 26 else ""
    return head + chr(ord("a") + number % 26)


def duration(seconds: float | None) -> str:
    """Write a time: 0.5 s, 12 s, 44 min 45 s, 3 h 05 min."""
    if seconds is None or not math.isfinite(seconds):
        return NONE
    if seconds < 9.95:
        return f"{seconds:.1f}".removesuffix(".0") + " s"
    whole_seconds = round(seconds)
    minutes, rest = divmod(whole_seconds, 60)
    if minutes >= 60:
        return f"{minutes // 60} h {minutes % 60:02d} min"
    return f"{minutes} min {rest:02d} s" if minutes else f"{rest} s"


def stated(document: str, plan: Plan) -> dict[str, Any]:
    """Return what the JSON of every document of figures begins with."""
    return {"document": document, "format": 1, "aircraft": plan.aircraft, "revision": plan.revision}
