"""What must be done before what: plugs, covers and joints, and the rings in which they are stuck.

Three kinds of work have an order: making a plug, closing a cover, joining two places. Before a
cover that closes for good, every plug under it is made. A cover `before-joining` is closed before
its bodies are joined to others, one `after-joining` after that, one `last` when everything has
been tested. A plug whose ends lie on both sides of a joint is made after the joint is joined.
A hatch opens again, so it holds no plug back.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, NamedTuple

from harness.airframe.access import AFTER, BEFORE, FOR_GOOD, Access
from harness.base.data import dataclass
from harness.wiring.build import Mate
from harness.wiring.codes import natural

if TYPE_CHECKING:
    from networkx import DiGraph

MAKE, CLOSE, JOIN, TEST = "make", "close", "join", "test"


class Task(NamedTuple):
    """One piece of work: MAKE a plug (part.port), CLOSE a cover, JOIN a place, TEST it all."""

    kind: str
    name: str


TESTED = Task(TEST, "")
"""The first power-up and its tests."""
Befores = Mapping[Task, set[Task]]
"""For each task, what must be done before it."""


def plug_task(mate: Mate) -> Task:
    """Return the task of making a plug."""
    return Task(MAKE, ".".join(mate.plug.id))


def befores(access: Access) -> dict[Task, set[Task]]:
    """Return what must be done before each task, as plan and airframe force it."""
    found: dict[Task, set[Task]] = defaultdict(set)
    found[TESTED] = set()
    for mate in access.mates:
        task = plug_task(mate)
        found[task] |= {Task(JOIN, joint) for joint in access.needs(mate)}
        found[TESTED].add(task)
        for cover in access.over.get(access.where(mate), ()):
            if cover.kind == FOR_GOOD:
                found[Task(CLOSE, cover.id)].add(task)
    for joint in access.joints:
        found[Task(JOIN, joint)] |= set()
        found[TESTED].add(Task(JOIN, joint))
    _covers(access, found)
    return dict(found)


def _covers(access: Access, found: dict[Task, set[Task]]) -> None:
    for cover in access.plan.covers.values():
        task, when = Task(CLOSE, cover.id), access.closes(cover)
        found[task] |= {Task(CLOSE, name) for name in cover.after}
        if when == BEFORE:
            for joint in access.touches(cover):
                found[Task(JOIN, joint)].add(task)
        elif when == AFTER:
            found[task] |= {Task(JOIN, joint) for joint in access.touches(cover)}
        else:
            found[task].add(TESTED)


@dataclass(frozen=True, slots=True)
class Ring:
    """Tasks each of which waits for the one before it, and the first for the last.

    `alike` are plugs that could stand in it in place of one of its own. `stuck` are all the
    tasks that wait for one another with it.
    """

    tasks: tuple[Task, ...]
    alike: tuple[Task, ...]
    stuck: frozenset[Task]


def rings(graph: Befores) -> tuple[Ring, ...]:
    """Return one shortest ring for each knot of tasks that wait for one another, by name."""
    import networkx as nx

    after = arrows(graph)
    knots = [frozenset(knot) for knot in nx.strongly_connected_components(after) if len(knot) > 1]
    knots.sort(key=lambda knot: min(map(turn, knot)))
    return tuple(_ring(graph, after.subgraph(knot), knot) for knot in knots)


def arrows(graph: Befores) -> DiGraph[Task]:
    """Return a step from each task to those that wait for it."""
    from networkx import DiGraph

    found: DiGraph[Task] = DiGraph()
    found.add_nodes_from(graph)
    found.add_edges_from((first, then) for then, firsts in graph.items() for first in firsts)
    return found


def turn(task: Task) -> tuple[str, tuple[tuple[int, str], ...]]:
    """Return a key that sorts tasks by kind and name, 2 before 10."""
    return task.kind, natural(task.name)


def _ring(graph: Befores, after: DiGraph[Task], knot: frozenset[Task]) -> Ring:
    """Return a knot's shortest ring. Each ring has a cover in it: only covers hold anything up."""
    covers = sorted((task for task in knot if task.kind == CLOSE), key=turn)
    tasks = min((_shortest(after, cover) for cover in covers), key=len)
    return Ring(tasks, tuple(sorted(_alike(graph, tasks), key=turn)), knot)


def _shortest(after: DiGraph[Task], start: Task) -> tuple[Task, ...]:
    """Return the shortest ring through a task, which is its last; of equal ones the first by name.

    A breadth-first search from each task to what must be done before it.
    """
    from networkx import bfs_predecessors

    waits = after.reverse(copy=False)
    then = dict(bfs_predecessors(waits, start, sort_neighbors=lambda some: sorted(some, key=turn)))
    ring = [next(task for task in (start, *then) if waits.has_edge(task, start))]
    while ring[-1] != start:
        ring.append(then[ring[-1]])
    return tuple(ring)


def _alike(graph: Befores, ring: tuple[Task, ...]) -> Iterator[Task]:
    for number, task in enumerate(ring):
        if task.kind == MAKE:
            before, after = ring[number - 1], ring[(number + 1) % len(ring)]
            yield from (
                other
                for other in graph[after]
                if other.kind == MAKE and other not in ring and before in graph.get(other, ())
            )


def buried(access: Access) -> dict[str, list[Mate]]:
    """Return, by cover, the plugs that a cover for good hides though a joint undoes them."""
    found: dict[str, list[Mate]] = defaultdict(list)
    for mate in access.mates:
        if any(map(access.is_removable, access.needs(mate))):
            for cover in access.over.get(access.where(mate), ()):
                if cover.kind == FOR_GOOD:
                    found[cover.id].append(mate)
    return dict(found)
