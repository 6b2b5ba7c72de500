"""The planner against plain enumeration (`brute.py`): the same cost, an answer among the best."""

from __future__ import annotations

import random

import pytest
from planner.brute import Case, Made, Servo, advice, best
from support import plan_of

from harness.base.finding import Severity
from harness.base.span import Source
from harness.plan.load import parse_plan
from harness.planner.propose import NoPlan, Proposal, propose

WISHES = ["differential aileron", "own-trim flap", "own-trim elevator", "apart"]
DEFAULT_NAMES = ["differential on aileron", "steering apart from rudder", "own trim for each flap",
                 "own trim for each elevator", "differential thrust"]  # fmt: skip
ABOUT = {
    "differential aileron": ["aileron"],
    "own-trim flap": ["flap"],
    "own-trim elevator": ["elevator"],
    "apart": ["steering", "rudder"],
}


def random_case(seed: int) -> Case:
    """Three to five plugs and two to five sockets."""
    rng = random.Random(seed)
    pool = [
        ("aileron-left", "aileron"), ("aileron-right", "aileron"), ("flap-left", "flap"),
        ("flap-right", "flap"), ("flap-third-left", "flap"), ("elevator-left", "elevator"),
        ("elevator-right", "elevator"), ("rudder", "rudder"), ("steering", "steering"),
    ]  # fmt: skip
    count = rng.randint(2, 4)
    servos = [
        Servo(name, moves, rng.choice(["left", "right"]), rng.random() < 0.2, rng.random() < 0.3)
        for name, moves in sorted(rng.sample(pool, count))
    ]
    escs = {f"esc-{s}": rng.choice([3.0, 5.0]) for s in ("left", "right")[: rng.randint(0, 2)]}
    regulators = {"reg": 5.0} if not escs or rng.random() < 0.3 else {}
    legs = ["leg-left", "leg-right"] if len(escs) == 0 and rng.random() < 0.3 else []
    sockets, sent = rng.randint(2, 6), rng.choice([None, None, 4])
    wanted = sockets == 6 and sent is None and any(s.moves == "flap" for s in servos)
    named = {"6": "flap"} if wanted and rng.random() < 0.6 else {}
    there = {servo.moves for servo in servos}
    could = [word for word in WISHES if set(ABOUT[word]) <= there]
    asked = rng.sample(could, min(len(could), rng.randint(1, 3)))
    return Case(
        servos,
        sockets,
        escs,
        legs,
        regulators,
        [rng.choice([150, 300]) for _ in range(rng.randint(0, 2))],
        rng.randint(0, 1),
        rng.choice([None, None, 0, 1, 2]),
        [(word, rng.random() < 0.3) for word in asked],
        named,
        rng.random() < 0.8,
        sent,
    )


def cost(answer: Proposal) -> tuple[float, ...]:
    levels = dict(answer.costs)
    broken = [not wish.granted for wish in answer.wishes]
    if answer.defaults:  # those that have nothing to decide are not told
        names = {wish.name: not wish.granted for wish in answer.wishes}
        broken = [names.get(name, False) for name in DEFAULT_NAMES]
    warned, noted = advice(answer.report)
    rest = [levels["feed"], warned, levels["bought"], noted, levels["joints"]]
    return (*broken, *rest, levels["length"] / 10, levels["mends"], levels["places"])


def groups_of(answer: Proposal) -> set[tuple[str, ...]]:
    """Who shares a socket of the receiver, read from the plan as it is written."""
    plan = parse_plan(Source("plan.yaml", answer.text))
    on: dict[str, list[str]] = {}
    for part in plan.parts.values():
        if part.word in {"servo", "ESC", "retract leg"}:
            join = part.plug
            while join.part != "rx":
                join = plan.parts[join.part].plug
            on.setdefault(join.into, []).append(part.id)
    return {tuple(sorted(names)) for names in on.values()}


@pytest.mark.parametrize("seed", range(120))
def test_the_planner_finds_what_enumeration_finds(seed: int) -> None:
    case = random_case(seed)
    answer = propose(plan_of(case.text()))
    found = best(case)
    if found is None:
        assert isinstance(answer, NoPlan)
        return
    assert isinstance(answer, Proposal)
    least, plans = found
    assert cost(answer) == least
    assert answer.proven
    assert not [f for f in answer.report.findings if f.severity >= Severity.ERROR]
    assert groups_of(answer) in [set(made.groups) for made in plans]
    assert groups_of(answer) == set(min(plans, key=first_by_name).groups)


def first_by_name(made: Made) -> list[tuple[int, tuple[str, ...]]]:
    """Each item in the order of names: the smaller group first, then the names in it."""
    of = {name: group for group in made.groups for name in group}
    return [(len(of[name]), of[name]) for name in sorted(of)]
