"""What varies from one plane to the next: factors by which a tolerance run multiplies figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from harness.electrics.circuit import Amount, Array


@dataclass(frozen=True)
class Spread:
    """Factors by what they belong to, each an array of shape (draws,); 1 where none is given.

    `contacts` by link number, `packs`, `supplies` and `movers` by part id.
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

    def draw(self, part: str, cases: int) -> Amount:
        """Return the factor of what a servo or leg draws."""
        return self._each(self.movers, part, cases)

    def _each(self, of: Mapping[str, Array], key: str, cases: int) -> Amount:
        factor = of.get(key)
        return 1.0 if factor is None else np.tile(factor, cases)


NONE = Spread()
"""Nothing varies."""
