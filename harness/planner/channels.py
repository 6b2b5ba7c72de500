"""Deals the channels out again, at the same cost: what is needed to fly first, pairs side by side.

A channel that the radio expects something on keeps it, and what a mix moves for two sticks goes on
their channels. The channels of the other sticks come last.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations, islice

from harness.base.data import replace
from harness.planner.hosts import Host, expected, second_aileron
from harness.planner.programme import pulse_of
from harness.planner.proposal import Answer, Chosen
from harness.planner.space import PulseLabel, Space
from harness.wiring.codes import natural

LOOKED_AT = 5000
"""Ways to give a team its channels that are weighed; the first are the lowest."""
STICKS = 4


def dealt(space: Space, answer: Answer) -> Answer:
    """Return the answer with the channels of each box in order; as it is where that cannot be."""
    at = {c.use.names: c.host for c in answer.groups}
    for box in dict.fromkeys(h.box for h in at.values() if h and _open(h)):
        mine = [c for c in answer.groups if c.host and c.host.box == box and _open(c.host)]
        kept = {h for c in mine if (h := c.host) and _expected(space, c, h)}
        free = {c.host for c in mine if c.host} - kept | {*_unused(space, answer, box)}
        for team in _teams(mine, kept):
            way = _best(space, team, [c.host for c in team if c.host in kept and c.host], free)
            if way is None:
                return answer
            at.update({c.use.names: host for c, host in zip(team, way, strict=True)})
            free -= {*way}
    groups = tuple(replace(c, host=at[c.use.names]) for c in answer.groups)
    return replace(answer, groups=groups)


def _open(host: Host) -> bool:
    return host.plain and not host.function


def _expected(space: Space, chosen: Chosen, host: Host) -> bool:
    bases, wants = chosen.use.label.bases, expected(space.plan)
    second = "aileron" in bases and host.channel == second_aileron(space.plan)
    return second or host.channel in {wants.get(base) for base in bases}


def _unused(space: Space, answer: Answer, box: str) -> Iterator[Host]:
    taken = {pulse_of(space, c.host) for c in answer.groups if c.host}
    taken |= {pulse_of(space, h) for h in space.hosts if h.already}
    for host in space.hosts:
        free = not host.blocked and host != answer.feed_host
        if host.box == box and _open(host) and free and pulse_of(space, host) not in taken:
            yield host


def _teams(mine: Sequence[Chosen], kept: set[Host]) -> Iterator[list[Chosen]]:
    """Yield the groups of one function, left before right; a team with one in place goes first."""
    teams: dict[frozenset[str], list[Chosen]] = defaultdict(list)
    for chosen in sorted(mine, key=lambda c: (c.use.label.side, natural(c.use.names[0]))):
        teams[chosen.use.label.bases].append(chosen)
    begun = {c.use.label.bases for c in mine if c.host in kept}
    for bases in sorted(teams, key=lambda b: (b not in begun, _rank(teams[b][0]), sorted(b))):
        yield teams[bases]


def _best(
    space: Space, team: Sequence[Chosen], kept: Sequence[Host], free: Iterable[Host]
) -> list[Host] | None:
    """Return the channels of a team: its own sticks', then beyond all sticks', close together."""
    label = team[0].use.label
    home, named = homes(space, label), space.plan.channels.items()
    there = {
        int(n) for n, c in named if n.isdecimal() and label.words.base(c.function) in label.bases
    } | {host.order[1] for host in kept}
    near = [n for n in there if n > STICKS]
    more = combinations(sorted(free, key=lambda h: h.order), len(team) - len(kept))
    ways = (sorted([*kept, *way], key=lambda h: h.order) for way in islice(more, LOOKED_AT))

    def cost(way: list[Host]) -> tuple[int, int, int, list[int]]:
        numbers = [host.order[1] for host in way]
        beyond = [*(n for n in numbers if n > STICKS), *near]
        spread = max(beyond, default=0) - min(beyond, default=0)
        sticks = sum(n <= STICKS for n in numbers)
        astray = sum(host.channel not in home for host in way)
        return astray, sticks, spread, [-n for n in numbers] if near else numbers

    allowed = space.channel_allowed  # nothing that it returns may stand against a host
    fit = (
        w for w in ways if not any(allowed(c.use.label, h) for c, h in zip(team, w, strict=True))
    )
    return min(fit, key=cost, default=None)


def homes(space: Space, label: PulseLabel) -> set[str]:
    """Return the channels of the functions that a mixed one moves for."""
    functions = (label.words.functions.get(base) for base in label.bases)
    wants = expected(space.plan)
    return {wants[m] for f in functions if f for m in f.mixes if m in wants}


def _rank(chosen: Chosen) -> int:
    functions = (chosen.use.label.words.functions.get(b) for b in chosen.use.label.bases)
    ranks = [function.rank for function in functions if function]
    return min([*ranks, 1 if any(d.part.drives for d in chosen.use.devices) else 4])
