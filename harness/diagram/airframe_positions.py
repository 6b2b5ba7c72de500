"""Where each part of an aeroplane stands when it is seen from above, nose up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from harness.base.functions import plain
from harness.diagram.lead_ribbons import is_turned
from harness.diagram.page_setting import Shared
from harness.diagram.sheets import Stand
from harness.parts.motor import Motor
from harness.parts.part import Part
from harness.parts.servo import Servo
from harness.plan.plan import Plan
from harness.wiring.build import Mate

NOSE = frozenset({"nose", "front", "cowl", "cowling", "spinner", "bow"})
TAIL = frozenset({"tail", "fin", "rear", "aft", "stabiliser", "stabilizer", "empennage", "stern"})
TAIL_FUNCTIONS = ("elevator", "rudder", "v-tail", "ruddervator", "stabilator")
LEFT, MIDDLE, RIGHT = 0, 1, 2
TAIL_END = 2  # the level of what sits in the tail


def has_tail(plan: Plan) -> bool:
    """Say whether the aeroplane has a tail: a place called so, or something that moves one."""
    words = {word for place in plan.places for word in place.lower().split("-")}
    moved = {plain(servo.moves) for servo in plan.of(Servo)}
    return bool(words & TAIL) or bool(moved & set(TAIL_FUNCTIONS))


@dataclass(frozen=True)
class Standing:
    """Block (left, middle, right), height class (0 nose, 1 between, 2 tail), zone."""

    block: int
    level: int
    zone: str


class Stance:
    """Columns and facings of all parts of a plan, whether on the page or not.

    Each wing has a column of its own, the middle has `deepest` + 1: sources first.
    """

    def __init__(self, desk: Shared, deepest: int) -> None:
        self.desk, self.plan, self.deepest = desk, desk.report.plan, deepest
        mates = desk.report.wiring.mates
        self.pairs = [_ends(mate) for mate in mates if mate.socket is not None]
        self.spots = {p.id: self._spot(p) for p in self.plan.parts.values()}
        self.columns = self._columns()
        pushers = frozenset(m.id for m in self.plan.of(Motor) if self._pushes(m))
        self.stand = Stand(self.columns, frozenset(self._facing_left()), pushers)

    def _pushes(self, motor: Motor) -> bool:
        """Say whether a motor sits in the tail or is called a pusher."""
        return self.spots[motor.id].level == TAIL_END or "pusher" in motor.id.lower().split("-")

    def _spot(self, part: Part) -> Standing:
        zone = self.desk.home(part)
        chain = self.plan.holds(zone)
        sides = [self.plan.places[p].side for p in chain if self.plan.places[p].side]
        side = sides[0] if sides else _named_side(chain)
        if not chain and not part.carries_signal:
            side = self.plan.side(part)
        block = {"left": LEFT, "right": RIGHT}.get(side, MIDDLE)
        return Standing(block, self._level(part, chain) if block == MIDDLE else 1, zone)

    @staticmethod
    def _level(part: Part, chain: tuple[str, ...]) -> int:
        words = {word for place in chain for word in place.lower().replace("_", "-").split("-")}
        if words & NOSE:
            return 0
        if words & TAIL:
            return 2
        if not chain and str(getattr(part, "moves", "")).startswith(TAIL_FUNCTIONS):
            return 2
        return 0 if not chain and (part.drives or part.spins) else 1

    def _columns(self) -> dict[str, int]:
        depth = self._depths()
        sides = {LEFT: 0, RIGHT: self.deepest + 2}
        return {
            name: sides.get(spot.block, 1 + min(depth[name], self.deepest))
            for name, spot in self.spots.items()
        }

    def _depths(self) -> dict[str, int]:
        """Return how many leads lie between a part and a source, inside its own block."""
        depth = dict.fromkeys(self.spots, 0)
        for _ in depth:
            before = dict(depth)
            for near, far in self.pairs:
                if self.spots[near].block == self.spots[far].block:
                    depth[far] = min(max(depth[far], depth[near] + 1), len(depth))
            if depth == before or max(depth.values()) > len(depth) // 2 + 8:
                break
        return depth

    def _facing_left(self) -> list[str]:
        """Return the parts that are mirrored: what feeds them stands at their right."""
        depth = self._depths()
        found: dict[str, bool] = {}
        for name in sorted(self.spots, key=lambda n: (self.spots[n].block != MIDDLE, depth[n])):
            feeds = [near for near, far in self.pairs if far == name]
            found[name] = self._is_mirrored(name, feeds, found)
        return [name for name, mirrored in found.items() if mirrored]

    def _is_mirrored(self, name: str, feeds: list[str], found: Mapping[str, bool]) -> bool:
        here = self.columns[name]
        if not feeds:
            return self.spots[name].block == RIGHT
        turns = [
            (self.columns[f] > here) if self.columns[f] != here else not found.get(f, False)
            for f in feeds
        ]
        return sum(turns) * 2 > len(turns)


def _ends(mate: Mate) -> tuple[str, str]:
    """Return the part that feeds and the part that is fed, as they are drawn."""
    assert mate.socket is not None
    pair = (mate.socket.part.id, mate.plug.part.id)
    return (pair[1], pair[0]) if is_turned(mate) else pair


def _named_side(chain: tuple[str, ...]) -> str:
    words = {word for place in chain for word in place.lower().replace("_", "-").split("-")}
    return next((side for side in ("left", "right") if side in words), "")
