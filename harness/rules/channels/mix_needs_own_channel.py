"""A mix drives two sides apart, but a Y-lead ties them to one channel.

What it looks for
    A mix of the plan (flaperon, differential, crow, v-tail, elevon, differential thrust, own trim)
    whose left and right parts get one and the same signal.

Why it matters
    A Y-lead gives both the same pulse: the mix cannot be made. A V-tail on a Y has elevator or
    rudder, never both.

An example that fails
    channels: {2: v-tail}
    mixes:
      - {kind: v-tail}
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
from harness.base.functions import plain
from harness.base.near import spoken
from harness.facts.signals import Drive, drives_for, named, side_of
from harness.plan.radio import Mix
from harness.rules.rule import Desk, Findings, rule

_HALVES = {"elevon": {"elevon"}, "v-tail": {"v-tail"}, "aileron": {"aileron", "flaperon"}}
"""What the parts of a mix may be called besides the function it drives."""


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each shared signal once, with every mix it spoils."""
    spoiled: dict[tuple[str, str], list[Mix]] = defaultdict(list)
    groups: dict[tuple[str, str], list[Drive]] = {}
    for mix in desk.plan.mixes:
        if mix.kind == "own-trim" and not mix.apart:
            desk.plan_not_known("which function has its own trim on each side", mix.span)
        for function in mix.apart:
            for signal, group in _tied(desk, function):
                spoiled[signal].append(mix)
                groups.setdefault(signal, group)
    yield from (_finding(groups[signal], mixes) for signal, mixes in sorted(spoiled.items()))


def _tied(desk: Desk, function: str) -> Iterator[tuple[tuple[str, str], list[Drive]]]:
    """Yield the signals that both sides of a function hang on."""
    mine = drives_for(desk.wiring, _HALVES.get(plain(function), {plain(function)}))
    for signal in sorted({drive.signal for drive in mine}):
        group = [drive for drive in mine if drive.signal == signal]
        sides = {side_of(desk.plan, drive.part) for drive in group}
        if {"left", "right"} <= sides or (len(group) == len(mine) > 1 and "" in sides):
            yield signal, group


def _finding(group: list[Drive], mixes: list[Mix]) -> Finding:
    outlet, parts = group[0].outlet, [drive.part for drive in group]
    shared = [m for m in group[0].chain if all(m in drive.chain for drive in group)]
    lines = sorted({(mix.kind, mix.spans["kind"].line) for mix in mixes})
    return check.finding(
        f"{named(parts)} share {outlet.part.id}.{outlet.name}, so the mix"
        f" {spoken(dict(lines))} cannot be made: it needs a channel for each side",
        shared[0].span if shared else group[-1].span,
        *parts,
        spot="plug",
        help="give each side a channel of its own, or take the mix out of the plan",
        numbers=tuple((f"mix {kind}", f"plan line {line}") for kind, line in lines),
    )
