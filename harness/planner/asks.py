"""What must be kept apart: wishes in their order, mixes, functions whose sides never share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from harness.base.functions import plain
from harness.base.near import spoken
from harness.plan.plan import Plan
from harness.plan.radio import MIXES, Wish
from harness.planner.items import Device

ALWAYS_APART = ("elevon", "v-tail")
"""Two surfaces that carry two functions at once: their sides never share a channel."""
_HALVES = {"aileron": {"aileron", "flaperon"}}

DEFAULTS = (
    Wish(wish="differential", of=("aileron",)),
    Wish(wish="apart", of=("steering",), away_from=("rudder",)),
    Wish(wish="own-trim", of=("flap",)),
    Wish(wish="own-trim", of=("elevator",)),
    Wish(wish="differential-thrust", of=("throttle",)),
)
"""What is taken for the builder's wishes when the plan states none: our own choice."""


@dataclass(frozen=True)
class Ask:
    """One demand that devices be kept apart. `name` stands for it in messages.

    `how`: each (a channel for each device), sides (left and right not together) or from (not with
    the functions `others`). `must`: a limit; else a wish. `line` 0: our own.
    """

    name: str
    how: str
    of: frozenset[str]
    others: frozenset[str] = frozenset()
    must: bool = False
    line: int = 0

    def gain(self) -> str:
        """Return what it would bring, after the word "would"."""
        if self.how == "each":
            of = self.name.partition(" each ")[2]
            return f"give each {of} its own trim" if of else "give everything its own trim"
        if self.how == "from":
            return f"keep {self.name}"
        return f"give {self.name} the channels it needs"

    def breaks(self, devices: Sequence[Device]) -> bool:
        """Say whether devices on one channel go against it."""
        mine = [d for d in devices if not self.of or d.base in self.of]
        if self.how == "each":
            return bool(mine) and len(devices) > 1
        if self.how == "from":
            return bool(mine) and any(d.base in self.others for d in devices)
        return any(_sides_meet(mine, base) for base in {d.base for d in mine})

    def concerns(self, devices: Sequence[Device]) -> bool:
        """Say whether it has anything to decide among the devices of a plan."""
        mine = [d for d in devices if not self.of or d.base in self.of]
        if self.how == "from":
            return bool(mine) and any(d.base in self.others for d in devices)
        return any(sum(d.base == base for d in mine) > 1 for base in {d.base for d in mine})


def _sides_meet(devices: Sequence[Device], base: str) -> bool:
    """Devices of one function whose sides differ; a side nobody said is another one."""
    sides = [d.side for d in devices if d.base == base]
    return len(sides) > 1 and ("" in sides or len(set(sides)) > 1)


def _names(functions: Sequence[str]) -> frozenset[str]:
    return frozenset(word for name in functions for word in _HALVES.get(plain(name), {plain(name)}))


def asks_of(plan: Plan) -> tuple[Ask, ...]:
    """Return the wishes in the order of their weight, the plan's own or ours."""
    return tuple(_ask(wish) for wish in plan.wishes or DEFAULTS)


def _ask(wish: Wish) -> Ask:
    of = wish.of or MIXES.get(wish.wish, ())
    how = {"own-trim": "each", "apart": "from"}.get(wish.wish, "sides")
    line = wish.spans["wish"].line if "wish" in wish.spans else 0
    return Ask(_said(wish, of), how, _names(of), _names(wish.away_from), wish.must, line)


def _said(wish: Wish, of: Sequence[str]) -> str:
    each = spoken(of)
    if wish.wish == "own-trim":
        return f"own trim for each {each}" if each else "own trim for everything"
    if wish.wish == "apart":
        return f"{each} apart from {spoken(wish.away_from)}"
    if wish.wish == "two-plugs":
        return (
            f"left and right {each} not on one plug" if each else "left and right not on one plug"
        )
    words = {"v-tail": "V-tail mix", "differential-thrust": "differential thrust"}
    word = words.get(wish.wish, wish.wish)
    return word if wish.wish in {"v-tail", "elevon", "differential-thrust"} else f"{word} on {each}"


def limits_of(plan: Plan) -> tuple[Ask, ...]:
    """Return what must be kept apart: mixes, and functions that carry two at once."""
    found = [
        Ask(f"mix {mix.kind}", "sides", _names(mix.apart), must=True, line=mix.spans["kind"].line)
        for mix in plan.mixes
        if mix.apart
    ]
    given = {name for ask in found for name in ask.of}
    found += [
        Ask(f"both halves of the {name}", "sides", frozenset({name}), must=True)
        for name in ALWAYS_APART
        if name not in given
    ]
    return tuple(found)
