"""The planner against plain enumeration (`brute.py`): the same cost, an answer among the best."""

from __future__ import annotations

import random
from functools import cache

import pytest
from planner.brute import Case, Made, Servo, advice, best
from support import plan_of

from harness.base.finding import Severity
from harness.base.span import Source
from harness.plan.load import parse_plan
from harness.planner.propose import NoPlan, Proposal, propose
from harness.wiring.build import build

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
    rest = [levels["feed"], crowded(answer) + warned, levels["bought"], noted, levels["joints"]]
    return (*broken, *rest, levels["length"] / 10, levels["mends"], levels["places"])


def crowded(answer: Proposal) -> int:
    """How many runs of the plan as it is written have more than two leads."""
    plan = parse_plan(Source("plan.yaml", answer.text))
    return sum(
        sum(mate.socket.part.carries_signal for mate in run if mate.socket) > 2
        for part in plan.parts.values()
        if part.word in {"servo", "ESC", "retract leg"} and (run := build(plan).upstream(part.id))
    )


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


def advised_case(seed: int) -> Case:
    """Who shares is free, what shares differs, and the kit has three-way leads and Y-leads."""
    rng = random.Random(seed)
    function = rng.choice(["spoiler", "flap"])
    names = [f"{function}-{letter}" for letter in "abcd"[: rng.randint(2, 4)]]
    names += rng.sample(["rudder", "steering"], rng.randint(0, 1))
    sizes = ["9g-analogue", "13g-metal-gear"]
    servos = [Servo(name, name.split("-")[0], size=rng.choice(sizes)) for name in names]
    escs = {f"esc-{s}": 3.0 for s in ("left", "right")} if rng.random() < 0.3 else {}
    few = len({servo.moves for servo in servos}) + bool(escs)
    return Case(
        servos,
        rng.randint(few, few + 1),
        escs,
        regulators={"reg": 20.0},
        ys=[rng.choice([150, 300]) for _ in range(rng.randint(0, 3))],
        buy=rng.choice([None, None, 1]),
        order=False,
        threes=[rng.choice([100, 200]) for _ in range(rng.randint(0, 2))],
        ratings={name: rng.choice([30, 40]) for name in escs},
    )


RANDOM, ADVISED = range(120), range(40)


@cache
def random_answer(seed: int) -> Proposal | NoPlan:
    return propose(plan_of(random_case(seed).text()))


@cache
def advised_answer(seed: int) -> Proposal | NoPlan:
    return propose(plan_of(advised_case(seed).text()))


def test_advice_decides_in_some_of_these_cases() -> None:
    """Else the test below would prove nothing of it: other leads, others that share."""
    answers = map(advised_answer, ADVISED)
    said = [
        choice.why
        for answer in answers
        if isinstance(answer, Proposal)
        for choice in answer.choices
    ]
    assert sum("rather than one 3-way lead" in why for why in said) >= 3
    assert sum("on one channel: else" in why for why in said) >= 3


@pytest.mark.parametrize("seed", RANDOM)
def test_the_planner_finds_what_enumeration_finds(seed: int) -> None:
    found_like(random_case(seed), random_answer(seed))


@pytest.mark.parametrize("seed", ADVISED)
def test_nor_is_anything_better_where_advice_decides(seed: int) -> None:
    found_like(advised_case(seed), advised_answer(seed))


def found_like(case: Case, answer: Proposal | NoPlan) -> None:
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
