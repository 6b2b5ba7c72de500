"""The order of work, played through on a building site that refuses what no hand could do."""

from __future__ import annotations

from typing import Any

import pytest
from airframe_support import Data, Site, airframes
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st
from strategies import as_yaml, plans, reordered
from support import plan_of

from harness.airframe.access import Access
from harness.airframe.stages import CLOSE, JOIN, MAKE, TESTED, Task, befores, rings
from harness.airframe.steps import (
    CENTRE,
    COUPLE,
    FEED,
    OPEN,
    Stage,
    WorkOrder,
    _Planner,
    field_work,
    is_live,
    order_of,
)
from harness.parts.servo import Servo
from harness.wiring.build import build

SLOW = settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
DONE_ON_SITE = {MAKE, CLOSE, OPEN, JOIN, "test"}


def order(text: str) -> WorkOrder:
    """Return the order of work of a plan."""
    return order_of(Access(build(plan_of(text))))


def tasks(text: str) -> list[tuple[str, str]]:
    """Return the tasks of a plan in their order."""
    return [tuple(step.task) for step in order(text).steps]  # type: ignore[misc]


@SLOW
@given(airframes(most=8))
def test_every_step_can_be_done_when_its_turn_comes(data: Data) -> None:
    """The site keeps what is joined, closed and plugged; it was written apart from the order."""
    found = order(as_yaml(data))
    if found.knots:
        event("no order")
        return
    site, joined = Site(data), set[str]()
    for task in [step.task for step in found.steps]:
        if task.kind in DONE_ON_SITE:
            assert site.refusal(task) == "", f"{task}: {site.refusal(task)}"
            site = site.after(task)
        joined |= {task.name} if task.kind == JOIN else set()
        if task.kind == FEED:
            assert task.name in joined
        if task.kind == CENTRE:
            covers = data["covers"].items()
            assert not {c for c, v in covers if task.name in v["over"]} & site.closed
    assert site.done
    again = sum(step.task.kind == OPEN for step in found.steps)
    event("a hatch is opened again" if again else "no hatch is opened again")


@SLOW
@given(airframes(most=8))
def test_arms_go_on_while_the_servos_are_plugged_into_nothing(data: Data) -> None:
    """A tester needs the lead: so before each servo's plug is made, and before any supply is."""
    found = order(as_yaml(data))
    turn = {step.task: number for number, step in enumerate(found.steps)}
    for mate in found.access.mates:
        made = turn[Task(MAKE, ".".join(mate.plug.id))]
        if isinstance(mate.plug.part, Servo):
            assert turn[Task(CENTRE, found.access.home(mate.plug.part))] < made
        if is_live(mate):
            assert all(turn[task] < made for task in turn if task.kind == CENTRE)


@SLOW
@given(airframes(most=8))
def test_without_an_order_every_plug_still_has_its_step(data: Data) -> None:
    found = order(as_yaml(data))
    made = [step.task.name for step in found.steps if step.task.kind == MAKE]
    assert sorted(made) == sorted(Site(data).plugs)
    joined = [step.task.name for step in found.steps if step.task.kind == JOIN]
    assert sorted(joined) == ["tip", "wing"]
    closed = {step.task.name for step in found.steps if step.task.kind == CLOSE}
    assert closed == set(data["covers"])
    assert found.knots == rings(befores(found.access))


@SLOW
@given(airframes(most=8), st.data())
def test_the_order_in_the_file_is_free(data: Data, draw: Any) -> None:
    other = reordered(data, draw.draw)
    one, two = order(as_yaml(data)), order(as_yaml(other))
    assert one.steps == two.steps


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(plans(once=True))
def test_any_plan_has_an_order_with_each_plug_once(data: Data) -> None:
    found = order(as_yaml(data))
    made = [step.task.name for step in found.steps if step.task.kind == MAKE]
    assert sorted(made) == sorted(".".join(mate.plug.id) for mate in found.access.mates)


@SLOW
@given(airframes(most=8))
def test_the_tie_break_is_stage_then_place_then_name(data: Data) -> None:
    """Of the tasks that can be done the first by the key is next: the least order there is."""
    access = Access(build(plan_of(as_yaml(data))))
    graph = befores(access)
    if rings(graph):
        return
    planner = _Planner(access, set())
    planner.extend(graph)
    found = list(planner.sorted(graph))
    for number, task in enumerate(found):
        done = set(found[:number])
        ready = [one for one, firsts in graph.items() if one not in done and firsts <= done]
        assert task == min(ready, key=planner.turn)
    assert sorted(found) == sorted(graph)


TWIN = """
places:
  body: {}
  wing-left: {joins: body, side: left}
  wing-right: {joins: body, side: right}
covers:
  skin-left: {over: wing-left, kind: for-good}
  skin-right: {over: wing-right, kind: for-good}
  canopy: {over: body, kind: hatch}
receivers: {rx: {sockets: 6, place: body}}
servos:
  aileron-left: {place: wing-left, plug: ext-left.1}
  aileron-right: {place: wing-right, plug: ext-right.1}
  rudder: {place: body, plug: rx.3}
leads:
  ext-left: {kind: extension, place: wing-left, plug: rx.1}
  ext-right: {kind: extension, place: wing-right, plug: rx.2}
escs: {esc: {place: body, plug: rx.4, supply: pack}}
packs: {pack: {chemistry: lipo, cells: 3, place: body}}
"""


def test_a_twin_winged_model_by_hand() -> None:
    """Arms, panels, then their skins; wings on; what crosses; the pack last, then the canopy."""
    assert tasks(TWIN) == [
        (CENTRE, "body"),
        (CENTRE, "wing-left"),
        (CENTRE, "wing-right"),
        (MAKE, "esc.plug"),
        (MAKE, "rudder.plug"),
        (MAKE, "aileron-left.plug"),
        (MAKE, "aileron-right.plug"),
        (CLOSE, "skin-left"),
        (CLOSE, "skin-right"),
        (JOIN, "wing-left"),
        (FEED, "wing-left"),
        (JOIN, "wing-right"),
        (FEED, "wing-right"),
        (MAKE, "ext-left.plug"),
        (MAKE, "ext-right.plug"),
        (MAKE, "esc.supply"),
        tuple(TESTED),
        (CLOSE, "canopy"),
    ]


def test_a_hatch_closed_too_early_is_opened_again() -> None:
    text = TWIN.replace("canopy: {over: body, kind: hatch}",
                        "canopy: {over: body, kind: hatch, closes: before-joining}")  # fmt: skip
    found = tasks(text)
    assert [task for task in found if task[1] == "canopy"] == [
        (CLOSE, "canopy"), (OPEN, "canopy"), (CLOSE, "canopy"),
    ]  # fmt: skip
    assert found.index((OPEN, "canopy")) == found.index((MAKE, "ext-left.plug")) - 1
    assert found[-1] == (CLOSE, "canopy")


def test_a_hatch_stays_closed_where_nothing_more_is_done_under_it() -> None:
    """What lies in the panel itself is plugged before its lid closes, so it is opened never."""
    text = TWIN.replace("for-good", "screwed, closes: before-joining")
    assert [name for kind, name in tasks(text) if kind == OPEN] == []


def test_an_opened_hatch_is_closed_again_before_the_next_joint() -> None:
    """The tip waits for its skin, that for the deck, that for the plug, which is under the lid."""
    text = """
places: {body: {}, bay: {in: body}, wing: {joins: body}, tip: {joins: wing}}
covers:
  lid: {over: [bay, wing], kind: hatch, closes: before-joining}
  deck: {over: bay, kind: for-good, closes: after-joining}
  skin: {over: tip, kind: for-good, after: deck}
receivers: {rx: {sockets: 4, place: bay}}
loads: {lamp: {current: 1 A, place: wing, plug: rx.1}}
"""
    found = [task for task in tasks(text) if task[0] in {CLOSE, OPEN, JOIN, MAKE}]
    assert found == [
        (CLOSE, "lid"), (JOIN, "wing"), (OPEN, "lid"), (MAKE, "lamp.plug"), (CLOSE, "deck"),
        (CLOSE, "skin"), (CLOSE, "lid"), (JOIN, "tip"),
    ]  # fmt: skip


def test_an_opened_hatch_is_closed_again_before_what_closes_after_it() -> None:
    text = TWIN.replace("canopy: {over: body, kind: hatch}",
                        "canopy: {over: body, kind: hatch, closes: before-joining}\n"
                        "  a-strap: {over: body, kind: hatch, after: canopy}")  # fmt: skip
    assert tasks(text)[-2:] == [(CLOSE, "canopy"), (CLOSE, "a-strap")]


def test_servos_are_centred_before_any_cover_over_them_closes() -> None:
    """The skin over two places would have its turn before the second by name."""
    text = """
places: {body: {}, a: {joins: body}, b: {in: a}}
covers: {skin: {over: [a, b], kind: for-good}}
servos: {s: {place: b}}
"""
    assert tasks(text)[:2] == [(CENTRE, "b"), (CLOSE, "skin")]


def test_a_hatch_that_closes_after_joining_waits_for_the_plugs_under_it() -> None:
    """But not for the pack, which is connected last of all: it is opened again for that."""
    text = TWIN.replace("kind: hatch", "kind: hatch, closes: after-joining")
    found = tasks(text)
    assert found.index((CLOSE, "canopy")) > found.index((MAKE, "ext-right.plug"))
    assert [task for task in found if task[0] == OPEN] == [(OPEN, "canopy")]
    assert found.index((OPEN, "canopy")) == found.index((MAKE, "esc.supply")) - 1


def test_packs_come_last_the_arming_plug_after_them() -> None:
    text = """
receivers: {rx: {sockets: 4}}
servos: {z: {plug: rx.1}}
escs: {esc: {plug: rx.3, supply: arm}}
regulators: {reg: {volts: 6 V, supply: radio, plug: rx.batt}}
packs: {a-drive: {chemistry: lipo, cells: 6}, radio: {chemistry: lipo, cells: 2}}
power-leads:
  arm: {kind: arming, supply: a-drive-ext}
  a-drive-ext: {kind: extension, supply: a-drive}
"""
    made = [name for kind, name in tasks(text) if kind == MAKE]
    assert made[-3:] == ["reg.supply", "a-drive-ext.in-1", "arm.in-1"]


def test_the_motors_pack_comes_after_the_radios_also_through_a_sensor() -> None:
    """The radio holds the motor still before it gets current (common practice, no source)."""
    found = order(
        """plan: 1
aircraft: Line
receivers: {rx: {sockets: 4, supply-sockets: 1}}
escs: {esc: {bec: none, plug: rx.3, supply: ammeter}}
sensors: {ammeter: {through: yes, supply: a-drive}}
motors: {motor: {plug: esc}}
packs:
  a-drive: {chemistry: lipo, cells: 3}
  radio: {chemistry: lipo, cells: 2, plug: rx.batt}
"""
    )
    made = [step.task.name for step in found.steps if step.task.kind == MAKE]
    assert made[-2:] == ["radio.main", "ammeter.in-1"]


def test_a_wing_plug_is_pushed_together_when_its_wing_is_joined() -> None:
    text = """
places: {body: {}, wing: {joins: body}}
receivers: {rx: {sockets: 4, place: body}}
servos: {s: {place: wing, plug: root.a}}
wing-plugs:
  root:
    place: wing
    contacts: 3
    circuits: {a: {signal: 1, positive: 2, negative: 3}}
    plugs: {a: rx.1}
"""
    found = tasks(text)
    assert (FEED, "wing") not in found
    assert found.index((COUPLE, "root")) == found.index((JOIN, "wing")) + 1
    assert {(CENTRE, "wing"), (MAKE, "root.plug-a"), (MAKE, "s.plug")} == set(found[:3])
    (joint,) = field_work(order(text)).joints
    assert [part.id for part in joint.coupled] == ["root"]
    assert joint.plugs == ()


@pytest.mark.parametrize("kind", [Stage.PANEL, Stage.CONNECT])
def test_the_stage_of_a_plug_says_whether_it_waited_for_a_joint(kind: Stage) -> None:
    steps = [step for step in order(TWIN).steps if step.stage == kind]
    crossing = {"ext-left.plug", "ext-right.plug"}
    assert {step.task.name in crossing for step in steps} == {kind == Stage.CONNECT}


@SLOW
@given(airframes(most=8))
def test_what_is_redone_is_what_the_joints_part(data: Data) -> None:
    """On the site: take the removable joints apart; whose ends hang together no more?"""
    found = field_work(order(as_yaml(data)))
    site = Site(data)
    places = data["places"]
    fixed = frozenset(p for p in places if places[p].get("joined") == "for-good")
    parted = {name for name, (plug, socket, here) in site.plugs.items()
              if not {plug, socket} <= site.reach(here, fixed)}  # fmt: skip
    again = [".".join(mate.plug.id) for joint in found.joints for mate in joint.plugs]
    assert sorted(again) == sorted(parted)
    assert {joint.joint for joint in found.joints} == {"wing", "tip"} - fixed
    joined = set(fixed)
    for joint in found.joints:
        joined.add(joint.joint)
        for mate in joint.plugs:
            plug, socket, here = site.plugs[".".join(mate.plug.id)]
            assert {plug, socket} <= site.reach(here, frozenset(joined))


def test_the_field_opens_what_lies_over_its_plugs() -> None:
    doing = field_work(order(TWIN))
    assert [cover.id for cover in doing.covers] == ["canopy"]
    assert [joint.joint for joint in doing.joints] == ["wing-left", "wing-right"]
    assert [servo.id for servo in doing.joints[0].surfaces] == ["aileron-left"]
    assert [".".join(mate.plug.id) for mate in doing.packs] == ["esc.supply"]


def test_a_task_reads_as_kind_and_name() -> None:
    assert tuple(Task(JOIN, "wing")) == ("join", "wing")
