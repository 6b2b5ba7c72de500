"""Diodes that conduct the wrong way: what goes dead behind them, and which supply feeds nothing."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import groupby

from harness.base.data import dataclass, replace
from harness.facts.fed import SUPPLY, needs, put_right
from harness.facts.rails import consumers
from harness.parts.contacts import Link, LinkKind
from harness.parts.part import Part
from harness.wiring.build import Wiring
from harness.wiring.fact import fact
from harness.wiring.graph import Tree, current_graph
from harness.wiring.live import Grid

DEAD, IDLE = "dead", "idle"
Lack = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Blocked:
    """Diodes to turn round together; what is dead because of them, and what feeds nothing."""

    diodes: tuple[Part, ...]
    dead: tuple[Part, ...]
    idle: tuple[Part, ...]


@fact
def blocked(wiring: Wiring) -> tuple[Blocked, ...]:
    """Return the diodes that, turned round, feed what is dead and leave nothing else without."""
    right = put_right(wiring)
    every = sorted({link.owner for link in right.links if link.kind is LinkKind.DIODE})
    lacks = _lacks(right, right.links) if every else set()
    if not lacks:
        return ()
    rows = sorted((_row(right, every, lack), lack) for lack in lacks)
    return tuple(_blocked(right, rows, lacks))


def _blocked(
    right: Wiring, rows: list[tuple[tuple[str, ...], Lack]], lacks: set[Lack]
) -> Iterator[Blocked]:
    parts = right.plan.parts
    for row, some in groupby(rows, lambda of: of[0]):
        cured = {lack for _, lack in some}
        if row and _lacks(right, [_turned(k) if _is_of(k, row) else k for k in right.links]) <= (
            lacks - cured
        ):
            dead, idle = (
                tuple(parts[n] for word, n in sorted(cured) if word == kind)
                for kind in (DEAD, IDLE)
            )
            yield Blocked(tuple(parts[name] for name in row), dead, idle)


def _lacks(right: Wiring, links: list[Link]) -> set[Lack]:
    """Return what has no supply, and which sources reach nothing that takes one."""
    live = Grid(replace(right, links=links)).live()
    found = {(DEAD, n.part.id) for n in needs(right) if n.what == SUPPLY and not n.met(live)}
    graph, ends = current_graph(links), [use.positive for use in consumers(right)]
    for link in links:
        if link.kind is LinkKind.SOURCE and link.owner in live.giving:
            tree = Tree(graph, link.b)
            if not any(end in tree for end in ends if end.part != link.owner):
                found.add((IDLE, link.owner))
    return found


def _row(right: Wiring, every: list[str], lack: Lack) -> tuple[str, ...]:
    """Return the fewest diodes that would have to let current through both ways; () for none."""

    def cures(names: Collection[str]) -> bool:
        both = [_turned(link) for link in right.links if _is_of(link, names)]
        return lack not in _lacks(right, [*right.links, *both])

    row = list(every) if cures(every) else []
    for name in every if row else ():
        less = [other for other in row if other != name]
        row = less if cures(less) else row
    return tuple(row)


def _is_of(link: Link, names: Collection[str]) -> bool:
    return link.kind is LinkKind.DIODE and link.owner in names


def _turned(link: Link) -> Link:
    return replace(link, a=link.b, b=link.a)
