"""What varies from one plane to the next: factors by which a tolerance run multiplies figures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from harness.electrics.solver.circuit import Amount, Array


@dataclass(frozen=True)
class Spread:
    """Factors by what they belong to, each an array of shape (draws,); 1 where none is given.

    `contacts` by link number, `packs`, `supplies` and `movers` by part id. A mover's factor
    holds whatever it does; one for a single state goes by "id state" (still, moving, stalled).
    """

    draws: int = 1
    contacts: Mapping[str, Array] = field(default_factory=dict)
    packs: Mapping[str, Array] = field(default_factory=dict)
    supplies: Mapping[str, Array] = field(default_factory=dict)
    movers: Mapping[str, Array] = field(default_factory=dict)

    def contact(self, number: str, cases: int) -> Amount:
        """Return the factor of a mated contact's resistance, one a draw."""
        return self._each(self.contacts, number, cases)

    def cells(self, pack: str, cases: int) -> Amount:
        """Return the factor of a pack's cell resistance."""
        return self._each(self.packs, pack, cases)

    def supply(self, part: str, cases: int) -> Amount:
        """Return the factor of a BEC's or regulator's volts."""
        return self._each(self.supplies, part, cases)

    def draw(self, part: str, states: Sequence[str]) -> Amount:
        """Return the factor of what a servo or leg draws, by what it does in each case."""
        each = [self.movers.get(f"{part} {state}", self.movers.get(part)) for state in states]
        if all(factor is None for factor in each):
            return 1.0
        one = np.ones(self.draws)
        return np.concatenate([one if factor is None else factor for factor in each])

    def some(self, start: int, stop: int) -> Spread:
        """Return the draws from `start` up to `stop`."""

        def cut(of: Mapping[str, Array]) -> Mapping[str, Array]:
            return {key: factor[start:stop] for key, factor in of.items()}

        stop = min(stop, self.draws)
        groups = (self.contacts, self.packs, self.supplies, self.movers)
        return Spread(stop - start, *map(cut, groups))

    def _each(self, of: Mapping[str, Array], key: str, cases: int) -> Amount:
        factor = of.get(key)
        return 1.0 if factor is None else np.tile(factor, cases)


NONE = Spread()
"""Nothing varies."""
