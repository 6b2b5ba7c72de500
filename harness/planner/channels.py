"""Deals the channels out again, at the same cost: what is needed to fly first, pairs side by side.

A channel that the radio expects something on keeps it, and what a mix moves for two sticks goes on
their channels. The channels of the other sticks come last.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterator, Sequence
from itertools import combinations, islice

from harness.base.data import replace
from harness.planner.hosts import SECOND_AILERON, Host, expected
from harness.planner.programme import pulse_of
from harness.planner.proposal import Answer, Chosen
from harness.planner.space import PulseLabel, Space
from harness.wiring.codes import natural

LOOKED_AT = 5000
"""Ways to give a pair its channels that are weighed; the first are the lowest."""
STICKS = 4


def dealt(space: Space, answer: Answer) -> Answer:
    """Return the answer with the channels of each box in order; as it is where that cannot be."""
    at = {c.use.names: c.host for c in answer.groups}
    for box in dict.fromkeys(h.box for h in at.values() if h and _open(h)):
        mine = [c for c in answer.groups if c.host and c.host.box == box and _open(c.host)]
        hosts = [c.host for c in mine if c.host]
        kept = {c.use.names: c.host for c in mine if c.host and not _loose(space, c)}
        free = [h for h in [*hosts, *_unused(space, answer, box)] if h not in kept.values()]
        for team in _teams(mine, kept):
            way = _best(space, team, [h for c in team if (h := kept.get(c.use.names))], free)
            if way is None:
                return answer
            at.update({c.use.names: host for c, host in zip(team, way, strict=True)})
            free = [host for host in free if host not in way]
    groups = tuple(replace(c, host=at[c.use.names]) for c in answer.groups)
    return replace(answer, groups=groups)


def _open(host: Host) -> bool:
    return host.plain and not host.function


def _loose(space: Space, chosen: Chosen) -> bool:
    """Say whether a group is on a channel that nobody expects it on."""
    bases = chosen.use.label.bases
    wants = {expected(space.plan).get(base) for base in bases}
    wants |= {SECOND_AILERON} if "aileron" in bases else set()
    return chosen.host is None or chosen.host.channel not in wants


def _unused(space: Space, answer: Answer, box: str) -> list[Host]:
    taken = {pulse_of(space, c.host) for c in answer.groups if c.host}
    taken |= {pulse_of(space, h) for h in space.hosts if h.already}
    return [h for h in space.hosts if h.box == box and _open(h) and not h.blocked
            and h != answer.feed_host and pulse_of(space, h) not in taken]  # fmt: skip


def _teams(mine: Sequence[Chosen], kept: Container[tuple[str, ...]]) -> Iterator[list[Chosen]]:
    """Yield the groups of one function, left before right; a team with one in place goes first."""
    teams: dict[frozenset[str], list[Chosen]] = defaultdict(list)
    for chosen in sorted(mine, key=lambda c: (c.use.label.side, natural(c.use.names[0]))):
        teams[chosen.use.label.bases].append(chosen)
    begun = {c.use.label.bases for c in mine if c.use.names in kept}
    for bases in sorted(teams, key=lambda b: (b not in begun, _rank(teams[b][0]), sorted(b))):
        yield teams[bases]


def _best(
    space: Space, team: Sequence[Chosen], kept: Sequence[Host], free: Sequence[Host]
) -> list[Host] | None:
    """Return the channels of a team: its own sticks', then beyond all sticks', close together."""
    label = team[0].use.label
    home = homes(space, label)
    named = space.plan.channels.items()
    there = {int(n) for n, c in named if n.isdecimal() and label.words.base(c.function) in
             label.bases} | {host.order[1] for host in kept}  # fmt: skip
    near = [n for n in there if n > STICKS]
    more = combinations(sorted(free, key=lambda h: h.order), len(team) - len(kept))
    ways = (sorted([*kept, *way], key=lambda h: h.order) for way in islice(more, LOOKED_AT))

    def cost(way: list[Host]) -> tuple[int, int, int, list[int]]:
        numbers = [host.order[1] for host in way]
        astray = sum(host.channel not in home for host in way)
        beyond = [n for n in numbers if n > STICKS] + near
        spread = max(beyond, default=0) - min(beyond, default=0)
        sticks = len(numbers) - sum(n > STICKS for n in numbers)
        return astray, sticks, spread, [-n for n in numbers] if near else numbers

    fit = (way for way in ways if _allowed(space, team, way))
    return min(fit, key=cost, default=None)


def _allowed(space: Space, team: Sequence[Chosen], way: Sequence[Host]) -> bool:
    pairs = zip(team, way, strict=True)
    return not any(space.channel_allowed(c.use.label, host) for c, host in pairs)


def homes(space: Space, label: PulseLabel) -> set[str]:
    """Return the channels of the functions that a mixed one moves for."""
    functions = (label.words.functions.get(base) for base in label.bases)
    wants = expected(space.plan)
    return {wants[m] for f in functions if f for m in f.mixes if m in wants}


def _rank(chosen: Chosen) -> int:
    if any(device.part.drives for device in chosen.use.devices):
        return 1
    functions = (chosen.use.label.words.functions.get(b) for b in chosen.use.label.bases)
    return min((function.rank for function in functions if function), default=4)
