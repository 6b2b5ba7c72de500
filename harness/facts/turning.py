"""What turns in the air, in a builder's words: propellers, fans, or both."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from harness.base.near import spoken
from harness.parts.motor import Motor
from harness.parts.part import Part
from harness.plan.plan import Plan

_ON = {"off": "on", "unplugged": "plugged in"}
_ORDER = {"off": "take {}s off", "unplugged": "unplug {}s"}
_DEAD = {"off": "{} off, motor unplugged", "unplugged": "{} unplugged"}


@dataclass(frozen=True, slots=True)
class Turning:
    """What turns, one of each sort; a plan that names nothing that turns has propellers.

    Every word is said of the sorts that are there and of no other.
    """

    sorts: tuple[type[Part], ...]

    @property
    def one(self) -> str:
        """Propeller, or: propeller or fan."""
        return spoken([sort.spins for sort in self.sorts], "or")

    @property
    def many(self) -> str:
        """Propellers, or: propellers and fans."""
        return spoken([f"{sort.spins}s" for sort in self.sorts])

    @property
    def off(self) -> str:
        """How they are before a test: propellers off, fans unplugged."""
        return ", ".join(f"{sort.spins}s {sort.made_safe}" for sort in self.sorts)

    @property
    def on(self) -> str:
        """How they are for a test under power: propellers on, fans plugged in."""
        return ", ".join(f"{sort.spins}s {_ON[sort.made_safe]}" for sort in self.sorts)

    @property
    def one_on(self) -> str:
        """The same of one: propeller on."""
        return " or ".join(f"{sort.spins} {_ON[sort.made_safe]}" for sort in self.sorts)

    @property
    def order(self) -> str:
        """What is done before a test: take propellers off and unplug fans."""
        return " and ".join(_ORDER[sort.made_safe].format(sort.spins) for sort in self.sorts)

    @property
    def dead(self) -> str:
        """How a motor is kept still while its ESC is tried: propeller off, motor unplugged."""
        return "; ".join(_DEAD[sort.made_safe].format(sort.spins) for sort in self.sorts)

    @property
    def tried_bare(self) -> str:
        """How it is seen on the bench which way they turn."""
        return "; ".join(sort.tried_bare for sort in self.sorts)


def turning(plan: Plan) -> Turning:
    """Return what turns on a plan."""
    return turning_of(plan.of(Motor))


def turning_of(parts: Iterable[Part]) -> Turning:
    """Return what some parts turn."""
    sorts = {type(part) for part in parts if part.spins}
    return Turning(tuple(sorted(sorts, key=lambda sort: sort.rank))) if sorts else PROPELLERS


PROPELLERS = Turning((Motor,))
