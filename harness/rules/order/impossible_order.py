"""The work cannot be done in any order: a plug lies under a cover already closed.

What it looks for
    Plugs, covers and joints that wait for one another: a plug that can only be made when a wing
    is joined, under a cover that must be closed before that wing is joined; covers that must each
    be closed before the other. Also a plug that must be made again each time a removable joint
    is joined, under a cover that closes for good. A hatch opens again and is never in the way.

Why it matters
    It is found out when the glue is dry: the plug lies where no hand comes any more, and the
    sheeting has to be cut open.

An example that fails
    places:
      fuselage: {}
      wing-left: {joins: fuselage, side: left}
    covers:
      skin-left: {over: wing-left, kind: for-good}
    receivers:
      rx: {sockets: 4, place: fuselage}
    servos:
      aileron-left: {place: wing-left, plug: {into: aileron-ext.1, in: wing-left}}
    leads:
      aileron-ext: {kind: extension, place: fuselage, plug: rx.1}

The same, mended
    servos:
      aileron-left: {place: wing-left, plug: aileron-ext.1}
    leads:
      aileron-ext: {kind: extension, place: wing-left, plug: rx.1}

Where it comes from
    The plan's own places, joints and covers: nothing else is assumed. That a lead which crosses a
    joint is fed through on joining and plugged after it is common practice; no published source.
"""

from __future__ import annotations

from dataclasses import replace

from harness.airframe.access import AFTER, BEFORE, FOR_GOOD, Access
from harness.airframe.stages import CLOSE, JOIN, MAKE, TEST, Ring, Task, befores, buried, rings
from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.base.span import Span
from harness.facts.wording import quoted, verb
from harness.plan.airframe import Cover
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Mate

_MOST = 3
"""Further plugs a message names; past that only how many there are."""


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each knot of tasks once, and each cover over plugs that must be made again."""
    if not desk.plan.covers:
        return
    access = Access(desk.wiring)
    _unplaced(desk, access)
    told: set[str] = set()
    for ring in rings(befores(access)):
        told |= {task.name for task in ring.stuck if task.kind == CLOSE}
        yield _stuck(access, ring)
    for name, mates in buried(access).items():
        if name not in told:
            yield _buried(access, desk.plan.covers[name], mates)


def _unplaced(desk: Desk, access: Access) -> None:
    """A plug that nobody has placed may lie under a cover that closes for good."""
    if any(cover.kind == FOR_GOOD for cover in desk.plan.covers.values()):
        for mate in access.mates:
            if not access.where(mate):
                assert mate.socket is not None
                desk.not_known(mate.socket.part, "the place it sits in (place)")


def _stuck(access: Access, ring: Ring) -> Finding:
    """Tell a ring in words, each of its tasks where the plan says it."""
    first = next((n for n, task in enumerate(ring.tasks) if task.kind == MAKE), 0)
    tasks = ring.tasks[first:] + ring.tasks[:first]
    pairs = zip(tasks, tasks[1:] + tasks[:1], strict=True)
    said = "; ".join(_must(access, one, other) for one, other in pairs)
    alike = [_mate(access, task) for task in ring.alike]
    also = f"; the same holds for {verb(alike, 'the plug', 'the plugs')} {_plugs(alike)}"
    found = check.finding(
        f"there is no order in which this can be built: {said}{also if alike else ''}",
        _span(access, tasks[0]),
        *(_mate(access, t).plug.part for t in (*tasks, *ring.alike) if t.kind == MAKE),
        help=_help(access, tasks),
    )
    others = [task for task in (*tasks[1:], *ring.alike[:_MOST]) if task.name]
    return replace(found, also=tuple((_span(access, t), _named(access, t)) for t in others))


def _buried(access: Access, cover: Cover, mates: list[Mate]) -> Finding:
    first, *others = mates
    joints = quoted(j for j in access.needs(first) if access.is_removable(j))
    more = f" (so {verb(others, 'does that', 'do those')} {_plugs(others)})" if others else ""
    found = check.finding(
        f"{_plug(first)} must be made again each time {joints} has been off, but it lies in"
        f' "{access.where(first)}", under cover "{cover.id}", which closes for good{more}',
        first.join.span,
        *(mate.plug.part for mate in mates),
        help=f'make "{cover.id}" a hatch or a screwed lid, move the plug out from under it, or '
        f"write `joined: for-good` when the joint is never undone",
    )
    closing = (cover.spans.get("kind", cover.span), f'cover "{cover.id}" closes for good')
    return replace(found, also=(closing, *((m.join.span, _plug(m)) for m in others[:_MOST])))


def _must(access: Access, one: Task, other: Task) -> str:
    """Say why a task comes before another."""
    name, last = _named(access, one), _named(access, other)
    if one.kind == JOIN:
        only = {MAKE: "made", CLOSE: "closed"}.get(other.kind, "tried")
        return f"{last} can only be {only} when {_joined(access, one.name)}"
    if one.kind == CLOSE:
        to = _joined(access, other.name) if other.kind == JOIN else last
        return f"{name} must be closed before {to}"
    if one.kind == TEST:
        return f"{last} stays open until everything has been tested"
    if other.kind == TEST:
        return f"everything can only be tested when {name} is made"
    where = access.where(_mate(access, one))
    return f'{name} must be made in "{where}" before {last} closes for good'


def _named(access: Access, task: Task) -> str:
    if task.kind == MAKE:
        return _plug(_mate(access, task))
    if task.kind == JOIN:
        return f'the joint of "{task.name}" and "{access.plan.places[task.name].joins}"'
    return f'cover "{task.name}"' if task.kind == CLOSE else "everything"


def _joined(access: Access, joint: str) -> str:
    return f'"{joint}" is joined to "{access.plan.places[joint].joins}"'


def _mate(access: Access, task: Task) -> Mate:
    part, _, port = task.name.partition(".")
    return access.wiring.by_plug[part, port]


def _plug(mate: Mate) -> str:
    return f"the plug of {mate.plug.part.named()} into {mate.into}"


def _plugs(mates: list[Mate]) -> str:
    named = [mate.plug.part.named() for mate in mates[:_MOST]]
    more = len(mates) - _MOST
    return f"of {spoken([*named, f'{more} more'] if more > 0 else named)}"


def _span(access: Access, task: Task) -> Span:
    """Return where the plan says what a task is bound by."""
    if task.kind == MAKE:
        return _mate(access, task).join.span
    if task.kind == JOIN:
        place = access.plan.places[task.name]
        return place.spans.get("joins", place.span)
    cover = access.plan.covers.get(task.name)
    if cover is None:
        return next(iter(access.plan.covers.values())).span
    return cover.spans.get("closes", cover.spans.get("kind", cover.span))


def _help(access: Access, tasks: tuple[Task, ...]) -> str:
    """Say what can be changed: the place of a plug, the cover, when it closes."""
    if not any(task.kind == MAKE for task in tasks):
        return "say otherwise when one of them closes (`closes`, `after`)"
    covers = [access.plan.covers[task.name] for task in tasks if task.kind == CLOSE]
    glued = [cover for cover in covers if cover.kind == FOR_GOOD]
    early = any(access.closes(cover) == BEFORE for cover in glued)
    mates = [_mate(access, task) for task in tasks if task.kind == MAKE]
    ends = [p.part for m in mates for p in (m.plug, m.socket) if p is not None]
    loose = any(part.is_lead and not part.as_made for part in ends)
    place = " let its lead sit in another place," if loose else ""
    wanted = f", or write `closes: {AFTER}` when the joint is for good" if early else ""
    return (
        f"make the plug elsewhere (`in`),{place} or make"
        f" {quoted(cover.id for cover in glued)} a hatch{wanted}"
    )
