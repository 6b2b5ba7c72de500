"""Why there is no plan: the smallest set of limits that cannot all stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from harness.parts.part import Part
from harness.planner.groups import MOST
from harness.planner.hosts import LIMITS_SENT
from harness.planner.items import Unplugged
from harness.planner.programme import BUY, SOCKETS, Model, pulse_of
from harness.planner.space import ORDER, Space


@dataclass(frozen=True)
class PlanLimit:
    """One limit of the plan in words, and the line that states it (0: no line does)."""

    name: str
    words: str
    line: int


def smallest(model: Model) -> tuple[str, ...] | None:
    """Return the names of the fewest limits that clash; None when there is no clash.

    Empty when no plan exists even without any limit. First limits are taken away one by one for
    as long as the rest still clash; then every smaller set is tried, in the order of names.
    """
    every = model.limits
    if not _clash(model, every):
        return None
    if _clash(model, ()):
        return ()
    core = list(every)
    for name in every:
        rest = [other for other in core if other != name]
        if _clash(model, rest):
            core = rest
    for size in range(1, len(core)):
        for some in combinations(every, size):
            if _clash(model, some):
                return some
    return _first_of_size(model, every, core)


def _first_of_size(model: Model, every: Sequence[str], core: list[str]) -> tuple[str, ...]:
    """Of several sets as small the first by name."""
    for some in combinations(every, len(core)):
        if list(some) == core or _clash(model, some):
            return some
    return tuple(core)


def _clash(model: Model, kept: Sequence[str]) -> bool:
    model.drop(frozenset(model.limits) - set(kept))
    found = model.programme.solve({})
    return not found.found


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
        return PlanLimit(
            name, "the order of the radio's first four channels", order.line if order else 0
        )
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
    plugs = sum(not _on_outlet(space, item) for item in space.items)
    told = " and ".join(part.named() for part in heads) or "the receiver"
    sockets = f"{len(free)} free socket{'s' * (len(free) != 1)}"
    if pulses < len(free):
        sockets += f", but only {pulses} different channel{'s' * (pulses != 1)}"
    wants = "1 plug wants one" if plugs == 1 else f"{plugs} plugs want one"
    words = f"{told}: {sockets}, and {wants} (at most {MOST} share one)"
    return PlanLimit(SOCKETS, words, heads[0].at("sockets").line if heads else 0)


def _on_outlet(space: Space, item: Unplugged) -> bool:
    return space.sequenced and item.family[0] in {"leg", "door"}


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
