"""The runs from plugs to a box: what each wants of leads, and how far they go together."""

from __future__ import annotations

from harness.airframe.lengths import LengthNeed, needed_run
from harness.airframe.routes import Airframe
from harness.base.data import dataclass, field
from harness.plan.plan import Plan
from harness.planner.items import Unplugged


@dataclass
class Runs:
    """The runs of one plan, each asked for once."""

    plan: Plan
    _frame: Airframe | None = None
    _known: dict[tuple[str, str], LengthNeed | None] = field(default_factory=dict)

    def need(self, item: Unplugged, box: str) -> LengthNeed | None:
        """Return what a run needs, or None when it is not known.

        Of a lead with loads on it the way of its own place counts.
        """
        at = (item.id, box)
        if at not in self._known:
            self._frame = self._frame or Airframe(self.plan)
            self._known[at] = needed_run(self.plan, *at, airframe=self._frame)
        return self._known[at]

    def missing(self, item: Unplugged, box: str, spent: float = 0.0) -> float:
        """Return the mm of lead a run still wants beyond the part's own, 0 when not known."""
        need = self.need(item, box)
        if need is None or item.length is None:
            return 0.0
        return max(0.0, round(need.needed - item.length - spent, 3))

    def known(self, item: Unplugged, box: str) -> bool:
        """Say whether the length a run wants is known."""
        return self.need(item, box) is not None and item.length is not None

    def shared(self, items: tuple[Unplugged, ...], box: str) -> tuple[str, float]:
        """Return the last place that all runs pass, from the box on, and the mm of way to it.

        ("", 0) where that is the box's own place, or not known.
        """
        needs = [self.need(item, box) for item in items]
        ways = [tuple(reversed(need.places)) for need in needs if need]
        if len(ways) < len(items) or not ways[0]:
            return "", 0.0
        count = 0
        while all(len(way) > count for way in ways) and len({way[count] for way in ways}) == 1:
            count += 1
        first = needs[0]
        if count < 2 or first is None:
            return "", 0.0
        legs = [leg for leg in reversed(first.way.legs) if not leg.inside][: count - 1]
        return ways[0][count - 1], round(sum(leg.length for leg in legs), 3)
