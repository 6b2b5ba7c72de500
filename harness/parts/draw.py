"""What a part draws from its supply: continuously, and for seconds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from harness.parts.part import Part


@dataclass(frozen=True, slots=True, eq=False)
class Draw:
    """What one part draws, in A.

    `missing` says which fact nobody gave: the figures are zero then.
    """

    part: Part
    inside: str
    steady: float
    moving: float
    stall: float
    origin: str
    missing: str = ""
    idle: float = 0.0


def unknown_draw(part: Part, inside: str, missing: str) -> Draw:
    """Return a draw that nobody knows."""
    return Draw(part, inside, 0.0, 0.0, 0.0, "", missing)
