"""What must come before what, against a building site on which every order is tried."""

from __future__ import annotations

import re

import numpy as np
import pytest
from airframe_support import Data, Site, airframes
from hypothesis import HealthCheck, event, given, settings
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components, dijkstra
from strategies import as_yaml
from support import plan_of

from harness.airframe.access import Access
from harness.airframe.stages import CLOSE, JOIN, MAKE, Task, befores, buried, rings
from harness.wiring.build import build


def access_of(text: str) -> Access:
    """Return the access of a plan."""
    return Access(build(plan_of(text)))


SLOW = settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@SLOW
@given(airframes(most=4))
def test_there_is_a_ring_when_no_order_exists_and_only_then(data: Data) -> None:
    """Exhaustive search over all states of covers, joints and plugs is the judge."""
    found = rings(befores(access_of(as_yaml(data))))
    can = Site(data).can_be_built()
    event("can be built" if can else "cannot be built")
    assert (found == ()) == can


@SLOW
@given(airframes(most=6))
def test_a_ring_is_really_a_ring(data: Data) -> None:
    """Each task waits for the one before it; scipy finds no shorter ring in the same knot."""
    graph = befores(access_of(as_yaml(data)))
    tasks = sorted({*graph, *(first for firsts in graph.values() for first in firsts)})
    arrows = np.zeros((len(tasks), len(tasks)))
    for then, firsts in graph.items():
        for first in firsts:
            arrows[tasks.index(first), tasks.index(then)] = 1
    _, at = connected_components(csr_array(arrows), connection="strong")
    far = dijkstra(csr_array(arrows), unweighted=True)
    rounds = np.where(arrows > 0, far.T + 1, np.inf).min(axis=1)
    found = rings(graph)
    knots = [[task for task, n in zip(tasks, at, strict=True) if n == knot] for knot in set(at)]
    stuck = [sorted(knot) for knot in knots if len(knot) > 1]
    assert sorted(stuck) == sorted(sorted(ring.stuck) for ring in found)
    for ring in found:
        assert len(set(ring.tasks)) == len(ring.tasks)
        for one, other in zip(ring.tasks, ring.tasks[1:] + ring.tasks[:1], strict=True):
            assert one in graph[other]
        assert len(ring.tasks) == min(rounds[tasks.index(task)] for task in ring.stuck)
        for other in ring.alike:
            swapped = [other if task.kind == MAKE else task for task in ring.tasks]
            if [task.kind for task in ring.tasks].count(MAKE) == 1:
                pairs = zip(swapped, swapped[1:] + swapped[:1], strict=True)
                assert all(a in graph[b] for a, b in pairs)


WING = """
places: {body: {}, wing: {joins: body}}
covers: {skin: {over: wing, kind: for-good}}
receivers: {rx: {sockets: 4, place: body}}
"""


def test_a_ring_by_hand() -> None:
    """The servo's plug in the wing waits for the wing, the wing for its skin, the skin for it."""
    text = WING + "servos: {s: {place: wing, plug: x.1}}\n"
    text += "leads: {x: {kind: extension, place: body, plug: rx.1}}\n"
    graph = befores(access_of(text))
    assert rings(graph) == ()  # made in the body, where its socket sits
    inside = text.replace("plug: x.1", "plug: {into: x.1, in: wing}")
    (ring,) = rings(befores(access_of(inside)))
    assert ring.tasks == (Task(JOIN, "wing"), Task(MAKE, "s.plug"), Task(CLOSE, "skin"))
    assert ring.alike == ()


@pytest.mark.parametrize(
    ("change", "stuck"),
    [
        (("", ""), True),
        (("for-good}", "hatch}"), False),
        (("for-good}", "screwed, closes: before-joining}"), False),
        (("for-good}", "for-good, closes: after-joining}"), False),
        (("for-good}", "for-good, closes: last}"), False),
    ],
)
def test_what_undoes_the_ring(change: tuple[str, str], stuck: bool) -> None:
    text = WING.replace(*change)
    text += "servos: {s: {place: wing, plug: {into: x.1, in: wing}}}\n"
    text += "leads: {x: {kind: extension, place: body, plug: rx.1}}\n"
    assert bool(rings(befores(access_of(text)))) is stuck


def test_both_halves_of_a_wing_plug_are_reached_from_their_own_side() -> None:
    """A root plug in the wing: no lead of it crosses the joint, but the plug itself does."""
    text = WING + "servos: {s: {place: wing, plug: root.a}}\n"
    text += "wing-plugs: {root: {place: wing, contacts: 3, plugs: {a: rx.1},"
    text += " circuits: {a: {signal: 1, positive: 2, negative: 3}}}}\n"
    for place in ("wing", "body"):
        access = access_of(re.sub(r"root: {place: \w+", f"root: {{place: {place}", text))
        (root,) = (part for part in access.plan.parts.values() if part.id == "root")
        assert access.spans_joint(root) == ("wing",)  # type: ignore[arg-type]
        assert [access.needs(mate) for mate in access.mates] == [(), ()]
        assert {access.where(mate) for mate in access.mates} == {"wing", "body"}


@pytest.mark.parametrize(
    ("servos", "home"),
    [
        ("s: {place: wing, plug: x.1}", "wing"),
        ("s: {place: body, plug: x.1}", "body"),
        ("s: {plug: x.1}", "body"),
        ("", "body"),
    ],
)
def test_a_lead_without_a_place_goes_with_what_it_feeds(servos: str, home: str) -> None:
    text = WING + f"servos: {{{servos}}}\nleads: {{x: {{kind: extension, plug: rx.1}}}}\n"
    access = access_of(text)
    assert access.home(access.plan.parts["x"]) == home


def test_a_y_that_feeds_both_wings_stays_with_its_socket() -> None:
    text = """
places: {body: {}, l: {joins: body}, r: {joins: body}}
receivers: {rx: {sockets: 4, place: body}}
servos: {a: {place: l, plug: y.1}, b: {place: r, plug: y.2}}
leads: {y: {kind: y, plug: rx.1}}
"""
    access = access_of(text)
    assert access.home(access.plan.parts["y"]) == "body"
    needs = {mate.plug.part.id: access.needs(mate) for mate in access.mates}
    assert needs == {"a": ("l",), "b": ("r",), "y": ()}


def test_an_unplaced_part_crosses_nothing() -> None:
    access = access_of(WING.replace(", place: body", "") + "servos: {s: {place: wing, plug: rx.1}}")
    (mate,) = access.mates
    assert access.where(mate) == ""
    assert access.needs(mate) == ()


@pytest.mark.parametrize(("joined", "hidden"), [("", ["lid"]), (", joined: for-good", [])])
def test_a_plug_made_again_each_time_may_not_be_buried(joined: str, hidden: list[str]) -> None:
    text = f"""
places: {{body: {{}}, wing: {{joins: body{joined}}}}}
covers: {{lid: {{over: body, kind: for-good, closes: after-joining}}}}
receivers: {{rx: {{sockets: 4, place: body}}}}
servos: {{s: {{place: wing, plug: rx.1}}, t: {{place: body, plug: rx.2}}}}
"""
    access = access_of(text)
    assert rings(befores(access)) == ()
    found = buried(access)
    assert list(found) == hidden
    assert [mate.plug.part.id for mates in found.values() for mate in mates] == ["s"] * len(hidden)
