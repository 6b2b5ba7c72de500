"""The order of work: every plug, cover and joint of a plan, one after the other; and at the field.

Among all tasks that nothing holds up, the next is always the one of the earliest stage, then by
place, then by name: so there is one order and no other. Hatches are opened again where a plug
needs it, and closed again before a joint or a cover that wants them closed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from enum import IntEnum
from typing import Any

from harness.airframe.access import BEFORE, FOR_GOOD, LAST, Access
from harness.airframe.stages import (
    CLOSE,
    JOIN,
    MAKE,
    TESTED,
    Ring,
    Task,
    arrows,
    befores,
    plug_task,
    rings,
)
from harness.base.data import dataclass, field
from harness.parts.contacts import Form
from harness.parts.part import Part
from harness.parts.servo import Servo
from harness.parts.wing_plug import WingPlug
from harness.plan.airframe import Cover
from harness.wiring.build import Mate
from harness.wiring.codes import natural
from harness.wiring.graph import parts_down


class Stage(IntEnum):
    """The stages of the work; of tasks that can be done now, the earliest stage goes first."""

    CENTRE = 1
    PANEL = 2
    CLOSE = 3
    JOIN = 4
    CONNECT = 5
    SUPPLY = 6
    POWER = 7
    TEST = 8
    HATCH = 9


@dataclass(frozen=True, slots=True)
class WorkStep:
    """One task in its turn: `place` is where it is done, for a joint the place that comes on."""

    task: Task
    stage: Stage
    place: str


@dataclass(frozen=True, slots=True)
class WorkOrder:
    """All steps in order. `knots`: what no order can satisfy; their covers are left to the end."""

    access: Access
    steps: tuple[WorkStep, ...]
    knots: tuple[Ring, ...]


def order_of(access: Access) -> WorkOrder:
    """Return the one order of work of a plan."""
    graph = befores(access)
    knots = rings(graph)
    stuck = {task for ring in knots for task in ring.stuck if task.kind == CLOSE}
    graph = _unknotted(graph, stuck)
    planner = _Planner(access, {task.name for task in stuck})
    planner.extend(graph)
    return WorkOrder(access, tuple(planner.with_hatches(planner.sorted(graph))), knots)


def _unknotted(graph: Mapping[Task, set[Task]], stuck: set[Task]) -> dict[Task, set[Task]]:
    """Return the graph with each stuck cover left open to the end, so that it has no ring."""
    found = {task: firsts - stuck for task, firsts in graph.items()}
    return found | {task: {TESTED} for task in stuck}


@dataclass
class _Planner:
    """Puts the tasks of one plan in order. `stuck`: covers that no order allows to close."""

    access: Access
    stuck: set[str]
    by_task: dict[Task, Mate] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.by_task = {plug_task(mate): mate for mate in self.access.mates}

    def extend(self, graph: dict[Task, set[Task]]) -> None:
        """Add to what must be done before what the tasks that no rule asks about."""
        self._feeds(graph)
        self._couples(graph)
        self._centres(graph)
        for cover in sorted(self.access.plan.covers.values(), key=lambda c: natural(c.id)):
            if cover.kind != FOR_GOOD and cover.id not in self.stuck:
                self._under_hatch(graph, cover)

    def _feeds(self, graph: dict[Task, set[Task]]) -> None:
        """Leads go through a joint when it is joined, and are plugged after that."""
        for task, mate in self.by_task.items():
            for joint in self.access.needs(mate):
                feed = Task(FEED, joint)
                graph.setdefault(feed, set()).add(Task(JOIN, joint))
                graph[task].add(feed)

    def _couples(self, graph: dict[Task, set[Task]]) -> None:
        """The halves of a wing plug are pushed together as its joint is joined."""
        for part in self.access.plan.of(WingPlug):
            joints = self.access.spans_joint(part)
            if joints:
                graph[Task(COUPLE, part.id)] = {Task(JOIN, joint) for joint in joints}
                graph[TESTED].add(Task(COUPLE, part.id))

    def _centres(self, graph: dict[Task, set[Task]]) -> None:
        """Arms go on from a servo tester, before the servos' leads are plugged and places close.

        A servo that came fitted keeps its arm.
        """
        for place in {self.access.home(s) for s in self.access.plan.of(Servo) if not s.as_made}:
            task = Task(CENTRE, place)
            graph[task] = set()
            early = [c for c in self.access.over.get(place, ()) if self._closes_early(c)]
            for cover in early:
                graph[Task(CLOSE, cover.id)].add(task)
            graph[TESTED].add(task)
        for plug, mate in self.by_task.items():
            if mate.plug.part.swings and not mate.plug.part.as_made:
                graph[plug].add(Task(CENTRE, self.access.home(mate.plug.part)))

    def _closes_early(self, cover: Cover) -> bool:
        return self.access.closes(cover) != LAST and cover.id not in self.stuck

    def _under_hatch(self, graph: dict[Task, set[Task]], cover: Cover) -> None:
        """Make the plugs under a hatch before it closes, where they need not wait for it.

        A pack is not connected early for that: the hatch is opened again.
        """
        close = Task(CLOSE, cover.id)
        later, over = _waiting(graph, close), set(cover.over)
        dead = {task: mate for task, mate in self.by_task.items() if not is_live(mate)}
        graph[close] |= {t for t, mate in dead.items() if self.access.where(mate) in over} - later

    def sorted(self, graph: Mapping[Task, set[Task]]) -> Iterator[Task]:
        """Yield tasks so that each comes after those before it, the first by `turn` first."""
        from networkx import lexicographical_topological_sort

        return lexicographical_topological_sort(
            arrows(graph), key=lambda task: (self.turn(task), task)
        )

    def turn(self, task: Task) -> tuple[Any, ...]:
        """Return the tie-break: stage, then what is most dangerous last, then place, then name."""
        mate = self.by_task.get(task)
        last = _danger(self.access, mate) if mate else 0
        return self.stage(task), last, natural(self.place(task)), task.kind, natural(task.name)

    def stage(self, task: Task) -> Stage:
        """Return the stage a task belongs to."""
        if task.kind == MAKE:
            return self._stage_of_plug(self.by_task[task])
        if task.kind == CLOSE:
            last = self.access.closes(self.access.plan.covers[task.name]) == LAST
            return Stage.HATCH if last or task.name in self.stuck else Stage.CLOSE
        if task.kind == CENTRE:
            return Stage.CENTRE
        return Stage.TEST if task == TESTED else Stage.JOIN

    def _stage_of_plug(self, mate: Mate) -> Stage:
        if is_live(mate):
            return Stage.POWER
        covers = self.access.over.get(self.access.where(mate), ())
        if _is_supply(mate) and not any(self._closes_early(cover) for cover in covers):
            return Stage.SUPPLY
        return Stage.CONNECT if self.access.needs(mate) else Stage.PANEL

    def place(self, task: Task) -> str:
        """Return where a task is done."""
        if task.kind == MAKE:
            return self.access.where(self.by_task[task])
        if task.kind == CLOSE:
            return self.access.plan.covers[task.name].over[0]
        if task.kind == COUPLE:
            return self.access.spans_joint(self.access.plan.parts[task.name])[-1]
        return task.name

    def with_hatches(self, tasks: Iterable[Task]) -> Iterator[WorkStep]:
        """Yield the steps, hatches opened where a plug lies under them and closed again."""
        closed: set[str] = set()
        for task in tasks:
            step = WorkStep(task, self.stage(task), self.place(task))
            for name in self._in_the_way(task, closed):
                closed.remove(name)
                yield WorkStep(Task(OPEN, name), step.stage, step.place)
            for name in self._wanted_closed(task, closed):
                closed.add(name)
                yield WorkStep(Task(CLOSE, name), step.stage, step.place)
            closed |= {task.name} if task.kind == CLOSE else set()
            yield step
        for name in self._chain(self.access.plan.covers, closed):
            closed.add(name)
            yield WorkStep(Task(CLOSE, name), Stage.HATCH, self.place(Task(CLOSE, name)))

    def _in_the_way(self, task: Task, closed: set[str]) -> list[str]:
        """Return the closed covers over the place where a plug is made or a servo centred."""
        places = {self.place(task)} if task.kind in {MAKE, CENTRE} else set()
        found = {cover.id for place in places for cover in self.access.over.get(place, ())}
        return sorted(found & closed, key=natural)

    def _wanted_closed(self, task: Task, closed: set[str]) -> list[str]:
        """Return the covers to close again before a joint is joined or a cover closes."""
        covers = self.access.plan.covers
        if task.kind == CLOSE and task.name not in self.stuck:
            return self._chain(covers[task.name].after, closed)
        if task.kind == JOIN:
            bound = (c for c in covers.values() if task.name in self.access.touches(c))
            early = (c.id for c in bound if self.access.closes(c) == BEFORE)
            return self._chain(early, closed)
        return []

    def _chain(self, names: Iterable[str], closed: set[str]) -> list[str]:
        """Return which of some covers are to be closed, each after those it comes after."""
        covers, found = self.access.plan.covers, list[str]()
        for name in sorted(names, key=natural):
            if name not in closed and name not in found and name not in self.stuck:
                first = self._chain(covers[name].after, closed | set(found))
                found += [*(one for one in first if one not in found), name]
        return found


def _waiting(graph: Mapping[Task, set[Task]], start: Task) -> set[Task]:
    """Return the tasks that wait for one, at first or second hand."""
    from networkx import descendants

    return {start, *descendants(arrows(graph), start)}


def is_live(mate: Mate) -> bool:
    """Say whether a plug brings current from a pack: the packs' own plugs, the arming plug."""
    return has_cells(mate) or _arms(mate)


def has_cells(mate: Mate) -> bool:
    """Say whether a plug sits on a pack."""
    assert mate.socket is not None
    return any(part.holds_cells for part in (mate.plug.part, mate.socket.part))


def _arms(mate: Mate) -> bool:
    part = mate.plug.part
    return part.arms


def _is_supply(mate: Mate) -> bool:
    """Say whether a plug belongs to the supply: battery wires, and a box's supply sockets."""
    assert mate.socket is not None
    fed = mate.socket.name == "power" or mate.socket.name.startswith("batt")
    box = mate.socket.part.has_channels
    from_pack = (
        mate.plug.form is Form.BALANCE
    )  # an adapter; what taps with a plug of its own draws little
    return (box and fed) or from_pack or Form.POWER in {mate.plug.form, mate.socket.form}


def _danger(access: Access, mate: Mate) -> int:
    """Return 0 for a plug without current, 1 for a radio's pack, 2 a drive's, 3 the arming plug."""
    if not is_live(mate):
        return 0
    if _arms(mate):
        return 3
    return 2 if any(part.drives for part in _fed_by(access, mate)) else 1


def _fed_by(access: Access, mate: Mate) -> Iterator[Part]:
    """Yield what a pack feeds, through leads and fuses."""
    assert mate.socket is not None
    for part in (mate.plug.part, mate.socket.part):
        if part.holds_cells:
            yield from hangs_on(access, part)


def hangs_on(access: Access, start: Part) -> Iterator[Part]:
    """Yield what hangs on a part, through further leads, fuses and sensors in the line."""
    from networkx import generic_bfs_edges

    parts, graph = access.plan.parts, parts_down(access.wiring)

    def beyond(name: str) -> Iterator[str]:
        passes = name == start.id or parts[name].is_lead or parts[name].battery_lead
        return iter(graph[name] if passes else ())

    return (parts[name] for _, name in generic_bfs_edges(graph, start.id, beyond))


@dataclass(frozen=True, slots=True)
class Rejoin:
    """One removable joint, by the place that comes off.

    `plugs` are made again in this order, `coupled` are wing plugs pushed together; `fed` are the
    plugs whose leads go through it; `surfaces` are the servos behind it.
    """

    joint: str
    plugs: tuple[Mate, ...]
    coupled: tuple[WingPlug, ...]
    fed: tuple[Mate, ...]
    surfaces: tuple[Servo, ...]


@dataclass(frozen=True, slots=True)
class FieldWork:
    """All that is done at the field; `covers` in the order they close, `packs` connected last."""

    covers: tuple[Cover, ...]
    joints: tuple[Rejoin, ...]
    packs: tuple[Mate, ...]


def field_work(order: WorkOrder) -> FieldWork:
    """Return what is done again at the field, joints in the order in which they were joined."""
    access = order.access
    by_task = {plug_task(mate): mate for mate in access.mates}
    made = [by_task[s.task] for s in order.steps if s.task.kind == MAKE]
    removable = [j for j in joined_in(order) if access.is_removable(j)]
    found = [_rejoin(access, joint, removable, made) for joint in removable]
    plugged = {plug_task(mate) for joint in found for mate in joint.plugs}
    packs = tuple(m for m in made if has_cells(m) and plug_task(m) not in plugged)
    return FieldWork(_covers(order, found, packs), tuple(found), packs)


def joined_in(order: WorkOrder) -> list[str]:
    """Return the joints in the order in which they are joined."""
    return [step.task.name for step in order.steps if step.task.kind == JOIN]


def _rejoin(access: Access, joint: str, removable: list[str], made: list[Mate]) -> Rejoin:
    """Return one joint's work; what needs several joints is done at the last of them."""
    later = set(removable[removable.index(joint) + 1 :])

    def here(joints: tuple[str, ...]) -> bool:
        return joint in joints and not later & set(joints)

    coupled = [p for p in access.plan.of(WingPlug) if here(access.spans_joint(p))]
    surfaces = [s for s in access.plan.of(Servo) if access.behind(joint, access.home(s))]
    return Rejoin(
        joint,
        tuple(mate for mate in made if here(access.needs(mate))),
        tuple(sorted(coupled, key=lambda part: natural(part.id))),
        tuple(mate for mate in made if joint in access.needs(mate)),
        tuple(sorted(surfaces, key=lambda part: natural(part.id))),
    )


def _covers(order: WorkOrder, joints: list[Rejoin], packs: tuple[Mate, ...]) -> tuple[Cover, ...]:
    """Return the covers over all that is plugged at the field, as they close; none for good."""
    access = order.access
    places = {access.where(m) for m in (*packs, *(m for joint in joints for m in joint.plugs))}
    found = {c.id: c for place in places for c in access.over.get(place, ()) if c.kind != FOR_GOOD}
    closed = dict.fromkeys(s.task.name for s in reversed(order.steps) if s.task.kind == CLOSE)
    return tuple(found[name] for name in reversed(closed) if name in found)


OPEN, FEED, COUPLE, CENTRE = "open", "feed", "couple", "centre"
"""Further tasks: OPEN a cover again, FEED leads through a joint, COUPLE a wing plug's halves,
CENTRE the servos of a place."""
