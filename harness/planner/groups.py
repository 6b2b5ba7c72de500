"""What must be kept apart, which plugs may share one pulse, and what must be mended for that.

Apart: wishes in their order, mixes, functions whose sides never share.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from harness.base.data import dataclass
from harness.base.near import spoken
from harness.facts.parity import Moved, teams
from harness.parts.servo import Servo
from harness.plan.plan import Plan
from harness.plan.radio import MIXES, Wish
from harness.planner.items import Device, Unplugged
from harness.wiring.build import Wiring

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


def _names(plan: Plan, functions: Sequence[str]) -> frozenset[str]:
    """Return functions by their own names, with the surfaces that move for them among others."""
    own = [plan.words.base(name) for name in functions]
    return frozenset(word for name in own for word in (name, *plan.words.mixed(name)))


def asks_of(plan: Plan) -> tuple[Ask, ...]:
    """Return the wishes in the order of their weight, the plan's own or ours."""
    return tuple(_ask(plan, wish) for wish in plan.wishes or DEFAULTS)


def _ask(plan: Plan, wish: Wish) -> Ask:
    of = wish.of or MIXES.get(wish.wish, ())
    how = {"own-trim": "each", "apart": "from"}.get(wish.wish, "sides")
    line = wish.spans["wish"].line if "wish" in wish.spans else 0
    names = _names(plan, of) if how == "sides" else frozenset(map(plan.words.base, of))
    others = frozenset(map(plan.words.base, wish.away_from))
    return Ask(_said(wish, of), how, names, others, wish.must, line)


def _said(wish: Wish, of: Sequence[str]) -> str:
    each = spoken(of)
    if wish.wish == "own-trim":
        return f"own trim for each {each}" if each else "own trim for everything"
    if wish.wish == "apart":
        return f"{each} apart from {spoken(wish.away_from)}"
    if wish.wish == "two-plugs":
        return f"left and right{f' {each}' if each else ''} not on one plug"
    words = {"v-tail": "V-tail mix", "differential-thrust": "differential thrust"}
    word = words.get(wish.wish, wish.wish)
    return word if wish.wish in {"v-tail", "elevon", "differential-thrust"} else f"{word} on {each}"


def limits_of(plan: Plan) -> tuple[Ask, ...]:
    """Return what must be kept apart: mixes, and functions that carry two at once."""
    mixed = [
        Ask(
            f"mix {mix.kind}",
            "sides",
            _names(plan, mix.apart),
            must=True,
            line=mix.spans["kind"].line,
        )
        for mix in plan.mixes
        if mix.apart
    ]
    moved = {part.does for part in plan.parts.values()}
    rest = [
        name
        for name in plan.words.mixed()
        if name in moved and not any(name in ask.of for ask in mixed)
    ]
    halves = (
        Ask(f"both halves of the {name}", "sides", frozenset({name}), must=True) for name in rest
    )
    return (*mixed, *halves)


MOST = 4
"""Most plugs on one pulse: what two steps of Y-leads carry; our own limit."""
PROGRAMME, TURN, REVERSER = "programme", "turn", "reverser"
RANKS = {PROGRAMME: 1, TURN: 2, REVERSER: 3}
"""What one mend costs when bought parts, joints and lengths are equal: the order of preference."""
OPPOSITE = {"left": "right", "right": "left", "up": "down", "down": "up", "open": "closed"}
OPPOSITE |= {"closed": "open"}


@dataclass(frozen=True, order=True)
class Mend:
    """One part that must be turned round, and how: programmed, turned over, a reverser."""

    part: str
    how: str


Choice = tuple[tuple[Mend, ...], tuple[str, ...]]
"""Mends, and the limits of the plan that stand in their way."""


def subsets(items: Sequence[Unplugged]) -> Iterator[tuple[Unplugged, ...]]:
    """Yield every set of one to four plugs of one family."""
    families: dict[tuple[str, str], list[Unplugged]] = {}
    for item in items:
        families.setdefault(item.family, []).append(item)
    for family, members in sorted(families.items()):
        most = 1 if family[0] == "box" else MOST
        for count in range(1, min(most, len(members)) + 1):
            yield from combinations(members, count)


def ways(wiring: Wiring, devices: Sequence[Device]) -> list[dict[str, int]]:
    """Return for each judged function +1 or -1 a servo: those of one sign move as they must."""
    moved = [Moved(d.part, d.base, d.base, d.sign) for d in devices if d.part.swings]
    judged = (t for t in teams(wiring.plan, moved) if t.pair not in {"", "any"})
    return [dict(one.ways) for team in judged for one in team.compare(wiring.plan)[0]]


def mends(
    wiring: Wiring, items: Sequence[Unplugged], already: Sequence[Device], signs: Sequence[int] = ()
) -> list[Choice]:
    """Return the least mends that make a group move as it must: (mends, limits in the way).

    One entry a choice of who is turned round; none where it cannot be done.
    """
    turns = list(signs) or [1] * len(items)
    devices = [
        Device(d.part, d.function, d.side, d.sign * turn)
        for item, turn in zip(items, turns, strict=True)
        for d in item.devices
    ]
    found: list[Choice] = [((), ())]
    for told in ways(wiring, [*devices, *already]):
        sets = [frozenset(p for p, way in told.items() if way == sign) for sign in (-1, 1)]
        chosen = [m for turned in sets for m in _mended(items, turned, told)]
        least = [m for m in chosen if not any(_less(o, m) for o in chosen)]
        found = [(a[0] + b[0], a[1] + b[1]) for a in found for b in dict.fromkeys(least)]
    return [(tuple(sorted(m)), limits) for m, limits in found]


def _less(one: Choice, other: Choice) -> bool:
    """Say whether one choice of mends needs only a part of another's, and no more limits."""
    return set(one[0]) < set(other[0]) and set(one[1]) <= set(other[1])


def _mended(
    items: Sequence[Unplugged], turned: frozenset[str], told: dict[str, int]
) -> Iterator[Choice]:
    """Yield how the servos `turned` are mended; nothing when one of them is plugged in already.

    A servo that is built in could be turned over if it were not: that is a limit of the plan.
    """
    for loose in (False, True):
        made: list[Mend] = []
        limits: list[str] = []
        left = set(turned)
        for item in items:
            mine = [d for d in item.devices if d.part.id in turned]
            left -= {d.part.id for d in mine}
            own = [_own_mend(d, loose, limits) for d in mine]
            if all(own):
                made += [m for m in own if m]
            elif len(mine) == sum(d.part.id in told for d in item.devices):
                made.append(Mend(item.id, REVERSER))
            else:
                left.add(item.id)
        if not left and loose == bool(limits):
            yield tuple(made), tuple(limits)


def _own_mend(device: Device, loose: bool, limits: list[str]) -> Mend | None:
    """Return how a servo itself can be turned round, the better way; None: only by a reverser."""
    servo = device.part
    assert isinstance(servo, Servo)
    if servo.programmable:
        return Mend(servo.id, PROGRAMME)
    if not servo.shaft or servo.measured or (servo.stays_put and not loose):
        return None
    limits += [f"{servo.named()} is built in"] if servo.stays_put else []
    return Mend(servo.id, TURN)
