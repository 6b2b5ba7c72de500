"""The current through one thing, as rules and documents judge and tell it."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

from harness.base.data import dataclass, field, replace
from harness.parts.figure import Draw

LEAST_TOLD = 0.005
"""A from which on a current is worth a word or a number."""

Amounts = dict[Draw, float]
"""A by what draws it."""


@dataclass
class Flow:
    """The current through one thing, in A: the worst case for good, and the worst for seconds.

    `steady_case` and `burst_case` name the operating cases. What adds up to them is worked out
    when it is first asked for. `unknown`: whether anything in the plan draws nobody knows what.
    """

    steady: float = 0.0
    burst: float = 0.0
    steady_case: str = ""
    burst_case: str = ""
    unknown: bool = False
    _steadies: Callable[[], Amounts] = field(default=dict, repr=False)
    _peaks: Callable[[], Amounts] = field(default=dict, repr=False)

    @cached_property
    def steadies(self) -> Amounts:
        """What each draw adds to `steady`."""
        return self._steadies()

    @cached_property
    def peaks(self) -> Amounts:
        """What each draw adds to `burst`."""
        return self._peaks()

    @property
    def draws(self) -> list[Draw]:
        """The draws that are fed through here, known or not."""
        return list(self.steadies)

    @property
    def parts(self) -> list[str]:
        """The ids of what draws."""
        return sorted({draw.part.id for draw in self.draws})

    @property
    def missing(self) -> list[Draw]:
        """The draws that nobody knows."""
        return [draw for draw in self.draws if draw.missing] if self.unknown else []

    @property
    def live(self) -> bool:
        """Whether anything flows here, or would if its current were known."""
        return bool(self.steady or self.burst or self.missing)


EVEN = 1e-6
"""A by which one flow must exceed another to be the larger: rounding decides nothing."""


def larger(one: Flow, other: Flow) -> Flow:
    """Return the larger of two flows, what lasts and what comes at once each by itself."""
    steady = other if other.steady > one.steady + EVEN else one
    burst = other if other.burst > one.burst + EVEN else one
    if steady is burst:
        return steady
    return replace(
        steady, burst=burst.burst, burst_case=burst.burst_case, _peaks=lambda: burst.peaks
    )
