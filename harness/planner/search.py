"""The best answer, and what stands in its way.

Level after level is solved, each with the earlier ones held; then ties are settled by name. Where
there is no plan: the ways out, each a smallest set of limits without which, all others kept,
there is one.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from typing import Any

from harness.base.data import dataclass, field, replace
from harness.base.near import counted
from harness.parts.part import Part
from harness.planner.groups import MOST
from harness.planner.hosts import IN_USE, LIMITS_SENT, PLUG_OF, Host, HostEnd
from harness.planner.programme import BUY, SOCKETS, Model, pulse_of
from harness.planner.proposal import Answer, PlanLimit
from harness.planner.solver import Result
from harness.planner.space import ORDER, Space, space_of

TOGETHER = (
    ("wishes",),
    ("feed", "warnings"),
    ("bought",),
    ("notes", "joints"),
    ("length",),
    ("mends", "places"),
)
"""Levels that are solved in one go: each is weighed so that it outweighs all after it."""
WEIGHT = 1000.0


@dataclass
class Search:
    """One search over a model. `held`, `shut`: the rows and columns that it has added, closed.

    `first`: what the first level came to when no more was forbidden than now, with an answer's
    values; it stands if the answer still does.
    """

    model: Model
    first: Result | None = None
    held: list[int] = field(default_factory=list)
    shut: list[int] = field(default_factory=list)
    gap: str = ""

    def best(self, whole: bool = True) -> Answer | None:
        """Return the answer that costs least; of several the first by name.

        Not `whole`: names settle who shares what, but not which of two alike leads lies where.
        """
        result = self._levels()
        if result is None:
            return None
        if result.proven:
            result = self._by_name(result) if whole else self._uses(result)
        return self.model.read(result)

    def free(self) -> None:
        """Take the rows of this search out of the model."""
        for row in self.held:
            self.model.programme.free(row)
        self.model.programme.shut(self.shut, closed=False)
        self.held.clear()

    def _hold(self, costs: dict[int, float], most: float) -> None:
        if costs:
            self.held.append(self.model.programme.row(costs, -1e9, most))

    def _shut(self, found: Result) -> None:
        """Leave out what costs more than what is held."""
        self.shut += found.beyond
        self.model.programme.shut(found.beyond)

    def _levels(self) -> Result | None:
        result: Result | None = None
        for levels in TOGETHER:
            costs = [self.model.costs(level) for level in levels]
            weighed: dict[int, float] = {}
            for level in costs:
                weighed = {c: weighed.get(c, 0.0) * WEIGHT for c in weighed}
                for column, cost in level.items():
                    weighed[column] = weighed.get(column, 0.0) + cost
            if not weighed and result is not None:
                continue
            found = self._level(weighed, result)
            if not found.found:
                return None
            result = found
            if not found.proven:
                self.gap = f"{'/'.join(levels)}: at most {found.gap:g} better"
                return result
            for level in costs:
                self._hold(level, sum(c * found.values[n] for n, c in level.items()))
            self._shut(found)
        return result

    def _level(self, costs: dict[int, float], before: Result | None) -> Result:
        """Solve one level from the answer of the one before; the first one anew only if it must."""
        programme = self.model.programme
        if before is not None:
            return programme.solve(costs, known=before.values)
        if self.first is None or not programme.holds(self.first.values):
            found = programme.solve(costs)
            self.first = found if found.found and found.proven else None
            return found
        return self.first

    def _by_name(self, result: Result) -> Result:
        """Settle ties: each item in turn gets the first use, then the first pieces and channel."""
        result = self._uses(result)
        model = self.model
        by_want: dict[object, list[int]] = {}
        for column, (want, _) in model.arms.items():
            by_want.setdefault(want, []).append(column)
        pieces = [c for columns in by_want.values() for c in columns] + list(model.reversers)
        self._in_turn(result, pieces, pieces)
        spots = list(model.feed_channels)
        rest = {c for c in model.places if c not in model.uses} | set(model.loose)
        free = [*spots, *model.channels, *(c for c in rest if c not in model.channels)]
        self._in_turn(result, [*reversed(spots), *self._wanted(result)], free)
        return result

    def _in_turn(self, result: Result, columns: Sequence[int], loose: Sequence[int]) -> None:
        """Make each column in turn as large as it can be, all but the loose ones fixed."""
        small, number = self.model.programme.around(result.values, loose)
        values = [result.values[c] for c in loose]
        settled: dict[int, int] = {}
        for column in columns:
            n = number[column]
            if values[n] < small.room(n, settled):
                found = small.solve({n: -1.0}, known=values)
                values = found.values if found.found else values
            small.row({n: 1.0}, values[n], values[n])
            settled[n] = values[n]
        for column, n in number.items():
            result.values[column] = values[n]

    def _wanted(self, result: Result) -> list[int]:
        """Return the columns of channels: groups by their names, for each its channels in order."""
        model = self.model
        chosen = [u for c, u in model.uses.items() if result.values[c] and u.where != u.host.id]
        kinds = dict.fromkeys((u.label, u.where) for u in sorted(chosen, key=lambda u: u.names))
        return [
            column
            for kind in kinds
            for column, (label, host) in model.channels.items()
            if (label, host.box) == kind
        ]

    def _uses(self, result: Result) -> Result:
        """Each item in the order of names gets the first of its columns that is possible."""
        programme = self.model.programme
        done: set[str] = set()
        for item in self.model.space.items:
            if item.id in done:
                continue
            columns = self.model.by_item[item.id]
            rank = next(n for n, c in enumerate(columns) if result.values[c])
            if any(programme.upper[c] > 0 for c in columns[:rank]):
                costs = {c: float(n - rank) for n, c in enumerate(columns[:rank])}
                found = programme.solve(costs, known=result.values)
                self._shut(found)
                if found.found and found.cost < 0:
                    result = found
                    rank = next(n for n, c in enumerate(columns) if result.values[c])
            self.held.append(programme.row({columns[rank]: 1.0}, 1.0))
            done |= set(self.model.uses[columns[rank]].names)
        return result


Names = frozenset[str]
MOST_MORE = 32
"""More sockets than this are not thought of."""


@dataclass
class WaysOut:
    """What stands in the way of a plan that a model has no answer for."""

    model: Model
    _changed: dict[tuple[Names, int], Model] = field(default_factory=dict)

    @cached_property
    def ways(self) -> tuple[Names, ...]:
        """Every smallest set of limits that, gone together, leave a plan; () when none does.

        A way out takes something from every set of limits that cannot all stand: it is looked
        for one limit at a time, in a smallest such set of what is still left.
        """
        level: list[Names] = [frozenset()]
        while level:
            if found := [gone for gone in level if self._feasible(gone)]:
                return tuple(sorted(found, key=sorted))
            level = list(dict.fromkeys(w | {n} for w in level for n in self._core(w)))
        return ()

    def worded(self) -> tuple[tuple[PlanLimit, ...], ...]:
        """Return each way out in the builder's words, with what would be enough of it."""
        told = []
        for gone in self.ways:
            enough = self._enough(gone)
            limits = (worded(self.model.space, name) for name in gone)
            whole = (replace(limit, enough=enough.get(limit.name, "")) for limit in limits)
            told.append(tuple(sorted(whole, key=lambda limit: (limit.line, limit.name))))
        return tuple(sorted(told, key=lambda way: [(limit.line, limit.name) for limit in way]))

    def _left(self, gone: Names, more: int = -1) -> Model:
        """Return a model without some limits. What is unplugged for it wants a place again.

        `more`: sockets beyond those there are; below 0 as many as could be of use.
        """
        plugs = frozenset(name for name in gone if name.startswith(PLUG_OF))
        count = (MOST_MORE if more < 0 else more) if SOCKETS in gone else 0
        if (plugs, count) not in self._changed:
            self._changed[plugs, count] = self._with(plugs, count)
        model = self._changed[plugs, count]
        model.drop(gone - plugs - {SOCKETS})
        return model

    def _with(self, plugs: Names, count: int) -> Model:
        if not plugs and not count:
            return self.model
        space = self.model.space
        if plugs:
            parts = dict(space.plan.parts)
            for name in plugs:
                part: Any = parts[name.removeprefix(PLUG_OF)]
                open_: dict[str, Any] = {"plugs": {}} if part.circuits else {"plug": None}
                parts[part.id] = replace(part, **open_)
            space = space_of(replace(space.plan, parts=parts))
        return Model(replace(space, hosts=(*space.hosts, *fresh(space, count))))

    def _feasible(self, gone: Names) -> bool:
        return self._left(gone).programme.solve({}).found

    def _core(self, gone: Names) -> tuple[str, ...]:
        """Return limits that cannot all stand, none of them to spare, once some are gone."""
        model = self._left(gone)
        core = tuple(n for n in model.limits if _can_go(n) and n not in gone)
        always = tuple(n for n in model.limits if not _can_go(n) or n in gone & {SOCKETS})
        if _clashes(model, always):
            return ()
        for name in core:
            rest = tuple(other for other in core if other != name)
            core = rest if _clashes(model, (*rest, *always)) else core
        return core

    def _enough(self, gone: Names) -> dict[str, str]:
        """Return for each limit of a way out that is a number how large it must be at least."""
        told: dict[str, str] = {}
        more = 0
        if SOCKETS in gone:
            counts = range(1, MOST_MORE + 1)
            more = next(n for n in counts if self._left(gone, n).programme.solve({}).found)
            told[SOCKETS] = f"{counted(more, 'more socket')} would be enough"
        model = self._left(gone, more)
        held = -1
        if BUY in gone:
            costs = model.costs("bought")
            buy = model.programme.solve(costs).cost
            held = model.programme.row(costs, -1e9, float(buy))
            told[BUY] = f"{counted(buy, 'bought lead')} would be enough"
        if LIMITS_SENT in gone:
            told[LIMITS_SENT] = f"{counted(_fewest_sent(model), 'channel')} would be enough"
        if held >= 0:
            model.programme.free(held)
        return told


def fresh(space: Space, count: int) -> tuple[Host, ...]:
    """Return the next sockets that the first receiver or autopilot would have if it had more."""
    plain = [host for host in space.hosts if not host.outlet]
    last = max((int(h.channel) for h in plain if h.channel.isdecimal()), default=0)
    sent = space.plan.transmitter.channels
    found = []
    for number in range(last + 1, last + 1 + count):
        named = space.plan.channels.get(str(number))
        socket, beyond = HostEnd(f"{plain[0].box}.{number}"), sent is not None and number > sent
        found.append(
            Host(
                plain[0].box,
                str(number),
                (socket,),
                named.function if named else "",
                blocked=(LIMITS_SENT,) * beyond,
                channel=str(number),
            )
        )
    return tuple(found)


def _can_go(name: str) -> bool:
    """Say whether a builder can give a limit up: not what a mix or a stabiliser drives apart."""
    apart = name.startswith(("mix ", "both halves of "))
    return not (apart or " steadies " in name or name.endswith(IN_USE))


def _clashes(model: Model, kept: tuple[str, ...]) -> bool:
    model.drop(frozenset(model.limits).difference(kept))
    return not model.programme.solve({}).found


def _fewest_sent(model: Model) -> int:
    """Return how many channels the radio must send at least."""
    hosts: dict[int, Host] = {c: host for c, (_, host) in model.channels.items()}
    hosts |= {c: use.host for c, use in model.uses.items() if use.where == use.host.id}
    beyond = {c: int(h.channel) for c, h in hosts.items() if LIMITS_SENT in model.tags.get(c, ())}
    least = model.space.plan.transmitter.channels or 0
    for sent in range(least, max(beyond.values(), default=least)):
        row = model.programme.row({c: 1.0 for c, n in beyond.items() if n > sent}, -1e9, 0.0)
        found = model.programme.solve({}).found
        model.programme.free(row)
        if found:
            return sent
    return max([least, *beyond.values()])


def worded(space: Space, name: str) -> PlanLimit:
    """Return a limit in the builder's words, with its line."""
    plan = space.plan
    if name == SOCKETS:
        return _sockets(space)
    if name == BUY:
        return PlanLimit(name, f"buy-at-most: {plan.buy_at_most}", _line_of(space, "buy-at-most"))
    if name == LIMITS_SENT:
        line = plan.transmitter.spans["channels"].line
        return PlanLimit(name, f"the transmitter sends {plan.transmitter.channels} channels", line)
    if name == ORDER:
        order = plan.transmitter.spans.get("order")
        words = "the order of the radio's first four channels"
        return PlanLimit(name, words, order.line if order else 0)
    for ask in (*space.asks, *space.limits):
        if ask.name == name:
            return PlanLimit(name, f"must: {name}" if ask in space.asks else name, ask.line)
    return _of_part(space, name)


def _sockets(space: Space) -> PlanLimit:
    """Say how many channels are free and how many plugs want one."""
    plan = space.plan
    heads = [plan.parts[box] for box in dict.fromkeys(h.box for h in space.hosts if h.plain)]
    free = [host for host in space.hosts if host.plain and not host.blocked]
    pulses = len({pulse_of(space, host) for host in free})
    plugs = sum(not (space.sequenced and i.family[0] in {"leg", "door"}) for i in space.items)
    told = " and ".join(part.named() for part in heads) or "the receiver"
    sockets = f"{len(free)} free socket{'s' * (len(free) != 1)}"
    if pulses < len(free):
        sockets += f", but only {pulses} different channel{'s' * (pulses != 1)}"
    wants = "1 plug wants one" if plugs == 1 else f"{plugs} plugs want one"
    words = f"{told}: {sockets}, and {wants} (at most {MOST} share one)"
    return PlanLimit(SOCKETS, words, heads[0].at("sockets").line if heads else 0)


def _of_part(space: Space, name: str) -> PlanLimit:
    words = name.split()
    if words[0] == "channel" and words[1] in space.plan.channels:
        channel = space.plan.channels[words[1]]
        return PlanLimit(name, name, channel.spans.get("function", channel.span).line)
    part: Part | None = space.plan.parts.get(words[-1])
    if part is None:
        part = next((p for p in space.plan.parts.values() if p.named() in name), None)
    if part is None:
        return PlanLimit(name, name, 0)
    key = "fixed" if name.endswith("built in") else "plug"
    told = f"{part.named()} is plugged in already" if key == "plug" else name
    return PlanLimit(name, told, part.at(key).line)


def _line_of(space: Space, key: str) -> int:
    """Return the line of a key of the plan's head that keeps no span of its own."""
    from harness.reading.nodes import Mapping, compose

    top = compose(space.plan.source)
    entry = top.entries.get(key) if isinstance(top, Mapping) else None
    return entry.key.span.line if entry else 0
