"""How near to its limit something is: classes of share with colour, shape and words."""

from __future__ import annotations

from dataclasses import dataclass
from math import isnan
from typing import Literal

from harness.base.colours import STATUS, Status


@dataclass(frozen=True, slots=True)
class Level:
    """One class of share of what a thing bears: from `least` (1 is all of it) upwards.

    `shape` tells it apart without colour; most things need none.
    """

    least: float
    status: Status
    shape: Literal["", "warning", "danger"]
    words: str


UNRATED = Level(float("nan"), STATUS["unknown"], "", "limit not known")
"""Of what nobody knows the limit of."""

LEVELS = (
    Level(0.0, STATUS["ok"], "", "under 50 %"),
    Level(0.5, STATUS["note"], "", "50 to 80 %"),
    Level(0.8, STATUS["warning"], "warning", "80 to 100 %"),
    Level(1.0, STATUS["danger"], "danger", "over 100 %"),
)
"""Classes of share; the steps are our own choice, 1 is what the limit says."""


def level_of(share: float) -> Level:
    """Return the class of a share; `UNRATED` for not a number. Just all of a limit is not over."""
    if isnan(share):
        return UNRATED
    over = LEVELS[-1]
    below = [level for level in LEVELS[:-1] if share >= level.least]
    return over if share > over.least else below[-1]


def amps_text(amps: float) -> str:
    """Write a current for a picture: 0.74 A, 1.1 A, 24.8 A, 152 A."""
    size = abs(amps)
    places = 2 if size < 0.995 else 1 if size < 99.95 else 0
    return f"{size:.{places}f} A"


def share_text(share: float) -> str:
    """Write a share of a limit: 22 %; nothing where no limit is known."""
    return "" if isnan(share) else f"{100 * share:.0f} %"


def volts_text(volts: float) -> str:
    """Write volts for a picture: 5.81 V."""
    return f"{volts:.2f} V"
