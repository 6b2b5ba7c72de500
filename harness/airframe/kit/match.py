"""Who gets what: as much as can be given, at the least cost; of several ways the first by order.

A transport problem between classes of alike things, solved by successive shortest paths (the
textbook method of Ford and Fulkerson, with Bellman's distances; from memory) in whole numbers of
any size: nothing is rounded, and the answer is the only one of its kind.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

Pair = tuple[int, int]
"""(number of the need, number of the piece)."""


def shares(
    wanted: Sequence[int], there: Sequence[int], costs: Mapping[Pair, int]
) -> dict[Pair, int]:
    """Return how many of each piece each need gets: the most in all, at the least summed cost.

    `costs` has an entry for each pair that fits. Among answers as good, the first need gets as
    many of the first piece as any of them gives it, then of the second, and so on.
    """
    weighed = _with_order(sum(wanted), costs)
    given: dict[Pair, int] = {}
    needs, pieces = list(wanted), list(there)
    while path := _cheapest(needs, pieces, weighed, given):
        back = [given[pair] for pair in path[1::2]]
        many = min([needs[path[0][0]], pieces[path[-1][1]], *back])
        for step, pair in enumerate(path):
            given[pair] = given.get(pair, 0) + (many if step % 2 == 0 else -many)
        needs[path[0][0]] -= many
        pieces[path[-1][1]] -= many
    return {pair: many for pair, many in sorted(given.items()) if many}


def _with_order(most: int, costs: Mapping[Pair, int]) -> dict[Pair, int]:
    """Add to each cost what decides between answers of equal cost: the earlier, the cheaper."""
    base, count = most + 1, len(costs)
    return {
        pair: costs[pair] * base ** (count + 1) - base ** (count - 1 - number)
        for number, pair in enumerate(sorted(costs))
    }


def _cheapest(
    needs: Sequence[int],
    pieces: Sequence[int],
    costs: Mapping[Pair, int],
    given: Mapping[Pair, int],
) -> list[Pair]:
    """Return the cheapest way to serve one need more: pairs to add and to undo in turn, or []."""
    reached: dict[int, tuple[int, list[Pair]]] = {n: (0, []) for n, m in enumerate(needs) if m}
    ends: dict[int, tuple[int, list[Pair]]] = {}
    changed = bool(reached)
    while changed:
        changed = False
        for (need, piece), cost in costs.items():
            if need in reached:
                sofar, path = reached[need]
                if piece not in ends or sofar + cost < ends[piece][0]:
                    ends[piece] = (sofar + cost, [*path, (need, piece)])
                    changed = True
            if piece in ends and given.get((need, piece)):
                sofar, path = ends[piece]
                if need not in reached or sofar - cost < reached[need][0]:
                    reached[need] = (sofar - cost, [*path, (need, piece)])
                    changed = True
    free = [(cost, path) for piece, (cost, path) in ends.items() if pieces[piece]]
    return min(free)[1] if free else []
