"""The planner's decision space by plain enumeration, for plans without positions.

Written apart from the planner: it knows nothing of columns, programmes or cuts. It writes every
plan down as text, counts what it costs on paper, and lets the rules judge the cheapest first.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from heapq import heapify, heappop, heappush
from itertools import permutations, product

from support import plan_of

from harness.base.finding import Severity
from harness.rules.run import Report, check

ORDER = {"1": "aileron", "2": "elevator", "3": "throttle", "4": "rudder"}
USUAL = {**{f: c for c, f in ORDER.items()}, "gear": "5", "flap": "6"}
DEFAULTS = ["differential aileron", "apart", "own-trim flap", "own-trim elevator",
            "differential-thrust throttle"]  # fmt: skip
MEND_COST = {"": 0, "programme": 1, "turn": 2, "reverser": 3}
OTHER = {"left": "right", "right": "left"}
CHANNEL_RULES = {"channel-order", "wrong-channel"}
APART = ("kit-", "lead-not-tested", "bec-", "one-supply-plug", "too-many-joints")
"""Rules of what is bought or left over, of records, and of the feed; runs count one by one."""


@dataclass
class Servo:
    name: str
    moves: str
    shaft: str = ""
    programmable: bool = False
    fixed: bool = False
    size: str = "9g-analogue"

    @property
    def side(self) -> str:
        return next((s for s in ("left", "right") if self.name.endswith(s)), "")


@dataclass
class Case:
    """One small plan as data. `ys`: lengths of the Y-leads of the kit; `wishes`: (word, must).

    `threes`: lengths of its three-way leads; `ratings`: what an ESC is rated for, 30 A else.
    """

    servos: list[Servo]
    sockets: int
    escs: dict[str, float] = field(default_factory=dict)
    legs: list[str] = field(default_factory=list)
    regulators: dict[str, float] = field(default_factory=dict)
    ys: list[int] = field(default_factory=list)
    reversers: int = 0
    buy: int | None = None
    wishes: list[tuple[str, bool]] = field(default_factory=list)
    channels: dict[str, str] = field(default_factory=dict)
    order: bool = True
    sent: int | None = None
    threes: list[int] = field(default_factory=list)
    ratings: dict[str, int] = field(default_factory=dict)

    @property
    def asked(self) -> list[tuple[str, bool]]:
        """The wishes that decide: the plan's own, or those the planner says it takes."""
        return self.wishes or [(word, False) for word in DEFAULTS]

    @property
    def items(self) -> list[str]:
        return sorted([s.name for s in self.servos] + list(self.escs) + self.legs)

    def moves(self, name: str) -> str:
        if name in self.escs:
            return "throttle"
        return next((s.moves for s in self.servos if s.name == name), "gear")

    def side(self, name: str) -> str:
        return next((s for s in ("left", "right") if name.endswith(s)), "")

    def text(self, made: Made | None = None) -> str:
        """The plan as it is, or with everything plugged in as `made` says."""
        lines = [f"receivers: {{rx: {{sockets: {self.sockets}}}}}"]
        radio = (["order: AETR"] if self.order else []) + (
            [f"channels: {self.sent}"] if self.sent else []
        )
        lines += [f"transmitter: {{{', '.join(radio)}}}"] if radio else []
        if self.buy is not None:
            lines.append(f"buy-at-most: {self.buy}")
        lines += self._head(made)
        lines += ["servos:", *(self._servo(s, made) for s in self.servos)] if self.servos else []
        plug = made.plugs if made else {}
        lines += ["retracts:"] if self.legs else []
        for leg in self.legs:
            to = f", plug: {plug[leg]}" if made else ""
            lines.append(f"  {leg}: {{kind: self-contained, class: small{to}}}")
        lines += ["escs:"] if self.escs else []
        lines += [self._esc(name, made) for name in self.escs]
        lines += ["regulators:"] if self.regulators else []
        for name, rated in self.regulators.items():
            to = ", plug: rx.batt" if made and made.feed == name else ""
            bec = f"kind: switching, volts: 5 V, rated: {rated:g} A, supply: pack-y.1"
            lines.append(f"  {name}: {{{bec}{to}}}")
        lines += ["leads:", *made.leads] if made and made.leads else []
        lines += [
            "packs: {pack: {chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 30 C}}",
            "power-leads: {pack-y: {kind: parallel, ways: 4, supply: pack}}",
        ]
        return "\n".join(lines) + "\n"

    def _head(self, made: Made | None) -> list[str]:
        entries = dict(self.channels)
        for channel, function in (made.channels if made else {}).items():
            entries.setdefault(channel, function)
        safe = {c: ", failsafe: off" if f == "throttle" else "" for c, f in entries.items()}
        told = ", ".join(f"{c}: {{function: {f}{safe[c]}}}" for c, f in sorted(entries.items()))
        lines = [f"channels: {{{told}}}"] if entries else []
        kit = [f"  - {{kind: y, length: {n} mm}}" for n in self.ys]
        kit += [f"  - {{kind: n-way, ways: 3, length: {n} mm}}" for n in self.threes]
        kit += ["  - {kind: reverser}"] * self.reversers
        lines += ["kit:", *kit] if kit else []
        if self.wishes:
            lines.append("wishes:")
        for word, must in self.wishes:
            wish, _, of = word.partition(" ")
            keys = f"wish: {wish}, of: {of}"
            if wish == "apart":
                keys = "wish: apart, of: steering, from: rudder"
            lines.append(f"  - {{{keys}{', must: yes' if must else ''}}}")
        return lines

    def _servo(self, servo: Servo, made: Made | None) -> str:
        mend = made.mends.get(servo.name, "") if made else ""
        shaft = OTHER[servo.shaft] if mend == "turn" else servo.shaft
        keys = [f"moves: {servo.moves}", f"class: {servo.size}"]
        keys += [f"shaft: {shaft}"] if shaft else []
        keys += ["programmable: yes"] if servo.programmable else []
        keys += ["fixed: yes"] if servo.fixed else []
        keys += ["reversed: yes"] if mend == "programme" else []
        keys += [f"plug: {made.plugs[servo.name]}"] if made else []
        return f"  {servo.name}: {{{', '.join(keys)}}}"

    def _esc(self, name: str, made: Made | None) -> str:
        keys = f"bec: {{kind: switching, volts: 5 V, rated: {self.escs[name]:g} A}}"
        number = 2 + sorted(self.escs).index(name)
        keys += f", rated: {self.ratings.get(name, 30)} A, supply: pack-y.{number}"
        if made:
            red = "" if made.feed == name else ", pulled: positive"
            keys += f", plug: {{into: {made.plugs[name]}{red}}}"
        return f"  {name}: {{{keys}}}"


@dataclass
class Made:
    """One way to plug everything in."""

    groups: list[tuple[str, ...]]
    where: tuple[str, ...]
    mends: dict[str, str]
    trees: list[tuple[int | None, ...]]
    feed: str
    plugs: dict[str, str] = field(default_factory=dict)
    leads: list[str] = field(default_factory=list)
    channels: dict[str, str] = field(default_factory=dict)

    def write(self, case: Case) -> None:
        for n, (group, channel, tree) in enumerate(
            zip(self.groups, self.where, self.trees, strict=True)
        ):
            functions = sorted({case.moves(name) for name in group}, key=lambda f: f == "steering")
            self.channels[channel] = functions[0]
            ends = self._ends(f"rx.{channel}", n, len(group), tree)
            if len(group) == 3:
                ends.insert(self.upper(group), ends.pop(0))
            for name, end in zip(group, ends, strict=True):
                socket = end
                if self.mends.get(name) == "reverser":
                    self.leads.append(f"  rev-{name}: {{kind: reverser, plug: {end}}}")
                    socket = f"rev-{name}.1"
                self.plugs[name] = socket

    def upper(self, group: tuple[str, ...]) -> int:
        """Of three, who is on the upper Y-lead: one with a reverser, for two leads are enough."""
        return next((n for n, name in enumerate(group) if self.mends.get(name) == "reverser"), 0)

    def crowded(self, group: tuple[str, ...], tree: tuple[int | None, ...]) -> int:
        """How many runs have more than two leads: common practice, no source."""
        deep = [min(len(tree), 2)] * len(group)
        if len(group) == 3:
            deep[self.upper(group)] = 1
        turned = [self.mends.get(name) == "reverser" for name in group]
        return sum(leads + more > 2 for leads, more in zip(deep, turned, strict=True))

    def _ends(self, into: str, n: int, count: int, tree: tuple[int | None, ...]) -> list[str]:
        if count == 1:
            return [into]
        if tree[0] is not None and tree[0] < 0:
            three = f"kind: n-way, ways: 3, length: {-tree[0]} mm, plug: {into}"
            self.leads.append(f"  n{n}: {{{three}}}")
            return [f"n{n}.{k + 1}" for k in range(count)]
        names = [f"y{n}-{k}" for k in range(len(tree))]
        to = [into, *([f"{names[0]}.2"] if count == 3 else [f"{names[0]}.1", f"{names[0]}.2"])]
        for name, socket, length in zip(names, to, tree, strict=False):
            mm = f", length: {length} mm" if length else ""
            self.leads.append(f"  {name}: {{kind: y, plug: {socket}{mm}}}")
        if count == 2:
            return [f"{names[0]}.1", f"{names[0]}.2"]
        if count == 3:
            return [f"{names[0]}.1", f"{names[1]}.1", f"{names[1]}.2"]
        return [f"{name}.{k}" for name in names[1:] for k in (1, 2)]


def partitions(items: list[str]) -> Iterator[list[tuple[str, ...]]]:
    """Every way to part a list into groups."""
    if not items:
        yield []
        return
    first, rest = items[0], items[1:]
    for smaller in partitions(rest):
        yield [(first,), *smaller]
        for n, group in enumerate(smaller):
            yield [*smaller[:n], (first, *group), *smaller[n + 1 :]]


def may_share(case: Case, group: tuple[str, ...]) -> bool:
    functions = {case.moves(name) for name in group}
    kinds = {name in case.escs for name in group}
    return (
        len(group) <= 4
        and len(kinds) == 1
        and (len(functions) == 1 or functions == {"rudder", "steering"})
    )


def goes_against(case: Case, word: str, group: tuple[str, ...]) -> bool:
    wish, _, of = word.partition(" ")
    mine = [name for name in group if case.moves(name) == (of or "steering")]
    if wish == "own-trim":
        return bool(mine) and len(group) > 1
    if wish == "apart":
        return {"steering", "rudder"} <= {case.moves(name) for name in group}
    sides = [case.side(name) for name in mine]
    return len(sides) > 1 and ("" in sides or len(set(sides)) > 1)


def mend_sets(case: Case, group: tuple[str, ...]) -> Iterator[dict[str, str]]:
    """Every way to mend the servos of a group, one mend each at most."""
    servos = {s.name: s for s in case.servos}
    choices = []
    for name in group:
        ways = [""]
        if len(group) > 1 and name in servos and servos[name].shaft:
            ways += ["programme"] if servos[name].programmable else []
            ways += [] if servos[name].fixed else ["turn"]
            ways += ["reverser"]
        choices.append(ways)
    for combination in product(*choices):
        yield {n: how for n, how in zip(group, combination, strict=True) if how}


def tree_sets(case: Case, groups: list[tuple[str, ...]]) -> Iterator[list[tuple[int | None, ...]]]:
    """Every way to take Y-leads from the kit (by length) or from the shop (None).

    A length below 0 is that of a three-way lead.
    """
    pool = [*sorted(set(case.ys)), None]

    def of(count: int) -> list[tuple[int | None, ...]]:
        if count == 1:
            return [()]
        lower = [(y,) * (count - 2) for y in pool] if count > 2 else [()]
        threes = [(-n,) for n in sorted(set(case.threes))] if count < 4 else []
        return [(root, *low) for root in pool for low in lower] + threes

    there = [*case.ys, *(-n for n in case.threes)]
    for trees in product(*(of(len(group)) for group in groups)):
        taken = [y for tree in trees for y in tree if y is not None]
        if all(taken.count(y) <= there.count(y) for y in set(taken)):
            yield list(trees)


def channel_fits(case: Case, group: tuple[str, ...], channel: str) -> bool:
    functions = {case.moves(name) for name in group}
    named = case.channels.get(channel)
    if named:
        return named in functions and functions <= {named, "steering", "rudder"}
    if case.order and channel in ORDER:
        sticks = functions & set(ORDER.values())
        return not sticks or sticks == {ORDER[channel]}
    return True


def places(case: Case, made: Made) -> int:
    """Functions that are not where the radio expects them."""
    on: dict[str, set[str]] = {}
    for group, channel in zip(made.groups, made.where, strict=True):
        for name in group:
            on.setdefault(case.moves(name), set()).add(channel)
    free = {str(n + 1) for n in range(case.sockets)}
    out = 0
    for function, channels in on.items():
        wanted = USUAL.get(function)
        could = wanted in free and case.channels.get(str(wanted), function) == function
        out += bool(could and wanted not in channels)
    if "aileron" in on and "flap" not in on:
        out += bool(on["aileron"] - {"1", "6"})
    return out


def cost_of(case: Case, made: Made) -> tuple[float, ...]:
    broken = [any(goes_against(case, w, g) for g in made.groups) for w, _ in case.asked]
    bought = sum(y is None for tree in made.trees for y in tree)
    turned = sum(how == "reverser" for how in made.mends.values())
    bought += max(0, turned - case.reversers)
    joints = sum(len(t) + len(g) - 1 for t, g in zip(made.trees, made.groups, strict=True))
    length = sum(abs(y or 0) for tree in made.trees for y in tree)
    mends = sum(MEND_COST[how] for how in made.mends.values())
    return (
        *broken, feeds(case).index(made.feed), sum(map(made.crowded, made.groups, made.trees)),
        bought, joints + turned, length, mends, places(case, made),
    )  # fmt: skip


def feeds(case: Case) -> list[str]:
    regulators = sorted(case.regulators, key=lambda name: (-case.regulators[name], name))
    becs = sorted(case.escs, key=lambda name: (-case.escs[name], name))
    return [*regulators, *becs] or [""]


def candidates(case: Case) -> Iterator[Made]:
    """Every way to plug everything in that the limits of the plan leave."""
    sockets = [str(n + 1) for n in range(min(case.sockets, case.sent or case.sockets))]
    for groups in partitions(case.items):
        if len(groups) > len(sockets) or not all(may_share(case, g) for g in groups):
            continue
        if case.legs and tuple(sorted(case.legs)) not in {tuple(sorted(g)) for g in groups}:
            continue
        if any(goes_against(case, w, g) for w, must in case.wishes if must for g in groups):
            continue
        whole = [tuple(sorted(group)) for group in sorted(groups)]
        rest = list(_wired(case, whole))
        for where in permutations(sockets, len(whole)):
            if _channels_do(case, whole, where):
                for mends, trees, feed in rest:
                    yield Made(whole, where, mends, trees, feed)


def _wired(
    case: Case, groups: list[tuple[str, ...]]
) -> Iterator[tuple[dict[str, str], list[tuple[int | None, ...]], str]]:
    for mends in product(*(mend_sets(case, group) for group in groups)):
        joined = {name: how for made in mends for name, how in made.items()}
        for trees in tree_sets(case, groups):
            for feed in feeds(case):
                made = Made(groups, (), joined, trees, feed)
                bought = sum(y is None for tree in trees for y in tree)
                turned = sum(how == "reverser" for how in made.mends.values())
                if case.buy is None or bought + max(0, turned - case.reversers) <= case.buy:
                    yield joined, trees, feed


def _channels_do(case: Case, groups: list[tuple[str, ...]], where: tuple[str, ...]) -> bool:
    if not all(channel_fits(case, g, c) for g, c in zip(groups, where, strict=True)):
        return False
    for channel, function in case.channels.items():
        mine = [
            c
            for g, c in zip(groups, where, strict=True)
            if function in {case.moves(name) for name in g}
        ]
        there = int(channel) <= min(case.sockets, case.sent or 99)
        if there and channel not in where and any(c not in case.channels for c in mine):
            return False
    return True


def advice(report: Report) -> tuple[int, int]:
    """Warnings and notes: not of what the kit has or a record lacks, which no choice is."""
    every = [f for f in report.findings if not f.rule.startswith(APART)]
    levels = (Severity.WARNING, Severity.NOTE)
    warned, noted = (sum(f.severity is level for f in every) for level in levels)
    return warned, noted


def passes(case: Case, made: Made) -> tuple[str, tuple[int, int]]:
    """Return the rule that has a danger or an error, "" when none has; and what is advised."""
    made.write(case)
    report = check(plan_of(case.text(made)))
    bad = [f.rule for f in report.findings if f.severity >= Severity.ERROR]
    rule = next((rule for rule in bad if rule not in CHANNEL_RULES), bad[0] if bad else "")
    return rule, advice(report)


def with_advice(cost: tuple[float, ...], told: tuple[int, int]) -> tuple[float, ...]:
    """Warnings come after the wishes and the feed, notes after what is bought."""
    warned, noted = told
    return (*cost[:-6], cost[-6] + warned, cost[-5], noted, *cost[-4:])


def best(case: Case) -> tuple[tuple[float, ...], list[Made]] | None:
    """Return the least cost and every plan that has it; None when there is no plan.

    A plan waits at the cost it would have without advice until the rules have judged it.
    """
    every = list(candidates(case))
    bare = [cost_of(case, made) for made in every]
    waiting = [(with_advice(cost, (0, 0)), n, False) for n, cost in enumerate(bare)]
    heapify(waiting)
    found: list[Made] = []
    least: tuple[float, ...] = ()
    judged: dict[str, tuple[str, tuple[int, int]]] = {}
    while waiting and (not found or waiting[0][0] <= least):
        cost, n, done = heappop(waiting)
        made = every[n]
        if done:
            found.append(made)
            least = cost
            continue
        wired = repr((made.groups, sorted(made.mends.items()), made.trees, made.feed))
        if wired not in judged or judged[wired][0] in CHANNEL_RULES:
            judged[wired] = passes(case, made)
        rule, told = judged[wired]
        if not rule:
            made.plugs or made.write(case)
            heappush(waiting, (with_advice(bare[n], told), n, True))
    return (least, found) if found else None


__all__ = ["Case", "Made", "Servo", "best"]
