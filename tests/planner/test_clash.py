"""No plan: the smallest set of limits that clash, against enumeration of every smaller set."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, permutations

import pytest
from planner.brute import (
    Case,
    Made,
    _channels_do,
    _wired,
    goes_against,
    may_share,
    partitions,
    passes,
)
from planner.test_brute import random_case
from support import plan_of

from harness.planner.hosts import LIMITS_SENT
from harness.planner.programme import BUY, SOCKETS
from harness.planner.propose import NoPlan, propose
from harness.planner.space import ORDER

MUST = {
    "differential on aileron": "differential aileron",
    "own trim for each flap": "own-trim flap",
    "own trim for each elevator": "own-trim elevator",
    "steering apart from rudder": "apart",
}


def limits(case: Case) -> list[str]:
    """Every limit that a plan of this kind can state."""
    found = [SOCKETS]
    found += [BUY] if case.buy is not None else []
    found += [LIMITS_SENT] if case.sent else []
    found += [ORDER] if case.order else []
    found += [name for name, word in MUST.items() if (word, True) in case.wishes]
    found += [f'servo "{s.name}" is built in' for s in case.servos if s.fixed]
    return found + [f"channel {n} is {f}" for n, f in case.channels.items()]


def only(case: Case, kept: tuple[str, ...]) -> Case:
    """Return the case with some limits alone."""
    wishes = [
        (word, must and any(MUST[name] == word for name in kept if name in MUST))
        for word, must in case.wishes
    ]
    servos = [replace(s, fixed=f'servo "{s.name}" is built in' in kept) for s in case.servos]
    return replace(
        case,
        servos=servos,
        sockets=case.sockets if SOCKETS in kept else 11,
        buy=case.buy if BUY in kept else None,
        sent=case.sent if LIMITS_SENT in kept else None,
        order=ORDER in kept and case.order,
        wishes=wishes,
        channels={n: f for n, f in case.channels.items() if f"channel {n} is {f}" in kept},
    )


def possible(case: Case) -> bool:
    """Say whether anything can be plugged together that moves the right way."""
    names = [str(n + 1) for n in range(min(case.sockets, case.sent or case.sockets))]
    for parted in partitions(case.items):
        groups = [tuple(sorted(group)) for group in sorted(parted)]
        if len(groups) > len(names) or not all(may_share(case, g) for g in groups):
            continue
        if case.legs and tuple(sorted(case.legs)) not in groups:
            continue
        if any(goes_against(case, w, g) for w, must in case.wishes if must for g in groups):
            continue
        where = (w for w in permutations(names[::-1], len(groups)) if _channels_do(case, groups, w))
        first = next(where, None)
        if first and any(
            not moves_wrong(case, Made(groups, first, *w)) for w in _wired(case, groups)
        ):
            return True
    return False


def moves_wrong(case: Case, made: Made) -> bool:
    return passes(case, made) == "shared-channel-motion"


CASES = [seed for seed in range(120) if not possible(random_case(seed))]


def test_there_are_cases_without_a_plan() -> None:
    assert len(CASES) >= 10


@pytest.mark.parametrize("seed", CASES)
def test_the_clash_is_the_smallest(seed: int) -> None:
    case = random_case(seed)
    answer = propose(plan_of(case.text()))
    assert isinstance(answer, NoPlan)
    clash = tuple(limit.name for limit in answer.clash)
    every = limits(case)
    assert clash
    assert set(clash) <= set(every)
    assert not possible(only(case, clash))
    for some in combinations(every, len(clash) - 1):
        assert possible(only(case, some)), some


def test_each_limit_has_its_line() -> None:
    text = (
        "receivers: {rx: {sockets: 2}}\n"
        "buy-at-most: 0\n"
        "servos:\n"
        "  aileron-left: {moves: aileron, shaft: left}\n"
        "  aileron-right: {moves: aileron, shaft: right}\n"
        "  elevator: {moves: elevator}\n"
    )
    answer = propose(plan_of(text))
    assert isinstance(answer, NoPlan)
    assert [(limit.name, limit.line) for limit in answer.clash] == [(SOCKETS, 3), (BUY, 4)]
