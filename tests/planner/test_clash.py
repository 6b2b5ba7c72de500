"""No plan: the ways out of it, against enumeration of every set of limits as large or smaller."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations, permutations
from pathlib import Path

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
from planner.test_brute import random_answer, random_case
from support import plan_of

from harness.documents.proposal import clash_text
from harness.planner.hosts import LIMITS_SENT
from harness.planner.programme import BUY, SOCKETS
from harness.planner.propose import NoPlan, Proposal, propose
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


def without(case: Case, gone: tuple[str, ...]) -> Case:
    """Return the case with some limits gone and all others kept."""
    return only(case, tuple(name for name in limits(case) if name not in gone))


@pytest.mark.parametrize("seed", CASES)
def test_a_way_out_leaves_a_plan_and_no_smaller_one_does(seed: int) -> None:
    case = random_case(seed)
    answer = random_answer(seed)
    assert isinstance(answer, NoPlan)
    ways = {tuple(sorted(limit.name for limit in way)) for way in answer.ways}
    assert ways
    every, size = sorted(limits(case)), len(answer.ways[0])
    for fewer in range(size):
        assert not any(possible(without(case, some)) for some in combinations(every, fewer))
    assert ways == {some for some in combinations(every, size) if possible(without(case, some))}


def enough(case: Case, told: dict[str, int]) -> Case:
    """Return the case with its numbers as large as the answer says is enough."""
    return replace(
        case,
        sockets=case.sockets + told.get(SOCKETS, 0),
        buy=told.get(BUY, case.buy),
        sent=told.get(LIMITS_SENT, case.sent),
    )


@pytest.mark.parametrize("seed", CASES)
def test_what_is_enough_is_enough_and_one_less_is_not(seed: int) -> None:
    case = random_case(seed)
    answer = random_answer(seed)
    assert isinstance(answer, NoPlan)
    for way in answer.ways:
        told = {limit.name: int(limit.enough.split()[0]) for limit in way if limit.enough}
        assert set(told) == {limit.name for limit in way} & {SOCKETS, BUY, LIMITS_SENT}
        left = without(case, tuple({limit.name for limit in way} - set(told)))
        assert possible(enough(left, told))
        assert isinstance(propose(plan_of(enough(left, told).text())), Proposal)
        for name, count in told.items():
            assert not possible(enough(left, {**told, name: count - 1})), name


def test_where_no_limit_alone_is_to_blame_those_that_must_go_together_are_told() -> None:
    text = (
        "transmitter: {channels: 2}\n"
        "receivers: {rx: {sockets: 2}}\n"
        "wishes:\n"
        "  - {wish: own-trim, of: flap, must: yes}\n"
        "  - {wish: own-trim, of: aileron, must: yes}\n"
        "servos:\n"
        "  aileron-left: {moves: aileron}\n"
        "  aileron-right: {moves: aileron}\n"
        "  flap-left: {moves: flap}\n"
        "  flap-right: {moves: flap}\n"
    )
    answer = propose(plan_of(text))
    assert isinstance(answer, NoPlan)
    assert [[(limit.name, limit.enough) for limit in way] for way in answer.ways] == [
        [(LIMITS_SENT, "4 channels would be enough"), (SOCKETS, "2 more sockets would be enough")],
        [("own trim for each flap", ""), ("own trim for each aileron", "")],
    ]
    assert "2 must go together, and each of these is enough" in clash_text(answer)


def test_the_next_sockets_are_counted_with_the_sticks_that_they_are_for() -> None:
    """By AETR only channel 2 of the first four is elevator: the other one wants the fifth."""
    text = (
        "transmitter: {order: AETR}\n"
        "receivers: {rx: {sockets: 1}}\n"
        "buy-at-most: 0\n"
        "servos:\n"
        "  elevator-left: {moves: elevator}\n"
        "  elevator-right: {moves: elevator}\n"
    )
    answer = propose(plan_of(text))
    assert isinstance(answer, NoPlan)
    ways = [[(limit.name, limit.enough) for limit in way] for way in answer.ways]
    assert ways == [[(SOCKETS, "4 more sockets would be enough")]]


def test_what_is_unplugged_to_make_room_wants_a_place_itself() -> None:
    """The rudder's plug fills the one socket: taking it out gains nothing, and is not advised."""
    text = (
        "receivers: {rx: {sockets: 1}}\n"
        "servos:\n"
        "  elevator: {moves: elevator}\n"
        "  rudder: {moves: rudder, plug: rx.1}\n"
    )
    answer = propose(plan_of(text))
    assert isinstance(answer, NoPlan)
    assert [[limit.name for limit in way] for way in answer.ways] == [[SOCKETS]]


UNPLUGGED = sorted((Path(__file__).parents[2] / "examples" / "unplugged").glob("*.yaml"))


@pytest.mark.parametrize("path", UNPLUGGED, ids=lambda path: path.stem)
@pytest.mark.parametrize("sockets", [2, 3, 4])
def test_a_way_out_of_an_example_is_one(path: Path, sockets: int) -> None:
    """With what is enough written into the plan there is a plan."""
    text = re.sub(r"sockets: \d+, supply", f"sockets: {sockets}, supply", path.read_text())
    text = text.replace("of: flap}", "of: flap, must: yes}").replace("kit:", "buy-at-most: 0\nkit:")
    answer = propose(plan_of(text))
    assert isinstance(answer, NoPlan)
    for way in answer.ways:
        whole = text
        for limit in way:
            number = int(limit.enough.split()[0]) if limit.enough else 0
            if limit.name == SOCKETS:
                whole = whole.replace(f"sockets: {sockets}", f"sockets: {sockets + number}")
            elif limit.name == BUY:
                whole = whole.replace("buy-at-most: 0", f"buy-at-most: {number}")
            else:
                assert limit.name == "own trim for each flap"
                whole = whole.replace(", must: yes", "")
        assert whole != text
        assert isinstance(propose(plan_of(whole)), Proposal)


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
    assert [[(x.name, x.line, x.enough) for x in way] for way in answer.ways] == [
        [(SOCKETS, 3, "1 more socket would be enough")],
        [(BUY, 4, "1 bought lead would be enough")],
    ]
