"""What a sequencer moves at one time, against looking at every tenth of a second of its steps."""

from __future__ import annotations

import random

import pytest
from support import plan_of, report_of

from harness.electrics.cases import built_in, movers
from harness.electrics.moved_together import outlet_of, together_sets
from harness.plan.plan import Plan

RX = """
channels: {5: {function: gear, failsafe: hold}}
receivers: {rx: {sockets: 6}}
packs: {radio: {chemistry: lipo, cells: 2, capacity: 2 Ah, rate: 30 C, connector: XT30}}
regulators:
  reg: {kind: switching, volts: 6 V, rated: 5 A, burst: %s, metered: 6 V, supply: radio,
        connector: XT30, plug: rx.batt}
"""
BOX = """
sequencers:
  box:
    plug: rx.5
    length: 200 mm
    outlets: [doors, legs]
    power-up: holds
    steps:
      down: [{outlet: doors, start: 0 s, end: 1 s, to: open},
             {outlet: legs, start: %s, end: 6 s, to: down}]
      up: [{outlet: legs, start: 0 s, end: 5 s, to: up},
           {outlet: doors, start: %s, end: 8 s, to: closed}]
servos:
  door-left: {class: 9g-analogue, stall: 1.5 A, moves: gear-door, plug: door-y.1}
  door-right: {like: door-left, plug: door-y.2}
retracts:
  leg-left: {kind: self-contained, travel: 2 s, slow: 4 s, running: 0.5 A, stop: 1.5 A, plug: leg-y.1}
  leg-right: {like: leg-left, travel: 2 s, plug: leg-y.2}
leads:
  door-y: {kind: y, plug: box.doors}
  leg-y: {kind: y, plug: box.legs}
"""  # noqa: E501
DOORS, LEGS = {"door-left", "door-right"}, {"leg-left", "leg-right"}


def sets_of(plan: Plan) -> set[frozenset[str]]:
    return set(together_sets(plan, movers(plan)))


@pytest.mark.parametrize(
    ("legs", "doors", "expected"),
    [
        ("2 s", "7 s", [DOORS, LEGS]),
        ("1 s", "5 s", [DOORS, LEGS]),
        # the legs start while the doors are on their way
        ("0.5 s", "7 s", [DOORS | LEGS]),
        # the doors start before a slow leg is up, though its step is over: 0 s and 4 s of travel
        ("2 s", "3 s", [DOORS | LEGS]),
    ],
)
def test_doors_and_legs_by_their_steps(legs: str, doors: str, expected: list[set[str]]) -> None:
    plan = plan_of(RX % "9 A" + BOX % (legs, doors))
    assert sets_of(plan) == {frozenset(some) for some in expected}


def test_without_steps_or_without_a_box_all_may_move_at_once() -> None:
    whole = RX % "9 A" + BOX % ("2 s", "7 s")
    plan = plan_of(whole.split("    steps:")[0] + "servos:" + whole.split("servos:")[1])
    assert sets_of(plan) == {frozenset(DOORS | LEGS)}
    loose = plan_of(whole.replace("plug: leg-y.2", "plug: rx.6"))
    assert sets_of(loose) == {frozenset({*DOORS, "leg-right"}), frozenset(LEGS)}


@pytest.mark.parametrize("seed", range(20))
def test_random_steps_against_every_tenth_of_a_second(seed: int) -> None:
    """Servos only, so that a step's own end counts; the oracle looks at each tenth."""
    rng = random.Random(seed)
    rows = {"down": [], "up": []}  # type: dict[str, list[tuple[str, int, int]]]
    for way, found in rows.items():
        for outlet in ("a", "b", "c", "d"):
            if rng.random() < 0.8 or way == "down":
                start = rng.randrange(40)
                found.append((outlet, start, start + rng.randrange(1, 20)))
    steps = {
        way: ", ".join(
            f"{{outlet: {o}, start: {s / 10} s, end: {e / 10} s, to: open}}" for o, s, e in found
        )
        for way, found in rows.items()
    }
    servos = ", ".join(f"{o}: {{moves: gear-door, plug: box.{o}}}" for o in "abcd")
    plan = plan_of(
        "receivers: {rx: {sockets: 6}}\nsequencers:\n  box:\n    plug: rx.5\n"
        "    outlets: [a, b, c, d]\n    power-up: holds\n    steps:\n"
        f"      down: [{steps['down']}]\n      up: [{steps['up']}]\nservos: {{{servos}}}\n"
    )
    moments = {
        frozenset(o for o, start, end in found if start <= tick < end)
        for found in rows.values()
        for tick in range(70)
    } - {frozenset()}
    largest = {one for one in moments if not any(one < other for other in moments)}
    assert sets_of(plan) == largest


def test_outlets_are_found_through_leads() -> None:
    plan = plan_of(RX % "9 A" + BOX % ("2 s", "7 s"))
    found = outlet_of(plan, plan.parts["leg-right"])
    assert found is not None
    assert (found[0].id, found[1]) == ("box", "legs")
    assert outlet_of(plan, plan.parts["box"]) is None


def test_cases_judge_each_set_and_never_the_sum() -> None:
    """Two legs at 1.5 A, two doors at 1.5 A: 3 A and their box at a time, not 6 A."""
    apart = RX % "5 A" + BOX % ("2 s", "7 s")
    names = [case.name for case in built_in(plan_of(apart))]
    assert {"gear-travelling", "gear-travelling-2"} <= set(names)
    assert "bec-load" not in [f.rule for f in report_of(apart).findings]
    at_once = RX % "5 A" + BOX % ("0.5 s", "7 s")
    assert "gear-travelling-2" not in [case.name for case in built_in(plan_of(at_once))]
    assert "bec-load" in [f.rule for f in report_of(at_once).findings]


def boxes(many: int) -> Plan:
    """Return a plan with sequencers of two outlets each, which never move both at one time."""
    steps = (
        "{down: [{outlet: a, start: 0 s, end: 1 s, to: open},"
        " {outlet: b, start: 2 s, end: 3 s, to: open}]}"
    )
    box = "  box%d: {plug: rx.%d, outlets: [a, b], power-up: holds, steps: %s}"
    rows = [box % (n, n + 1, steps) for n in range(many)]
    servos = ", ".join(
        f"{o}{n}: {{moves: gear-door, plug: box{n}.{o}}}" for n in range(many) for o in "ab"
    )
    lines = "\n".join(rows)
    return plan_of(
        f"receivers: {{rx: {{sockets: {many}}}}}\nsequencers:\n{lines}\nservos: {{{servos}}}\n"
    )


def test_two_boxes_move_in_every_combination() -> None:
    expected = {frozenset({one, two}) for one in ("a0", "b0") for two in ("a1", "b1")}
    assert sets_of(boxes(2)) == expected


def test_boxes_are_counted_before_their_sets_are_multiplied() -> None:
    """Two to the thirtieth sets are more than a computer holds: all may move at once."""
    assert sets_of(boxes(30)) == {frozenset(f"{o}{n}" for n in range(30) for o in "ab")}
