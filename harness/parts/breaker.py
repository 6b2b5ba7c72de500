"""What opens a circuit on purpose, or to save it: an arming plug, a fuse, a switch."""

from __future__ import annotations

from typing import ClassVar

from harness.base.data import dataclass
from harness.parts.contacts import POLE_PINS
from harness.parts.part import BenchFacts, Part
from harness.reading.kinds import Choice
from harness.reading.records import key

ONE_POLE = {"positive": "the red wire", "negative": "the black wire"}
WIRES_OF = {"positive": "red wire", "negative": "black wire", "both": "red and the black wire"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Breaker(Part):
    """Something in line that is at times open."""

    when_open: ClassVar[str] = "open"
    """What a builder calls it then: out, off, blown."""
    pole: str = key(
        Choice({**ONE_POLE, "both": "both wires at once"}),
        "the wire that it opens",
        default="positive",
    )

    @property
    def breaks(self) -> tuple[str, ...]:
        """The pins that it opens."""
        if not self.can_open:
            return ()
        return POLE_PINS if self.pole == "both" else (self.pole,)

    @property
    def can_open(self) -> bool:
        """Whether it opens anything at all."""
        return True

    @property
    def is_open(self) -> bool:
        """Whether the plan has it open as it stands."""
        return False

    def pole_words(self) -> tuple[str, ...]:
        """Return the line under its name, where it is not in the red wire as usual."""
        return (f"in the {WIRES_OF[self.pole]}",) if self.pole != "positive" else ()

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """Meter it."""
        return f"Meter {self.named()}: it passes current as it should, and only so", ""
