"""A surface that moves for two sticks is tied to another one by a shared channel.

What it looks for
    V-tail halves, elevons, tailerons, flaperons, spoilerons (all that `harness keys functions`
    lists as needing a channel each) that share a signal with anything but a surface of their own
    side, whether or not `mixes` says so. And a mix of the plan (differential, crow, differential
    thrust, own trim) whose left and right parts get one and the same signal.

Why it matters
    A Y-lead gives both the same pulse: the mix cannot be made. A V-tail on a Y has elevator or
    rudder, never both.

An example that fails
    channels: {2: v-tail}
    receivers:
      rx: {sockets: 6}
    servos:
      v-tail-left: {moves: v-tail, plug: tail-y.1}
      v-tail-right: {moves: v-tail, plug: tail-y.2}
    leads:
      tail-y: {kind: y, plug: rx.2}

The same, mended
    channels: {2: v-tail-left, 4: v-tail-right}
    servos:
      v-tail-left: {moves: v-tail, plug: rx.2}
      v-tail-right: {moves: v-tail, plug: rx.4}
    leads: taken out

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.facts.homes import ways_home
from harness.facts.parity import surface_of
from harness.facts.signals import (
    Drive,
    by_signal,
    channel_function,
    drives_for,
    function_of,
    named,
    side_of,
)
from harness.plan.radio import Mix
from harness.rules.rule import Desk, Findings, rule

Signal = tuple[str, str]


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each shared signal once, with every mix it spoils."""
    spoiled: dict[Signal, list[Mix]] = defaultdict(list)
    groups: dict[Signal, list[Drive]] = {}
    for signal, group in by_signal(desk.wiring).items():
        if _mixed(desk, group):
            groups[signal] = [drive for drive in group if drive.part.swings]
    for mix in desk.plan.mixes:
        if mix.kind == "own-trim" and not mix.apart:
            desk.plan_not_known("which function has its own trim on each side", mix.span)
        for function in mix.apart:
            for signal, group in _tied(desk, function):
                spoiled[signal].append(mix)
                groups.setdefault(signal, group)
    yield from (_finding(desk, groups[signal], spoiled[signal]) for signal in sorted(groups))


def _mixed(desk: Desk, group: list[Drive]) -> str:
    """Return the function of two sticks on a signal, whose surface is tied to another, or ""."""
    swinging = [drive for drive in group if drive.part.swings and not _stray(desk, drive)]
    found = {(surface_of(desk.plan, d), side_of(desk.plan, d.part)) for d in swinging}
    own = sorted(name for name, _ in found if desk.plan.words.pair(name) == "own")
    alone = len(swinging) < 2 or (len(found) == 1 and next(iter(found))[1])
    return own[0] if own and not alone else ""


def _stray(desk: Desk, drive: Drive) -> bool:
    """Whether it belongs on another channel: `wrong-channel` speaks."""
    channel = channel_function(desk.plan, drive.socket)
    return bool(channel) and not desk.plan.words.agree(function_of(desk.plan, drive), channel)


def _tied(desk: Desk, function: str) -> Iterator[tuple[Signal, list[Drive]]]:
    """Yield the signals that both sides of a function hang on."""
    name = desk.plan.words.base(function)
    mine = drives_for(desk.wiring, {name, *desk.plan.words.mixed(name)})
    for signal in sorted({drive.signal for drive in mine}):
        group = [drive for drive in mine if drive.signal == signal]
        sides = {side_of(desk.plan, drive.part) for drive in group}
        if {"left", "right"} <= sides or (len(group) == len(mine) > 1 and "" in sides):
            yield signal, group


def _finding(desk: Desk, group: list[Drive], mixes: list[Mix]) -> Finding:
    outlet, parts = group[0].outlet, [drive.part for drive in group]
    common = [m for m in group[0].chain if all(m in drive.chain for drive in group)]
    lines = sorted({(mix.kind, mix.spans["kind"].line) for mix in mixes})
    so = f"so the mix {spoken(dict(lines))} cannot be made: it needs a channel for each side"
    surface = desk.plan.words.find(_mixed(desk, group))
    if surface and not lines:
        of = f" move for {spoken(surface.mixes)} and" if surface.mixes else ""
        so = f"but {surface.many}{of} need a channel each"
    return check.finding(
        f"{named(parts)} share {outlet.part.id}.{outlet.name}, {so}",
        common[0].span if common else group[-1].span,
        *parts,
        spot="plug",
        help=_own(desk, group)
        + (", or take the mix out of the plan" if lines and not surface else ""),
        numbers=tuple((f"mix {kind}", f"plan line {line}") for kind, line in lines),
    )


def _own(desk: Desk, group: list[Drive]) -> str:
    """Leave the first where it is, and name a channel for each of the others.

    Halves that go by another name, or by none, get channels for what they are together.
    """
    outlet, others = group[0].outlet, [drive.part for drive in group[1:]]
    surface, moved = _mixed(desk, group), {drive.part.does for drive in group}
    if surface and moved != {surface}:
        return f"give each side a channel of its own, `{surface}-left` and `{surface}-right`"
    plugs = [desk.wiring.ports[part.id, "plug"] for part in others]
    ways = ways_home(desk.wiring, plugs, outlet.part) if outlet.part.has_channels else [""]
    if not all(ways):
        return "give each side a channel of its own"
    told = (f"{part.named()} {way}" for part, way in zip(others, ways, strict=True))
    return f"give each side a channel of its own: plug {spoken(told)}"
